"""Laplace criterion of a linear cumulative-link model with exact gradient and Hessian (layer: numerics).

The predictor is eta = X beta + Z u with effects u ~ N(0, 1/d), d = exp(-2 log sd) of the effect's factor. Seen from the
cutpoints c, every r and l is linear in (c, beta, u), and with h the log-probability of a row, f = dh/deta, w = -df/deta
and S = H^-1 the inverse curvature of the effects at their mode u*, the criterion is

    L(x) = sum_i h_i - 1/2 sum_k d_k u_k^2 + sum_k log d_k / 2 - 1/2 log|H|.

Along a direction a of x = (c, beta, log sd) the mode moves by U_a = S (Z' f_a - d_a u), and r by r_a, l by l_a. With
w_a = w_r r_a + w_l l_a and so on, hat_i = z_i' S z_i and m = S Z'(hat (w_r + w_l)), the second derivative is

    L_ab = sum_i [h_ab - (hat w_ab - (z_i'm) f_ab) / 2] + 1/2 tr(S H_a S H_b)
           - sum_k [d U_a U_b + (d_a U_b + d_b U_a) (u + m / 2) + d_ab (u^2 + m u + S_kk) / 2],

x_ab short for x_rr r_a r_b + x_rl (r_a l_b + l_a r_b) + x_ll l_a l_b. It follows from the implicit function theorem
for u* and d log|H| = tr(S dH) (Tierney & Kadane 1986, J Am Stat Assoc 81:82-86, for the approximation).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from analysis.errors import FitError
from analysis.numerics.cumulative_link import (
    ETA_LIMIT,
    Floats,
    cutpoints_from_gaps,
    gaps_in_cutpoints,
    with_open_ends,
)
from analysis.numerics.effects_curvature import EffectsCurvature, EffectsLayout, factored
from analysis.numerics.laplace import STALLED
from analysis.numerics.links import ROW_TERMS, LinkTerms
from analysis.numerics.predictor import Predictor

MODE_TOLERANCE = 1e-24
"""Half squared Newton decrement at which the modes are taken as found: log|H| is of first order in their error, and
that is then within rounding."""
MAX_NEWTON = 80
FARTHEST = 1.0
"""A mode is foreseen from the last one for moves of the parameters up to this."""


@dataclass(frozen=True, slots=True, eq=False)
class LinearLaplacePoint:
    """The criterion at one set of parameters, and what its Hessian needs.

    Attributes
    ----------
    x : ndarray, shape (J + n_coefficients + n_factors,)
        (c_1, log gaps, coefficients, log sds).
    log_likelihood : float
    gradient : ndarray, shape of `x`
    u, variances : ndarray, shape (n_effects,)
        Modes and the diagonal of S, in the order of `EffectsLayout`.
    cuts : ndarray, shape (J + 2,)
        With open ends.
    precision : ndarray, shape (n_effects,)
        d.
    terms : LinkTerms
    curvature : EffectsCurvature
    hat, of_mode : ndarray, shape (n_rows,)
        z_i' S z_i and z_i' m.
    m : ndarray, shape (n_effects,)
    """

    x: Floats
    log_likelihood: float
    gradient: Floats
    u: Floats
    variances: Floats
    cuts: Floats
    precision: Floats
    terms: LinkTerms
    curvature: EffectsCurvature
    hat: Floats
    of_mode: Floats
    m: Floats


class LinearLaplace:
    """Integrated log-likelihood of rows with grouping factors, as a function of (c_1, log gaps, coefficients, log sds).

    Each search for the mode begins where the last one's lets it be foreseen; the last point is kept.

    Parameters
    ----------
    predictor : Predictor
        One group or more, no load slope.
    """

    def __init__(self, predictor: Predictor) -> None:
        self.p = predictor
        self.layout = EffectsLayout(predictor.groups)
        self.n_fixed = predictor.dense.stop
        self.factor_of = np.empty(self.layout.size, dtype=np.int64)
        for k, span in enumerate(self.layout.spans):
            self.factor_of[span] = k
        self.sizes = np.array([group.size for group in predictor.groups], dtype=float)
        self.row_terms = ROW_TERMS[predictor.rows.link]
        self._near: LinearLaplacePoint | None = None

    def __call__(self, x: Floats) -> LinearLaplacePoint:
        """Value, exact gradient and mode at x.

        Parameters
        ----------
        x : ndarray, shape (J + n_coefficients + n_factors,)

        Returns
        -------
        LinearLaplacePoint

        Raises
        ------
        FitError
            If no mode is found.
        """
        if self._near is not None and np.array_equal(x, self._near.x):
            return self._near
        p, layout, J, first_sd = self.p, self.layout, self.p.J, self.n_fixed
        cuts = with_open_ends(cutpoints_from_gaps(x[:J]))
        d_of_factor = np.exp(-2.0 * x[first_sd:])
        d = d_of_factor[self.factor_of]
        u, terms, curvature = self._mode(self._foreseen(x, cuts), cuts, p.rows.X @ x[J:first_sd], d)
        variances, hat = curvature.variances()
        t_r, t_l = terms.third(hat, hat, np.zeros(p.n))
        m = curvature.solve(layout.Z_transposed @ (t_r + t_l))
        of_mode = layout.Z @ m
        in_r = terms.f_r - 0.5 * (t_r - terms.v_r * of_mode)
        in_l = terms.f_l - 0.5 * (t_l - terms.v_l * of_mode)
        gradient = np.empty(x.size)
        size = J + 2
        by_cut = np.bincount(p.upper_cut, in_r, size) + np.bincount(p.lower_cut, in_l, size)
        gradient[:J] = by_cut[1:-1] @ gaps_in_cutpoints(x[:J])
        gradient[J:first_sd] = -((in_r + in_l) @ p.rows.X)
        spread = np.bincount(self.factor_of, u * (u + m) + variances, d_of_factor.size)
        gradient[first_sd:] = d_of_factor * spread - self.sizes
        value = float(terms.log_probability.sum()) - 0.5 * float(d @ u**2)
        value -= float(self.sizes @ x[first_sd:]) + 0.5 * curvature.log_det
        self._near = LinearLaplacePoint(
            x.copy(), value, gradient, u, variances, cuts, d, terms, curvature, hat, of_mode, m
        )
        return self._near

    def _foreseen(self, x: Floats, cuts: Floats) -> Floats:
        """Mode at x to first order from the last point."""
        near = self._near
        if near is None:
            return np.zeros(self.layout.size)
        p, moved = self.p, np.clip(x - near.x, -FARTHEST, FARTHEST)
        by_cut = np.clip(cuts - near.cuts, -FARTHEST, FARTHEST)
        by_x = p.rows.X @ moved[p.J : self.n_fixed]
        in_f = near.terms.v_r * (by_cut[p.upper_cut] - by_x) + near.terms.v_l * (by_cut[p.lower_cut] - by_x)
        in_prior = 2.0 * near.precision * near.u * moved[self.n_fixed :][self.factor_of]
        return near.u + near.curvature.solve(self.layout.Z_transposed @ in_f + in_prior)

    def _mode(
        self, u: Floats, cuts: Floats, fixed: Floats, d: Floats
    ) -> tuple[Floats, LinkTerms, EffectsCurvature]:
        """Newton's method for the effects; their log density is concave, so that halving a step always helps."""
        p, layout = self.p, self.layout
        upper, lower = cuts[p.upper_cut], cuts[p.lower_cut]

        def at(u: Floats) -> tuple[LinkTerms, float]:
            eta = np.clip(fixed + layout.Z @ u, -ETA_LIMIT, ETA_LIMIT)
            terms = self.row_terms(upper - eta, lower - eta)
            return terms, float(terms.log_probability.sum()) - 0.5 * float(d @ u**2)

        terms, value = at(u)
        last_decrement = np.inf
        for _ in range(MAX_NEWTON):
            curvature = factored(layout, terms.v_r + terms.v_l, d)
            gradient = -(layout.Z_transposed @ (terms.f_r + terms.f_l)) - d * u
            step = curvature.solve(gradient)
            decrement = 0.5 * float(gradient @ step)
            if decrement < MODE_TOLERANCE or (decrement < STALLED and decrement > 0.25 * last_decrement):
                return u, terms, curvature
            last_decrement = decrement
            size = 1.0
            while True:
                trial = u + size * step
                trial_terms, trial_value = at(trial)
                if trial_value > value - 1e-12 * abs(value) or size < 1e-6:
                    break
                size *= 0.5
            u, terms, value = trial, trial_terms, trial_value
        raise FitError(
            "Newton's method did not find the modes of the levels; please keep the data and report it."
        )

    def hessian(self, point: LinearLaplacePoint) -> Floats:
        """Exact second derivatives of the criterion.

        Parameters
        ----------
        point : LinearLaplacePoint

        Returns
        -------
        ndarray, shape (n, n) with n the size of `point.x`
        """
        p, layout, J, first_sd = self.p, self.layout, self.p.J, self.n_fixed
        x, terms, d, u, m = point.x, point.terms, point.precision, point.u, point.m
        n, column = x.size, first_sd + self.factor_of
        effects, one, none = np.arange(layout.size), np.ones(p.n), np.zeros(p.n)
        # large arrays are worked on in place: room for new ones costs more than the sums
        E_r, E_l = self._fixed_moves
        V = terms.v_r[:, None] * E_r
        V += terms.v_l[:, None] * E_l
        right = layout.Z_transposed @ V
        right[effects, column] = 2.0 * d * u
        U = point.curvature.solve(right)
        r = layout.Z @ U
        l = E_l - r
        np.subtract(E_r, r, out=r)
        of_rr, of_rl, of_ll = self._row_curvature(point)
        np.multiply(of_rl[:, None], l, out=V)
        second = r.T @ V
        second += second.T
        np.multiply(of_rr[:, None], r, out=V)
        second += r.T @ V
        np.multiply(of_ll[:, None], l, out=V)
        second += l.T @ V
        second -= U.T @ (d[:, None] * U)
        w_r, w_l = terms.third(one, one, none)
        r *= w_r[:, None]
        l *= w_l[:, None]
        r += l
        d_a = np.zeros((layout.size, n))
        d_a[effects, column] = -2.0 * d
        second += 0.5 * point.curvature.traces(r, d_a)
        by_prior = d_a.T @ ((u + 0.5 * m)[:, None] * U)
        second -= by_prior + by_prior.T
        sds = np.arange(first_sd, n)
        second[sds, sds] -= 2.0 * np.bincount(
            self.factor_of, d * (u * (u + m) + point.variances), self.sizes.size
        )
        # from cutpoints to the first one and the log gaps
        M = gaps_in_cutpoints(x[:J])
        second[:J] = M.T @ second[:J]
        second[:, :J] = second[:, :J] @ M
        gaps = np.arange(1, J)
        second[gaps, gaps] += point.gradient[1:J]
        return 0.5 * (second + second.T)

    @cached_property
    def _fixed_moves(self) -> tuple[Floats, Floats]:
        """How the parameters (cutpoints for log gaps) move r and l with the effects held fixed, (n_rows, n) each."""
        p, J, first_sd = self.p, self.p.J, self.n_fixed
        shape = (p.n, first_sd + self.sizes.size)
        E_r, E_l = np.zeros(shape), np.zeros(shape)
        E_r[:, :J], E_l[:, :J] = p.upper_table.T, p.lower_table.T
        E_r[:, J:first_sd] = E_l[:, J:first_sd] = -p.rows.X
        return E_r, E_l

    def _row_curvature(self, point: LinearLaplacePoint) -> tuple[Floats, Floats, Floats]:
        """h_ab - (hat w_ab - (z_i'm) f_ab) / 2 of every row, in (r, r), (r, l) and (l, l)."""
        terms, hat, of_mode = point.terms, point.hat, point.of_mode
        one, none = np.ones(self.p.n), np.zeros(self.p.n)
        f_rr, f_rl = terms.third(one, none, none)
        f_ll = terms.third(none, one, none)[1]
        w_rr, w_rl, w_ll = terms.weight_curvature()
        Q = terms.cross
        return (
            -(terms.v_r + Q) - 0.5 * (hat * w_rr - of_mode * f_rr),
            Q - 0.5 * (hat * w_rl - of_mode * f_rl),
            -(terms.v_l + Q) - 0.5 * (hat * w_ll - of_mode * f_ll),
        )
