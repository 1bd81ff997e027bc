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
        self.F = p.rows.X if self.term is None else np.column_stack([self.term, p.rows.X])
        self.Z = p.products.matrix(self.term)
        self._cuts: tuple[Floats, Floats] | None = None

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
        w = t.v_r + t.v_l
        J, D = p.J, p.dense
        behind = slice(D.stop, p.size)
        # predictor against itself; only the upper triangle is filled at first
        H = p.products.weighted(w, self.term)
        wF = w[:, None] * self.F
        H[D, D] += np.triu(self.F.T @ wF)
        V, in_c = self._cut_weights()
        in_groups = (self.Z.T @ np.concatenate([wF.T, V]).T)[behind].T  # dense, then cutpoints
        H[D, behind] = in_groups[: p.n_dense]
        # cutpoints against cutpoints, first in c and then in (c_1, g)
        M = self.M[1:-1]
        H[:J, :J] += np.triu(M.T @ in_c[1:-1, 1:-1] @ M)
        gaps = np.arange(1, J)
        H[gaps, gaps] -= self.steps * self._gap_sums(t.f_r, t.f_l)
        # cutpoints against the predictor
        H[:J, D] = M.T @ (V @ self.F)
        H[:J, behind] = M.T @ in_groups[p.n_dense :]
        if self.term is not None:
            self._add_slope_curvature(H, (t.f_r + t.f_l) * self.term)
        diagonal = np.diag(H).copy()
        H = H + H.T
        np.fill_diagonal(H, diagonal)
        return H

    def _cut_weights(self) -> tuple[Floats, Floats]:
        """Negative second derivatives of cutpoints with rows (J, n), and with one another (J + 2, J + 2)."""
        if self._cuts is None:
            t, p, size = self.terms, self.p, self.p.J + 2
            Q = t.cross
            in_c = np.diag(self._cut_sums(t.v_r + Q, t.v_l + Q))
            cross = np.bincount(p.upper_cut * size + p.lower_cut, Q, size * size).reshape(size, size)
            self._cuts = -(p.upper_table * t.v_r + p.lower_table * t.v_l), in_c - cross - cross.T
        return self._cuts

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
        every = np.arange(p.n)
        # A_i S in the cutpoint and dense columns, and A_i S A_i
        front = slice(0, D.stop)
        ZS = self.Z @ S[:, front]
        AS = self.F @ S[D, front] + ZS
        hA = np.einsum("ij,ij->i", self.F, AS[:, D] + ZS[:, D]) + p.products.quadratic(S, self.term)
        U = AS[:, :J]  # A_i S_{A,c}
        S_cc = S[:J, :J]
        SM = self.M @ S_cc  # (J + 2, J): S M_b
        MSM = SM @ self.M.T
        uM = U @ self.M.T  # (n, J + 2)
        own_r, own_l = np.diag(MSM)[p.upper_cut], np.diag(MSM)[p.lower_cut]
        h_R = own_r - 2.0 * uM[every, p.upper_cut] + hA
        h_L = own_l - 2.0 * uM[every, p.lower_cut] + hA
        h_D = own_r + own_l - 2.0 * MSM[p.upper_cut, p.lower_cut]
        curl = np.concatenate([[0.0, 0.0], np.cumsum(self.steps * np.diag(S_cc)[1:]), [0.0]])  # tr(S d2c_b)
        t_r, t_l = curl[p.upper_cut], curl[p.lower_cut]
        third_r, third_l = t.third(h_R, h_L, h_D)
        A_r = third_r + (v_r + Q) * t_r - Q * t_l
        A_l = third_l - Q * t_r + (v_l + Q) * t_l
        extra_slope = None
        if self.term is not None:
            s_column = p.columns[:, 0]
            z = S[J, J] + 2.0 * S[J, s_column] + S[s_column, s_column]
            A_r = A_r - v_r * self.term * z
            A_l = A_l - v_l * self.term * z
            # S R at lambda plus S R at s_e, and the same for L
            ZS_s = (self.Z @ S[:, p.group_slice(0)])[every, s_column - D.stop]
            AS_s = np.einsum("ij,ij->i", self.F, S[s_column, D]) + ZS_s
            bow = AS[:, J] + AS_s
            S_cs = self.M @ (S[:J, J][:, None] + S[:J, p.group_slice(0)])  # (J + 2, number of slopes)
            SR_s = S_cs[p.upper_cut, s_column - D.stop] - bow
            SL_s = S_cs[p.lower_cut, s_column - D.stop] - bow
            extra_slope = (t.f_r + t.f_l) * z - 2.0 * (v_r * SR_s + v_l * SL_s)
        out = p.gather(-(A_r + A_l), self.term)
        out[:J] = self._cut_sums(A_r, A_l)[1:-1] @ self.M[1:-1]
        tail_f = self._gap_sums(t.f_r, t.f_l)
        out[1:J] -= self.steps * np.diag(S_cc)[1:] * tail_f
        V, in_c = self._cut_weights()
        by_cut = 2.0 * (V @ U + in_c[1:-1] @ SM)  # rows of S H summed over each cutpoint's rows, (J, J)
        out[1:J] += self.steps * (by_cut[:, 1:] * np.tri(J, J - 1, -1)).sum(0)
        if extra_slope is not None:
            by_level = np.bincount(p.columns[:, 0], extra_slope * self.term, p.size)
            out += by_level
            out[J] += by_level.sum()
        return out
