"""Curvature of the effects of grouping factors, the largest factor eliminated (layer: numerics).

With w_i the weight of row i and z_i what multiplies the effects in it, the negative Hessian of the effects is

    H = sum_i w_i z_i z_i' + diag(precision) = [[D, B], [B', E]].

A row belongs to one level of each factor, so that the block D of the largest factor is diagonal, and everything
needs the Cholesky factor of the Schur complement C = E - B' D^-1 B alone. With F = [-D^-1 B; I],

    S = H^-1 = diag(D^-1, 0) + F C^-1 F'.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import sparse
from scipy.linalg import lapack

from analysis.errors import FitError
from analysis.numerics.cumulative_link import Floats, Ints
from analysis.numerics.predictor import Group
from analysis.numerics.row_products import DENSE_BELOW


class EffectsLayout:
    """Order of the effects, the largest factor first, and the sparse matrices of the rows.

    Parameters
    ----------
    groups : sequence of Group
        One or more.

    Attributes
    ----------
    spans : tuple of slice
        Place of each factor's effects, in the order given.
    first : int
        Levels of the largest factor.
    rest : int
        Levels of all others together.
    Z, Z_transposed : ndarray or csr_array, shape (n_rows, n_effects) and its transpose
    pairs : csc_array, shape (first + first * rest + rest^2, n_rows)
        Products z_ik z_im at the places of D, B and E.
    """

    def __init__(self, groups: tuple[Group, ...]) -> None:
        largest = int(np.argmax([group.size for group in groups]))
        order = [largest, *(k for k in range(len(groups)) if k != largest)]
        ends = np.cumsum([0, *(groups[k].size for k in order)])
        place = {k: slice(int(ends[i]), int(ends[i + 1])) for i, k in enumerate(order)}
        self.spans = tuple(place[k] for k in range(len(groups)))
        self.first, self.size = int(ends[1]), int(ends[-1])
        self.rest = self.size - self.first
        n, K = groups[0].index.size, len(groups)
        columns = np.stack([groups[k].index + place[k].start for k in order], axis=1)
        values = np.stack([groups[k].value for k in order], axis=1)
        ends_of_rows = np.arange(n + 1) * K
        Z = sparse.csr_array((values.ravel(), columns.ravel(), ends_of_rows), shape=(n, self.size))
        self.Z = Z.toarray() if n * self.size <= DENSE_BELOW else Z
        self.Z_transposed = self.Z.T if isinstance(self.Z, np.ndarray) else Z.T.tocsr()
        self.pairs = self._pairs(columns, values)
        self.pairs_transposed = self.pairs.T

    def _pairs(self, columns: Ints, values: Floats) -> sparse.csc_array:
        n = len(columns)
        others = columns[:, 1:] - self.first
        in_B = self.first + columns[:, :1] * self.rest + others
        start_of_E = self.first * (1 + self.rest)
        in_E = (start_of_E + others[:, :, None] * self.rest + others[:, None, :]).reshape(n, -1)
        place = np.concatenate([columns[:, :1], in_B, in_E], axis=1)
        inner = (values[:, 1:, None] * values[:, None, 1:]).reshape(n, -1)
        product = np.concatenate([values[:, :1] * values, inner], axis=1)
        ends = np.arange(n + 1) * place.shape[1]
        shape = (start_of_E + self.rest**2, n)
        return sparse.csc_array((product.ravel(), place.ravel(), ends), shape=shape)

    def parts(self, sums: Floats) -> tuple[Floats, Floats, Floats]:
        """D, B and E of sums over rows, `pairs` times weights of shape (n_rows, ...)."""
        after_B = self.first * (1 + self.rest)
        more = sums.shape[1:]
        return (
            sums[: self.first],
            sums[self.first : after_B].reshape(self.first, self.rest, *more),
            sums[after_B:].reshape(self.rest, self.rest, *more),
        )


@dataclass(frozen=True, slots=True, eq=False)
class EffectsCurvature:
    """H factored; what is asked of its inverse S. Made by `factored`.

    Attributes
    ----------
    layout : EffectsLayout
    D : ndarray, shape (first,)
    B_over_D : ndarray, shape (first, rest)
        D^-1 B.
    L : ndarray, shape (rest, rest)
        Lower Cholesky factor of the Schur complement.
    log_det : float
        log|H|.
    """

    layout: EffectsLayout
    D: Floats
    B_over_D: Floats
    L: Floats
    log_det: float

    def solve(self, right: Floats) -> Floats:
        """S times `right`, shape (n_effects,) or (n_effects, m)."""
        first = self.layout.first
        above = (right[:first].T / self.D).T
        if not self.layout.rest:
            return np.asarray(above)
        below = lapack.dpotrs(self.L, right[first:] - self.B_over_D.T @ right[:first], lower=1)[0]
        return np.concatenate([above - self.B_over_D @ below, below])

    def variances(self) -> tuple[Floats, Floats]:
        """Diagonal of S, shape (n_effects,), and z_i' S z_i of every row, shape (n_rows,)."""
        layout = self.layout
        if not layout.rest:
            return 1.0 / self.D, np.asarray(layout.pairs_transposed @ (1.0 / self.D))
        lower = lapack.dpotri(self.L, lower=1)[0]
        S_rest = np.tril(lower) + np.tril(lower, -1).T
        shared = self.B_over_D @ S_rest
        above = 1.0 / self.D + (shared * self.B_over_D).sum(axis=1)
        diagonal = np.concatenate([above, np.diag(S_rest)])
        per_pair = np.concatenate([above, -2.0 * shared.ravel(), S_rest.ravel()])
        return diagonal, np.asarray(layout.pairs_transposed @ per_pair)

    def traces(self, weights: Floats, precision: Floats) -> Floats:
        """tr(S H_a S H_b) of directions a, b in which H changes by H_a = sum_i weight_ia z_i z_i' + diag(precision_a).

        With C = LL' and N = L^-T it is the sum over all entries of D_a D_b / D^2 + 2 W_a N (W_b N) / D + Q_a Q_b, where
        W_a = B_a - D_a D^-1 B and Q_a = N' F' H_a F N.

        Parameters
        ----------
        weights : ndarray, shape (n_rows, m)
        precision : ndarray, shape (n_effects, m)

        Returns
        -------
        ndarray, shape (m, m)
        """
        layout = self.layout
        first, rest, m = layout.first, layout.rest, weights.shape[1]
        D_a, B_a, E_a = layout.parts(layout.pairs @ weights)
        D_a = D_a + precision[:first]
        scaled = D_a / self.D[:, None]
        total = scaled.T @ scaled
        if not rest:
            return np.asarray(total)
        inverse = lapack.dtrtri(self.L, lower=1)[0]  # N'
        of_B = (self.B_over_D.T @ B_a.reshape(first, -1)).reshape(rest, rest, m)
        W = D_a[:, None, :] * self.B_over_D[:, :, None]
        np.subtract(B_a, W, out=W)
        inner = (self.B_over_D.T @ W.reshape(first, -1)).reshape(rest, rest, m)
        inner += of_B.transpose(1, 0, 2)
        np.subtract(E_a, inner, out=inner)
        at = np.arange(rest)
        inner[at, at] += precision[first:]
        Q = np.matmul(inverse, (inverse @ inner.reshape(rest, -1)).reshape(rest, rest, m)).reshape(-1, m)
        W /= np.sqrt(self.D)[:, None, None]
        W = np.matmul(inverse, W).reshape(-1, m)
        return np.asarray(total + 2.0 * (W.T @ W) + Q.T @ Q)


def factored(layout: EffectsLayout, weights: Floats, precision: Floats) -> EffectsCurvature:
    """Factor H.

    Parameters
    ----------
    layout : EffectsLayout
    weights : ndarray, shape (n_rows,)
        0 or more.
    precision : ndarray, shape (n_effects,)
        Above 0.

    Returns
    -------
    EffectsCurvature

    Raises
    ------
    FitError
        If H is not finite and positive definite.
    """
    D, B, E = layout.parts(np.asarray(layout.pairs @ weights))
    D = D + precision[: layout.first]
    B_over_D = B / D[:, None]
    C = E - B.T @ B_over_D
    at = np.arange(layout.rest)
    C[at, at] += precision[layout.first :]
    L, info = lapack.dpotrf(C, lower=1) if layout.rest else (C, 0)
    if info or not ((D > 0.0).all() and np.isfinite(L).all()):
        raise FitError(
            "The curvature of the effects is not positive definite; please keep the data and report it."
        )
    log_det = float(np.log(D).sum()) + 2.0 * float(np.log(np.diag(L)).sum())
    return EffectsCurvature(layout, D, B_over_D, np.asarray(L), log_det)
