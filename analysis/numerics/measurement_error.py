"""How far ratings change by themselves: measurement error, and regression to the mean (layer: numerics)."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

Floats = NDArray[np.float64]


def detectable_change(
    std_error: float, *, n_before: int = 1, n_after: int = 1, confidence_level: float
) -> float:
    """Smallest change of a mean rating that is more than measurement error.

    Parameters
    ----------
    std_error : float
        Standard error of measurement of one rating, points.
    n_before, n_after : int
        Ratings in each mean; 1 and 1 for a change between two single ratings.
    confidence_level : float
        Dimensionless, strictly between 0 and 1.

    Returns
    -------
    float
        Points: z SEM sqrt(1 / n_before + 1 / n_after), which is z sqrt(2) SEM for single ratings.
    """
    z = float(norm.ppf(0.5 + confidence_level / 2))
    return z * std_error * math.sqrt(1 / n_before + 1 / n_after)


def successive_std_error(ratings: Floats) -> float:
    """Standard error of one rating from ratings of the same thing in order of time, points.

    Half the mean squared successive difference is the error variance whatever slow course lies below (von
    Neumann, Kent, Bellinson & Hart 1941, Ann Math Statist 12:153-162; from memory).

    Parameters
    ----------
    ratings : ndarray, shape (n_ratings,)
        Two or more, oldest first, points.

    Returns
    -------
    float
    """
    return math.sqrt(0.5 * float(np.mean(np.diff(ratings) ** 2)))


def regression_to_mean(
    *, mean: float, std_dev: float, reliability: float, cutoff: float, n_baseline: int = 1
) -> float:
    """Fall that is expected without any change, where someone was chosen for a rating above a cutoff.

    Parameters
    ----------
    mean, std_dev : float
        Of single ratings in the long run, points.
    reliability : float
        Share of the variance that lasts (intraclass correlation), 0 to 1.
    cutoff : float
        The rating, or mean of `n_baseline` ratings, lay above it.
    n_baseline : int
        Ratings averaged before choosing.

    Returns
    -------
    float
        Points: (s_w^2 / n) / s_t phi(z) / (1 - Phi(z)), z = (cutoff - mean) / s_t, s_t^2 = s_b^2 + s_w^2 / n.

    References
    ----------
    .. [1] Barnett, van der Pols & Dobson 2005, Int J Epidemiol 34:215-220 (formula from memory).
    """
    within = (1.0 - reliability) * std_dev**2 / n_baseline
    total = math.sqrt(reliability * std_dev**2 + within)
    z = (cutoff - mean) / total
    return float(within / total * math.exp(norm.logpdf(z) - norm.logsf(z)))
