"""Chance of pain averaged over good and bad days, and the load that gives a stated chance (layer: numerics).

With day effect u ~ N(0, sd^2), chance(a, sd) = E s(a + u), by 9-point Gauss-Hermite quadrature (Abramowitz &
Stegun 1972, 25.4.46). Its inverse in ``a`` is found by Newton's method, draw by draw.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import expit, logit

from analysis.numerics.cumulative_link import Floats

_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(9)
_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()


def chance_over_days(a: Floats, day_sd: Floats) -> Floats:
    """E s(a + u), u ~ N(0, day_sd^2).

    Parameters
    ----------
    a : ndarray, any shape, logit scale
    day_sd : ndarray, broadcastable to `a`

    Returns
    -------
    ndarray, shape of `a`
    """
    chance = sum(w * expit(a + day_sd * x) for x, w in zip(_NODES, _WEIGHTS, strict=True))
    return np.minimum(chance, 1.0)  # the weights sum to 1 but for rounding


def logit_for_chance(chance: float, day_sd: Floats) -> Floats:
    """The a for which `chance_over_days` equals `chance`.

    Parameters
    ----------
    chance : float
        Strictly between 0 and 1.
    day_sd : ndarray, shape (n_draws,)

    Returns
    -------
    ndarray, shape (n_draws,)
        Good to 1e-10 on the logit scale; read-only.
    """
    sd = np.ascontiguousarray(day_sd, dtype=float)
    return _logit_for_chance(float(chance), sd.tobytes()).reshape(sd.shape)


@lru_cache(maxsize=32)
def _logit_for_chance(chance: float, day_sd: bytes) -> Floats:
    """The same, remembered: every line of a fit asks it of the same draws. Read-only."""
    sd = np.frombuffer(day_sd)
    target = float(logit(chance))
    a = target * np.sqrt(1.0 + 0.346 * sd**2)
    shifts = sd[:, None] * _NODES
    for _ in range(50):
        s = expit(a[:, None] + shifts)
        p = s @ _WEIGHTS
        slope = (s * (1.0 - s)) @ _WEIGHTS
        # on the logit of the chance, which is nearly straight in a
        move = (logit(p) - target) * p * (1.0 - p) / slope
        a = a - np.clip(move, -5.0, 5.0)
        if np.abs(move).max(initial=0.0) < 1e-10:
            break
    a.setflags(write=False)
    return a
