"""A chance from its draws: the mean with an interval round it (layer: questions)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.numerics.intervals import central_interval

CHANCE_METHOD = "mean and central quantiles of the draws, a lower end under .01 stated as 0"
LEAST_CHANCE = 0.01
"""A lower end under 1 in 100 is stated as 0: some hundred sets cannot tell "one in two hundred" from "never"."""


def chance_with_interval(draws: NDArray[np.float64], confidence_level: float) -> tuple[float, float, float]:
    """Mean of a chance, and the central interval of its draws.

    A lower end under `LEAST_CHANCE` is stated as 0. Where draws are so lopsided that the mean lies beyond a
    quantile, as far outside the loads tried, that end is moved out to the mean: the interval then holds more
    than the stated share of the draws, never less.

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
    return mean, min(stated_low(float(low)), mean), max(float(high), mean)


def stated_low(low: float) -> float:
    """Lower end of a chance as it is stated."""
    return low if low >= LEAST_CHANCE else 0.0
