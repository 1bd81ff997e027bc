"""Row algebra of the cumulative probit model with interval answers (layer: numerics).

As in `cumulative_link`, with the normal distribution in place of the logistic:

    P(low <= y <= high) = Phi(r) - Phi(l),      f_r = phi(r) / P,      f_l = -phi(l) / P,
    f_rr = -r f_r - f_r^2,      f_ll = -l f_l - f_l^2,      f_rl = -f_r f_l.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from analysis.numerics.cumulative_link import OPEN_END, Floats

LOG_ROOT_TWO_PI = float(0.5 * np.log(2.0 * np.pi))
NARROWEST = 1e-9
"""Smallest gap between two cutpoints, on the probit scale, that is told from none."""


@dataclass(frozen=True, slots=True, eq=False)
class ProbitTerms:
    """Log-probability of each row and its derivatives in ``r`` and ``l``.

    Attributes
    ----------
    r, l : ndarray, shape (n_rows,) or (n_rows, n_nodes)
        As given.
    log_probability, f_r, f_l : ndarray
        log P and its first derivatives.
    """

    r: Floats
    l: Floats
    log_probability: Floats
    f_r: Floats
    f_l: Floats

    @property
    def v_r(self) -> Floats:
        """-(f_rr + f_rl)."""
        return self.f_r * (self.r + self.f_r + self.f_l)

    @property
    def v_l(self) -> Floats:
        """-(f_ll + f_rl)."""
        return self.f_l * (self.l + self.f_r + self.f_l)

    @property
    def cross(self) -> Floats:
        """Q = f_rl, the mixed second derivative of log P."""
        return -self.f_r * self.f_l

    def third(self, h_r: Floats, h_l: Floats, h_gap: Floats) -> tuple[Floats, Floats]:
        """Derivatives in r and in l of v_r h_r + v_l h_l + Q h_gap, the h held fixed.

        Parameters
        ----------
        h_r, h_l, h_gap : ndarray, shape of `r`

        Returns
        -------
        in_r, in_l : ndarray, shape of `r`
        """
        r, l, f_r, f_l, Q = self.r, self.l, self.f_r, self.f_l, self.cross
        f_rr, f_ll = -f_r * (r + f_r), -f_l * (l + f_l)
        f_rrl, f_rll = -(r + 2.0 * f_r) * Q, -(l + 2.0 * f_l) * Q
        f_rrr = -f_r - (r + 2.0 * f_r) * f_rr
        f_lll = -f_l - (l + 2.0 * f_l) * f_ll
        in_r = -(f_rrr + f_rrl) * h_r - (f_rrl + f_rll) * h_l + f_rrl * h_gap
        in_l = -(f_rrl + f_rll) * h_r - (f_lll + f_rll) * h_l + f_rll * h_gap
        return in_r, in_l

    def weight_curvature(self) -> tuple[Floats, Floats, Floats]:
        """Second derivatives of the weight v_r + v_l = r f_r + l f_l + (f_r + f_l)^2 in (r, r), (r, l) and (l, l)."""
        r, l, f_r, f_l, Q = self.r, self.l, self.f_r, self.f_l, self.cross
        f_rr, f_ll = -f_r * (r + f_r), -f_l * (l + f_l)
        f_rrl, f_rll = -(r + 2.0 * f_r) * Q, -(l + 2.0 * f_l) * Q
        f_rrr = -f_r - (r + 2.0 * f_r) * f_rr
        f_lll = -f_l - (l + 2.0 * f_l) * f_ll
        both, in_r, in_l = f_r + f_l, f_rr + Q, f_ll + Q
        w_rr = r * f_rrr + 2.0 * f_rr + l * f_rrl + 2.0 * (in_r**2 + both * (f_rrr + f_rrl))
        w_rl = r * f_rrl + 2.0 * Q + l * f_rll + 2.0 * (in_r * in_l + both * (f_rrl + f_rll))
        w_ll = l * f_lll + 2.0 * f_ll + r * f_rll + 2.0 * (in_l**2 + both * (f_lll + f_rll))
        return w_rr, w_rl, w_ll


def probit_row_terms(r: Floats, l: Floats) -> ProbitTerms:
    """Log-probability and first derivatives of rows under the normal distribution.

    Parameters
    ----------
    r, l : ndarray, shape (n_rows,) or (n_rows, n_nodes), dimensionless
        Distance of the upper and lower cutpoint from the predictor, r > l.

    Returns
    -------
    ProbitTerms
    """
    open_above, open_below = r > 0.5 * OPEN_END, l < -0.5 * OPEN_END
    # Both in the upper tail: turn the row round, so that two numbers near 1 are never taken from each other.
    turned = l > 0.0
    upper, lower = np.where(turned, -l, r), np.where(turned, -r, l)
    log_upper = np.where(open_above & ~turned, 0.0, log_ndtr(upper))
    log_ratio = np.where((open_below & ~turned) | (open_above & turned), -np.inf, log_ndtr(lower) - log_upper)
    log_probability = log_upper + np.log(-np.expm1(np.minimum(log_ratio, -NARROWEST)))
    f_r = np.where(open_above, 0.0, np.exp(-0.5 * r**2 - LOG_ROOT_TWO_PI - log_probability))
    f_l = np.where(open_below, 0.0, -np.exp(-0.5 * l**2 - LOG_ROOT_TWO_PI - log_probability))
    return ProbitTerms(r, l, log_probability, f_r, f_l)
