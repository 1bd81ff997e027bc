"""Adaptive Gauss-Hermite quadrature of a cumulative-link model with one grouping factor (layer: numerics).

Each level's effect u is integrated out at nodes placed round its mode (Pinheiro & Bates 1995, J Comput Graph
Stat 4:12-35). With h(u) the level's log-likelihood plus the log density of N(0, sd^2), u* its mode, H = -h''(u*)
and tau = H^-1/2, the level contributes

    log [ sqrt(2) tau sum_k w_k exp(x_k^2 + h(u* + sqrt(2) tau x_k)) ],

x_k, w_k the Hermite nodes and weights; one node is the Laplace approximation. The gradient is exact: it counts how
u* and tau move with the parameters, du* = h_u. / H and dtau = -tau (H. + H_u du*) / (2 H).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.errors import FitError
from analysis.numerics.cumulative_link import ETA_LIMIT, Floats, cutpoints_from_gaps, with_open_ends
from analysis.numerics.laplace import STALLED
from analysis.numerics.links import ROW_TERMS, LinkTerms
from analysis.numerics.predictor import Predictor
from analysis.numerics.prior import LOG_TWO_PI

MODE_TOLERANCE = 1e-18
"""Half squared Newton decrement, summed over the levels, at which the modes are taken as found: they are then good to
1e-9, and so is log|H|, which is of first order in them."""
MAX_NEWTON = 80


@dataclass(frozen=True, slots=True, eq=False)
class QuadraturePoint:
    """The integrated log-likelihood at one set of parameters.

    Attributes
    ----------
    log_likelihood : float
    gradient : ndarray, shape (J + n_coefficients + 1,)
        In (c_1, log gaps, coefficients, log sd).
    modes, variances : ndarray, shape (n_levels,)
        Conditional mode of each level and the inverse curvature there.
    """

    log_likelihood: float
    gradient: Floats
    modes: Floats
    variances: Floats


class OneFactor:
    """Integrated likelihood of rows with exactly one grouping factor.

    Parameters
    ----------
    predictor : Predictor
        One group, no load slope.
    n_points : int
        Nodes a level; 1 is Laplace.
    """

    def __init__(self, predictor: Predictor, n_points: int) -> None:
        self.p = predictor
        self.group = predictor.groups[0]
        nodes, weights = np.polynomial.hermite.hermgauss(n_points)
        self.nodes = nodes
        self.log_weights = np.log(weights) + nodes**2
        self.row_terms = ROW_TERMS[predictor.rows.link]
        self._modes = np.zeros(self.group.size)

    def _by_level(self, per_row: Floats) -> Floats:
        return np.asarray(np.bincount(self.group.index, per_row, self.group.size), dtype=float)

    def _terms(self, cuts: Floats, fixed: Floats, u: Floats) -> LinkTerms:
        """Row terms at effects u of shape (n_levels,) or (n_levels, n_points)."""
        p, index, value = self.p, self.group.index, self.group.value
        if u.ndim == 1:
            eta = np.clip(fixed + value * u[index], -ETA_LIMIT, ETA_LIMIT)
            return self.row_terms(cuts[p.upper_cut] - eta, cuts[p.lower_cut] - eta)
        eta = np.clip(fixed[:, None] + value[:, None] * u[index], -ETA_LIMIT, ETA_LIMIT)
        return self.row_terms(cuts[p.upper_cut, None] - eta, cuts[p.lower_cut, None] - eta)

    def _find_modes(self, cuts: Floats, fixed: Floats, precision: float) -> tuple[Floats, LinkTerms, Floats]:
        """Newton's method for every level at once; h is concave in u, so halving a step always helps."""
        value = self.group.value
        u = self._modes
        terms = self._terms(cuts, fixed, u)
        h = self._by_level(terms.log_probability) - 0.5 * precision * u**2
        last_decrement = np.inf
        for _ in range(MAX_NEWTON):
            slope = self._by_level(-value * (terms.f_r + terms.f_l)) - precision * u
            H = self._by_level(value**2 * (terms.v_r + terms.v_l)) + precision
            if not np.isfinite(slope).all():
                break
            step = slope / H
            decrement = 0.5 * float(slope @ step)
            if decrement < MODE_TOLERANCE or (decrement < STALLED and decrement > 0.25 * last_decrement):
                self._modes = u
                return u, terms, H
            last_decrement = decrement
            size = np.ones(u.size)
            while True:
                trial = u + size * step
                trial_terms = self._terms(cuts, fixed, trial)
                trial_h = self._by_level(trial_terms.log_probability) - 0.5 * precision * trial**2
                worse = (trial_h < h - 1e-12 * (1.0 + np.abs(h))) & (size > 1e-6)
                if not worse.any():
                    break
                size = np.where(worse, 0.5 * size, size)
            u, terms, h = trial, trial_terms, trial_h
        self._modes = np.zeros(self.group.size)
        raise FitError(
            "Newton's method did not find the modes of the levels; please keep the data and report it."
        )

    def __call__(self, x: Floats) -> QuadraturePoint:
        """Integrated log-likelihood and its exact gradient.

        Parameters
        ----------
        x : ndarray, shape (J + n_coefficients + 1,)
            (c_1, log gaps, coefficients, log sd).

        Returns
        -------
        QuadraturePoint

        Raises
        ------
        FitError
            If a level's mode is not found.
        """
        p, J, value, index = self.p, self.p.J, self.group.value, self.group.index
        log_sd = float(x[-1])
        precision = float(np.exp(-2.0 * log_sd))
        steps = np.exp(x[1:J])
        cuts = with_open_ends(cutpoints_from_gaps(x[:J]))
        fixed = p.rows.X @ x[J:-1]
        u, at_mode, H = self._find_modes(cuts, fixed, precision)
        tau = 1.0 / np.sqrt(H)
        shift = np.sqrt(2.0) * tau[:, None] * self.nodes
        u_k = u[:, None] + shift  # (n_levels, n_points)
        terms = self._terms(cuts, fixed, u_k)
        h = -0.5 * precision * u_k**2 - log_sd - 0.5 * LOG_TWO_PI
        np.add.at(h, index, terms.log_probability)
        weighted = h + self.log_weights
        top = weighted.max(axis=1)
        share = np.exp(weighted - top[:, None])
        total = share.sum(axis=1)
        share /= total[:, None]
        level_log = top + np.log(total) + np.log(tau) + 0.5 * np.log(2.0)
        # how the sum depends on where the nodes stand
        slope_k = -precision * u_k
        np.add.at(slope_k, index, -value[:, None] * (terms.f_r + terms.f_l))
        in_mode = (share * slope_k).sum(axis=1)
        in_log_tau = 1.0 + (share * slope_k * shift).sum(axis=1)
        one, none = np.ones(p.n), np.zeros(p.n)
        w_r, w_l = at_mode.third(one, one, none)  # derivatives of v_r + v_l
        H_u = self._by_level(-(value**3) * (w_r + w_l))
        of_curvature = -0.5 * in_log_tau / H
        of_slope = (in_mode + of_curvature * H_u) / H
        # per row: weight of the gradients of r and of l
        row_share = share[index]
        to_slope, to_curvature = (of_slope[index] * value), (of_curvature[index] * value**2)
        of_r = (row_share * terms.f_r).sum(axis=1) + to_slope * at_mode.v_r + to_curvature * w_r
        of_l = (row_share * terms.f_l).sum(axis=1) + to_slope * at_mode.v_l + to_curvature * w_l
        gradient = np.empty(x.size)
        size = J + 2
        by_cut = np.bincount(p.upper_cut, of_r, size) + np.bincount(p.lower_cut, of_l, size)
        from_cut = np.cumsum(by_cut[1:-1][::-1])[::-1]
        gradient[0] = from_cut[0]
        gradient[1:J] = steps * from_cut[1:]
        gradient[J:-1] = -(p.rows.X.T @ (of_r + of_l))
        prior_k = (share * (precision * u_k**2 - 1.0)).sum(axis=1)
        gradient[-1] = (prior_k + 2.0 * precision * (of_slope * u - of_curvature)).sum()
        return QuadraturePoint(float(level_log.sum()), gradient, u.copy(), 1.0 / H)
