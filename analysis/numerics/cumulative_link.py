"""Row algebra of the cumulative logit model with interval answers (layer: numerics).

A row says that the score lies in categories ``low .. high`` (equal for an ordinary score). With ordered
cutpoints ``c_1 < ... < c_J`` and predictor ``eta``,

    P(low <= y <= high) = s(r) - s(l),   r = c_{high+1} - eta,   l = c_low - eta,   s the logistic function,

where ``r`` is plus infinity when ``high`` is the last category and ``l`` minus infinity when ``low`` is the
first. Everything below is written in ``r``, ``l`` and ``D = r - l`` so that no difference of near-equal
probabilities is ever taken (McCullagh 1980, J R Stat Soc B 42:109-142, for the model).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

OPEN_END = 500.0
"""Stand-in for an infinite cutpoint: exp(-500) is zero to double precision beside any probability here."""
ETA_LIMIT = 200.0
"""Predictors beyond this are cut; exp(200) still leaves room for products in double precision."""


@dataclass(frozen=True, slots=True, eq=False)
class RowTerms:
    """Log-probability of each row and its derivatives in ``r`` and ``l``.

    Attributes
    ----------
    log_probability, f_r, f_l : ndarray, shape (n_rows,) or (n_rows, n_chains)
        log P and its first derivatives with respect to r and l.
    s_r, s_l : ndarray
        s(-r) and s(l): the tails beyond the upper and below the lower cutpoint.
    q : ndarray
        1 / (exp(D) - 1).
    """

    log_probability: Floats
    f_r: Floats
    f_l: Floats
    s_r: Floats
    s_l: Floats
    q: Floats

    @property
    def v_r(self) -> Floats:
        """Logistic variance at r: s(r) s(-r)."""
        return self.s_r * (1.0 - self.s_r)

    @property
    def v_l(self) -> Floats:
        """Logistic variance at l: s(l) s(-l)."""
        return self.s_l * (1.0 - self.s_l)

    @property
    def cross(self) -> Floats:
        """Q, the mixed second derivative of log P in r and l: q (1 + q)."""
        return self.q * (1.0 + self.q)

    def third(self, h_r: Floats, h_l: Floats, h_gap: Floats) -> tuple[Floats, Floats]:
        """Derivatives in r and in l of v_r h_r + v_l h_l + Q h_gap, the h held fixed.

        Parameters
        ----------
        h_r, h_l, h_gap : ndarray, shape of `q`

        Returns
        -------
        in_r, in_l : ndarray, shape of `q`
        """
        by_gap = self.cross * (1.0 + 2.0 * self.q) * h_gap
        in_r = self.v_r * (2.0 * self.s_r - 1.0) * h_r - by_gap
        in_l = self.v_l * (1.0 - 2.0 * self.s_l) * h_l + by_gap
        return in_r, in_l

    def weight_curvature(self) -> tuple[Floats, Floats, Floats]:
        """Second derivatives of the weight v_r + v_l in (r, r), (r, l) and (l, l)."""
        v_r, v_l = self.v_r, self.v_l
        return v_r * (1.0 - 6.0 * v_r), np.zeros_like(v_r), v_l * (1.0 - 6.0 * v_l)


def row_terms(r: Floats, l: Floats) -> RowTerms:
    """Log-probability and first derivatives of rows, stable for any gap.

    Parameters
    ----------
    r, l : ndarray, shape (n_rows,) or (n_rows, n_chains), dimensionless
        Distance of the upper and lower cutpoint from the predictor, r > l.

    Returns
    -------
    RowTerms
    """
    e_r = np.exp(-r)
    e_l = np.exp(l)
    e_gap = e_r * e_l
    one_minus = np.maximum(1.0 - e_gap, 1e-300)
    s_r = e_r / (1.0 + e_r)
    s_l = e_l / (1.0 + e_l)
    q = e_gap / one_minus
    log_probability = np.log(one_minus / ((1.0 + e_r) * (1.0 + e_l)))
    return RowTerms(log_probability, s_r + q, -s_l - q, s_r, s_l, q)


def row_slopes(r: Floats, l: Floats) -> tuple[Floats, Floats]:
    """First derivatives of the log-probability alone, which need no logarithm.

    Parameters
    ----------
    r, l : ndarray, shape (n_rows,) or (n_rows, n_chains), dimensionless

    Returns
    -------
    f_r, f_l : ndarray, shape of `r`
        As in `RowTerms`.
    """
    e_r = np.exp(-r)
    e_l = np.exp(l)
    e_gap = e_r * e_l
    q = e_gap / np.maximum(1.0 - e_gap, 1e-300)
    return e_r / (1.0 + e_r) + q, -(e_l / (1.0 + e_l) + q)


def cutpoints_from_gaps(first_and_log_gaps: Floats) -> Floats:
    """Ordered cutpoints from the first one and the logs of the gaps.

    Parameters
    ----------
    first_and_log_gaps : ndarray, shape (J,) or (J, n_chains)
        c_1, then g_1 .. g_{J-1}, with c_{j+1} = c_j + exp(g_j).

    Returns
    -------
    ndarray, same shape
        c_1 .. c_J on the logit scale.
    """
    steps = np.concatenate([first_and_log_gaps[:1], np.exp(first_and_log_gaps[1:])])
    return np.cumsum(steps, axis=0)


def gaps_in_cutpoints(first_and_log_gaps: Floats) -> Floats:
    """Derivative of `cutpoints_from_gaps`.

    Parameters
    ----------
    first_and_log_gaps : ndarray, shape (J,)

    Returns
    -------
    ndarray, shape (J, J)
        Row j: derivatives of c_{j+1} in c_1, g_1 .. g_{J-1}.
    """
    steps = np.concatenate([np.ones(1), np.exp(first_and_log_gaps[1:])])
    return np.tril(np.tile(steps, (steps.size, 1)))


def gaps_from_cutpoints(cutpoints: Floats) -> Floats:
    """Inverse of `cutpoints_from_gaps`.

    Parameters
    ----------
    cutpoints : ndarray, shape (J,)
        Strictly increasing.

    Returns
    -------
    ndarray, shape (J,)
    """
    return np.concatenate([cutpoints[:1], np.log(np.diff(cutpoints))])


def with_open_ends(cutpoints: Floats) -> Floats:
    """Cutpoints with stand-ins for minus and plus infinity in front and behind.

    Parameters
    ----------
    cutpoints : ndarray, shape (J,) or (J, n_chains)

    Returns
    -------
    ndarray, shape (J + 2, ...)
        Index 0 is minus infinity, index J + 1 plus infinity.
    """
    end = np.full((1, *cutpoints.shape[1:]), OPEN_END)
    return np.concatenate([-end, cutpoints, end])
