"""A chance from its draws: the mean with an interval round it (layer: questions)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.numerics.intervals import central_interval

CHANCE_METHOD = "mean and central quantiles of the draws"


def chance_with_interval(draws: NDArray[np.float64], confidence_level: float) -> tuple[float, float, float]:
    """Mean of a chance, and the central interval of its draws.

    Where draws are so lopsided that the mean lies beyond a quantile, as far outside the loads tried, that end is
    moved out to the mean: the interval then holds more than the stated share of the draws, never less.

    Parameters
    ----------
    draws : ndarray, shape (n_draws,)
        Dimensionless, 0 to 1.
    confidence_level : float
        Strictly between 0 and 1.

    Returns
    -------
    mean, low, high : float
        With low <= mean <= high.
    """
    mean = float(draws.mean())
    low, _, high = central_interval(draws, confidence_level)
    return mean, min(float(low), mean), max(float(high), mean)
