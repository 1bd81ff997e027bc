"""Indices of left-right difference in use, each by its formula (layer: numerics).

One pair of values has as many "asymmetries" as there are formulas, so an index never stands without its name.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def limb_symmetry_index(side: ArrayLike, other: ArrayLike) -> Floats:
    """One side as a percentage of the other, 100 side / other.

    Parameters
    ----------
    side, other : array_like, shape (...)
        Above 0, same unit.

    Returns
    -------
    ndarray, shape (...)
        Percent.
    """
    return np.asarray(100.0 * np.asarray(side, float) / np.asarray(other, float))


def percentage_difference(left: ArrayLike, right: ArrayLike) -> Floats:
    """How far the lower value lies below the higher one, 100 - 100 min / max (Bishop 2018).

    Parameters
    ----------
    left, right : array_like, shape (...)
        Above 0, same unit.

    Returns
    -------
    ndarray, shape (...)
        Percent, 0 or more; the same in either order.
    """
    low, high = np.minimum(left, right), np.maximum(left, right)
    return np.asarray(100.0 - 100.0 * low / high)


def symmetry_index(left: ArrayLike, right: ArrayLike) -> Floats:
    """Difference over the mean of both, 100 |L - R| / ((L + R) / 2) (Robinson 1987).

    Parameters
    ----------
    left, right : array_like, shape (...)
        Above 0, same unit.

    Returns
    -------
    ndarray, shape (...)
        Percent, 0 or more.
    """
    one, two = np.asarray(left, float), np.asarray(right, float)
    return np.asarray(100.0 * np.abs(one - two) / (0.5 * (one + two)))


def symmetry_angle(left: ArrayLike, right: ArrayLike) -> Floats:
    """Angle of the point (R, L) from the line of equality, 100 (45 deg - arctan(L / R)) / 90 deg (Zifchock 2008).

    Parameters
    ----------
    left, right : array_like, shape (...)
        Above 0, same unit; the angle then never exceeds 90 degrees, so no turn by 180 is needed.

    Returns
    -------
    ndarray, shape (...)
        Percent; positive where the left is lower. Needs no choice of a reference side.
    """
    angle = np.degrees(np.arctan2(np.asarray(left, float), np.asarray(right, float)))
    return np.asarray(100.0 * (45.0 - angle) / 90.0)


def bilateral_asymmetry_index(left: ArrayLike, right: ArrayLike) -> Floats:
    """Difference over the sum, 100 (L - R) / (L + R).

    Parameters
    ----------
    left, right : array_like, shape (...)
        Above 0, same unit.

    Returns
    -------
    ndarray, shape (...)
        Percent; negative where the left is lower.
    """
    one, two = np.asarray(left, float), np.asarray(right, float)
    return np.asarray(100.0 * (one - two) / (one + two))


def log_ratio_pct(left: ArrayLike, right: ArrayLike) -> Floats:
    """Natural logarithm of the ratio, 100 ln(L / R).

    Parameters
    ----------
    left, right : array_like, shape (...)
        Above 0, same unit.

    Returns
    -------
    ndarray, shape (...)
        Percent on the log scale; changes sign when the sides are swapped.
    """
    return np.asarray(100.0 * np.log(np.asarray(left, float) / np.asarray(right, float)))
