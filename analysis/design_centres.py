"""Where the load of each exercise and variant is centred (layer: design).

The centre decides what "the exercise's own offset" means, and so how far the prior lets lines lie apart. The
base variant is centred at its median load of the last 12 weeks. Another variant shares that centre while its
loads agree and gets its own when they differ.
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.schema import STANDARD_VARIANT

Rows = NDArray[np.int64]

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
    easiest_first: dict[str, list[str]] = {}
    for exercise, variant in zip(order["exercise"].tolist(), order["variant"].tolist(), strict=True):
        easiest_first.setdefault(exercise, []).append(variant)
    variant_of = observed["variant"].to_numpy(object)
    log2_kg = np.log2(observed["load_term_kg"].to_numpy(float, na_value=np.nan))
    loaded = np.isfinite(log2_kg)
    recent = observed["days_back"].to_numpy(float) < RECENT_DAYS
    rows_of: dict[str, list[int]] = {}
    for row, exercise in enumerate(observed["exercise"].tolist()):
        rows_of.setdefault(exercise, []).append(row)
    for exercise, listed in rows_of.items():
        rows = np.array(listed)
        with_load = rows[loaded[rows]]
        pool = with_load if with_load.size else rows
        base[exercise] = _base_variant(variant_of[pool].tolist(), easiest_first.get(exercise, []))
        if not with_load.size:
            continue

        def middle(of: Rows) -> float:
            late = of[recent[of]]
            return float(np.median(log2_kg[late if late.size >= FEWEST_RECENT else of]))

        variants_here = variant_of[with_load]
        common = middle(with_load[variants_here == base[exercise]])
        for variant in dict.fromkeys(variants_here.tolist()):
            apart = middle(with_load[variants_here == variant]) - common
            own = 0.0 if apart == 0.0 else apart**3 / (apart**2 + SHARED_WITHIN**2)
            centres[exercise, variant] = common + own
    return base, centres


def _base_variant(done: list[str], easiest_first: list[str]) -> str:
    counts = Counter(done)
    for variant in [*easiest_first, STANDARD_VARIANT]:
        if variant in counts:
            return variant
    return counts.most_common(1)[0][0]
