"""Where the load of each exercise and variant is centred (layer: design).

The centre decides what "the exercise's own offset" means, and so how far the prior lets lines lie apart. The
base variant is centred at its median load of the last 12 weeks. Another variant shares that centre while its
loads agree and gets its own when they differ.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from analysis.schema import STANDARD_VARIANT

RECENT_DAYS = 84
"""Loads of the last 12 weeks make the centre."""
FEWEST_RECENT = 3
"""With fewer recent sets than this, all sets do."""
SHARED_WITHIN = 0.25
"""Octaves of difference at which a variant's centre is half shared, half its own."""


def load_centres(
    observed: pd.DataFrame, variants: pd.DataFrame
) -> tuple[dict[str, str], dict[tuple[str, str], float]]:
    """Base variant of each exercise, and the centre of each exercise and variant.

    Parameters
    ----------
    observed : DataFrame
        Observations of one client, with ``exercise``, ``variant``, ``load_term_kg``, ``days_back``.
    variants : DataFrame
        The coach's order of variants, easiest first: ``exercise``, ``order``, ``variant``.

    Returns
    -------
    base : dict
        Exercise to variant: the easiest one tried with a load, else the standard one, else the most used.
    centres : dict
        (exercise, variant) to log2 kg; pairs without any load are left out.
    """
    base: dict[str, str] = {}
    centres: dict[tuple[str, str], float] = {}
    order = variants.sort_values("order")
    for exercise, part in observed.groupby("exercise", sort=False):
        loaded = part[part["load_term_kg"].notna()]
        pool = loaded if len(loaded) else part
        base[str(exercise)] = _base_variant(
            pool, order.loc[order["exercise"] == exercise, "variant"].tolist()
        )
        if not len(loaded):
            continue
        middle = _median_log2(loaded[loaded["variant"] == base[str(exercise)]])
        for variant, rows in loaded.groupby("variant", sort=False):
            apart = _median_log2(rows) - middle
            own = 0.0 if apart == 0.0 else apart**3 / (apart**2 + SHARED_WITHIN**2)
            centres[str(exercise), str(variant)] = middle + own
    return base, centres


def _base_variant(rows: pd.DataFrame, easiest_first: list[str]) -> str:
    counts = rows["variant"].value_counts(sort=False)
    for variant in [*easiest_first, STANDARD_VARIANT]:
        if variant in counts.index:
            return str(variant)
    return str(counts.index[int(np.argmax(counts.to_numpy()))])


def _median_log2(rows: pd.DataFrame) -> float:
    recent = rows[rows["days_back"] < RECENT_DAYS]
    pool = recent if len(recent) >= FEWEST_RECENT else rows
    return float(np.median(np.log2(pool["load_term_kg"].to_numpy(float))))
