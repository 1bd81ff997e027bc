"""Log-likelihood of a cumulative-link mixed model with exact gradient, Hessian and adjoint (layer: numerics).

Write R and L for the gradients of ``r`` and ``l`` of a row in theta (see `cumulative_link`). A row's negative
Hessian is

    v_r RR' + v_l LL' + Q (R-L)(R-L)' - f_r d2r - f_l d2l,

with Q the mixed second derivative of log P in r and l, v_r = -(f_rr + Q) and v_l = -(f_ll + Q), whatever the link;
d2r, d2l are not zero because cutpoints are sums of exponentials and the load slope is one. The adjoint
is the gradient of tr(S H(theta)) for a fixed symmetric S; with S = H^-1 it is the gradient of log|H|.
"""

from __future__ import annotations

import numpy as np

from analysis.numerics.cumulative_link import Floats, cutpoints_from_gaps, with_open_ends
from analysis.numerics.links import ROW_TERMS
from analysis.numerics.predictor import Predictor


class Curvature:
    """Everything about the likelihood at one theta that the fit asks for more than once.

    Parameters
    ----------
    predictor : Predictor
    theta : ndarray, shape (P,)

    Attributes
    ----------
    log_likelihood : float
        Sum of the rows' log-probabilities.
    """

    def __init__(self, predictor: Predictor, theta: Floats) -> None:
        p = predictor
        self.p = p
        self.steps = np.exp(theta[1 : p.J])
        cuts = with_open_ends(cutpoints_from_gaps(theta[: p.J]))
        self.eta, self.term = p.eta(theta)
        self.terms = ROW_TERMS[p.rows.link](cuts[p.upper_cut] - self.eta, cuts[p.lower_cut] - self.eta)
        self.log_likelihood = float(self.terms.log_probability.sum())
        # M[b] = d c_b / d (c_1, g) for every cutpoint with open ends; zero for the two open ones.
        M = np.zeros((p.J + 2, p.J))
        M[1 : p.J + 1, 0] = 1.0
        for k in range(1, p.J):
            M[k + 1 : p.J + 1, k] = self.steps[k - 1]
        self.M = M
        self.values = p.values
        self.F = p.rows.X
        if self.term is not None:
            self.values = np.column_stack([self.term, p.values[:, 1:]])
            self.F = np.column_stack([self.term, p.rows.X])

    def gradient(self) -> Floats:
        """Gradient of the log-likelihood, shape (P,)."""
        t, p = self.terms, self.p
        out = p.gather(-(t.f_r + t.f_l), self.term)
        out[: p.J] = self._cut_sums(t.f_r, t.f_l)[1:-1] @ self.M[1:-1]
        return out

    def _cut_sums(self, upper: Floats, lower: Floats) -> Floats:
        """Per cutpoint with open ends: sum of `upper` over rows below it and of `lower` over rows above it."""
        p = self.p
        size = p.J + 2
        return np.asarray(
            np.bincount(p.upper_cut, upper, size) + np.bincount(p.lower_cut, lower, size), dtype=float
        )

    def _gap_sums(self, upper: Floats, lower: Floats) -> Floats:
        """Per gap g_k: the same sums over every cutpoint that contains it; shape (J - 1,)."""
        inner = self._cut_sums(upper, lower)[2:-1]
        return np.cumsum(inner[::-1])[::-1]

    def hessian(self) -> Floats:
        """Negative Hessian of the log-likelihood, shape (P, P), dense and symmetric."""
        t, p = self.terms, self.p
        Q = t.cross
        v_r, v_l = t.v_r, t.v_l
        w = v_r + v_l
        J, D = p.J, p.dense
        H = np.zeros((p.size, p.size))
        # cutpoints against cutpoints, first in c and then in (c_1, g)
        size = J + 2
        in_c = np.diag(self._cut_sums(v_r + Q, v_l + Q))
        cross = np.bincount(p.upper_cut * size + p.lower_cut, Q, size * size).reshape(size, size)
        in_c -= cross + cross.T
        H[:J, :J] = self.M[1:-1].T @ in_c[1:-1, 1:-1] @ self.M[1:-1]
        gaps = np.arange(1, J)
        H[gaps, gaps] -= self.steps * self._gap_sums(t.f_r, t.f_l)
        # cutpoints against the predictor
        V = -(p.upper_table * v_r + p.lower_table * v_l)  # (J, n)
        H[:J, D] = self.M[1:-1].T @ (V @ self.F)
        flat = (p.columns[None, :, :] + (np.arange(J) * p.size)[:, None, None]).ravel()
        in_groups = np.bincount(flat, (V[:, :, None] * self.values).ravel(), J * p.size).reshape(J, p.size)
        H[:J, D.stop :] = (self.M[1:-1].T @ in_groups)[:, D.stop :]
        # predictor against itself
        wF = w[:, None] * self.F
        H[D, D] = self.F.T @ wF
        for k in range(p.K):
            at = p.columns[:, k]
            flat_k = (at[:, None] * p.n_dense + np.arange(p.n_dense)).ravel()
            block = np.bincount(flat_k, (self.values[:, k, None] * wF).ravel(), p.size * p.n_dense)
            H[D] += block.reshape(p.size, p.n_dense).T
        weights = self.values[:, p.pair_k] * self.values[:, p.pair_m] * w[:, None]
        pairs = np.bincount(p.pair_flat.ravel(), weights.ravel(), p.size**2).reshape(p.size, p.size)
        H += np.triu(pairs, 0)
        if self.term is not None:
            self._add_slope_curvature(H, (t.f_r + t.f_l) * self.term)
        return np.triu(H) + np.triu(H, 1).T

    def _add_slope_curvature(self, H: Floats, per_row: Floats) -> None:
        p = self.p
        s = p.group_slice(0)
        by_level = np.bincount(p.columns[:, 0], per_row, p.size)[s]
        H[p.J, p.J] += by_level.sum()
        H[p.J, s] += by_level
        H[np.arange(s.start, s.stop), np.arange(s.start, s.stop)] += by_level

    def adjoint(self, S: Floats) -> Floats:
        """Gradient in theta of tr(S H(theta)), H the negative Hessian of the log-likelihood.

        Parameters
        ----------
        S : ndarray, shape (P, P), symmetric

        Returns
        -------
        ndarray, shape (P,)
        """
        t, p, J, D = self.terms, self.p, self.p.J, self.p.dense
        Q = t.cross
        v_r, v_l = t.v_r, t.v_l
        M_r, M_l = self.M[p.upper_cut], self.M[p.lower_cut]  # (n, J)
        # A_i S in the cutpoint and dense columns, and A_i S A_i
        front = slice(0, D.stop)
        ZS = np.zeros((p.n, D.stop))
        for k in range(p.K):
            ZS += self.values[:, k, None] * S[p.columns[:, k], front]
        AS = self.F @ S[D, front] + ZS
        twice = np.where(p.pair_k == p.pair_m, 1.0, 2.0)
        pair_values = self.values[:, p.pair_k] * self.values[:, p.pair_m] * twice
        hA = (self.F * (AS[:, D] + ZS[:, D])).sum(1) + (S.ravel()[p.pair_flat] * pair_values).sum(1)
        U = AS[:, :J]  # A_i S_{A,c}
        S_cc = S[:J, :J]
        SM = self.M @ S_cc  # (J + 2, J): S M_b
        MSM = SM @ self.M.T
        uM_r, uM_l = (U * M_r).sum(1), (U * M_l).sum(1)
        h_R = MSM[p.upper_cut, p.upper_cut] - 2.0 * uM_r + hA
        h_L = MSM[p.lower_cut, p.lower_cut] - 2.0 * uM_l + hA
        h_D = (
            MSM[p.upper_cut, p.upper_cut]
            + MSM[p.lower_cut, p.lower_cut]
            - 2.0 * MSM[p.upper_cut, p.lower_cut]
        )
        curl = np.concatenate([[0.0, 0.0], np.cumsum(self.steps * np.diag(S_cc)[1:]), [0.0]])  # tr(S d2c_b)
        t_r, t_l = curl[p.upper_cut], curl[p.lower_cut]
        third_r, third_l = t.third(h_R, h_L, h_D)
        A_r = third_r + (v_r + Q) * t_r - Q * t_l
        A_l = third_l - Q * t_r + (v_l + Q) * t_l
        SR_c = SM[p.upper_cut] - U
        SL_c = SM[p.lower_cut] - U
        by_gap_r = 2.0 * (v_r[:, None] * SR_c + Q[:, None] * (SR_c - SL_c))[:, 1:]
        by_gap_l = 2.0 * (v_l[:, None] * SL_c - Q[:, None] * (SR_c - SL_c))[:, 1:]
        extra_slope = None
        if self.term is not None:
            s_column = p.columns[:, 0]
            z = S[J, J] + 2.0 * S[J, s_column] + S[s_column, s_column]
            A_r = A_r - v_r * self.term * z
            A_l = A_l - v_l * self.term * z
            # S R at lambda plus S R at s_e, and the same for L
            AS_s = (self.F * S[s_column, D]).sum(1) + (self.values * S[p.columns, s_column[:, None]]).sum(1)
            bow = AS[:, J] + AS_s
            S_cs = S[:J, J][:, None] + S[:J, s_column]  # (J, n)
            SR_s = (M_r * S_cs.T).sum(1) - bow
            SL_s = (M_l * S_cs.T).sum(1) - bow
            extra_slope = (t.f_r + t.f_l) * z - 2.0 * (v_r * SR_s + v_l * SL_s)
        out = p.gather(-(A_r + A_l), self.term)
        out[:J] = self._cut_sums(A_r, A_l)[1:-1] @ self.M[1:-1]
        tail_f = self._gap_sums(t.f_r, t.f_l)
        out[1:J] -= self.steps * np.diag(S_cc)[1:] * tail_f
        for k in range(J - 1):
            out[1 + k] += self.steps[k] * self._gap_sums(by_gap_r[:, k], by_gap_l[:, k])[k]
        if extra_slope is not None:
            by_level = np.bincount(p.columns[:, 0], extra_slope * self.term, p.size)
            out += by_level
            out[J] += by_level.sum()
        return out
