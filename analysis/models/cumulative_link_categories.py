"""Which categories of a censored ordinal answer have a probability that can be estimated (layer: models)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]


def estimable_categories(low: Ints, high: Ints) -> tuple[Ints, Ints, tuple[int, ...]]:
    """Answers recoded to the categories that keep a probability of their own at the maximum.

    A category no answer begins with loses everything to the one below it, and one no answer ends with to the one above:
    its cutpoints meet (Turnbull 1976, J R Stat Soc B 38:290-295, for interval-censored data; an empty category of
    ordinary answers is the simplest case). Such categories are merged until none is left.

    Parameters
    ----------
    low, high : ndarray of int, shape (n_rows,)
        Lowest and highest category each answer allows.

    Returns
    -------
    low, high : ndarray of int, shape (n_rows,)
        Places in `categories`.
    categories : tuple of int
        Those kept, increasing.
    """
    low, high = low.copy(), high.copy()
    kept = np.unique(np.concatenate([low, high])).tolist()
    merged = True
    while merged:
        merged = False
        for place, category in enumerate(kept):
            if not (low == category).any():
                if place:
                    high[high == category] = kept[place - 1]
            elif not (high == category).any():
                low[low == category] = kept[place + 1]
            else:
                continue
            kept.remove(category)
            merged = True
            break
    return np.searchsorted(kept, low), np.searchsorted(kept, high), tuple(int(k) for k in kept)


def without_category(low: Ints, high: Ints, place: int) -> tuple[Ints, Ints]:
    """Answers recoded without a category that no answer needs.

    Parameters
    ----------
    low, high : ndarray of int, shape (n_rows,)
    place : int
        The category; no answer allows it alone.

    Returns
    -------
    low, high : ndarray of int, shape (n_rows,)
    """
    return np.where(low > place, low - 1, low), np.where(high >= place, high - 1, high)
