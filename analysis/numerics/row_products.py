"""Sums over rows of products of what the grouping factors multiply, by sparse matrices made once (layer: numerics).

Row i has the value z_ik in the column of its level of factor k. Factor 0 may be the load slope, whose value is the
slope term and changes with theta; all others stay. Z is the sparse matrix (n, P) of these values, and the pairs
matrix B holds z_ik z_im of every pair of factors k <= m, so that the upper triangle of Z' W Z is B w.
"""

from __future__ import annotations

import numpy as np
from scipy import sparse

from analysis.numerics.cumulative_link import Floats, Ints

DENSE_BELOW = 60_000
"""Rows times columns below which a dense product beats the sparse one."""


class RowProducts:
    """Sparse matrices of the grouping factors.

    Parameters
    ----------
    columns : ndarray of int, shape (n, K)
        Column of theta of each row's level of each factor, ascending in each row.
    values : ndarray, shape (n, K)
        What multiplies the effect there; column 0 is ignored where `has_slope`.
    size : int
        P.
    has_slope : bool
    """

    def __init__(self, columns: Ints, values: Floats, size: int, *, has_slope: bool) -> None:
        n, K = columns.shape
        self.size = size
        self.has_slope = has_slope
        self._columns = np.ascontiguousarray(columns)
        self._values = values.copy()
        if has_slope:
            self._values[:, 0] = 1.0
        self._row_ends = np.arange(n + 1) * K
        self._every = np.arange(n)
        self._dense: Floats | None = None
        if n * size <= DENSE_BELOW:
            self._dense = np.zeros((n, size))
            self._dense[self._every[:, None], self._columns] = self._values
        pairs = [(k, m) for k in range(K) for m in range(k, K)]
        # in how many of its two places a pair has the slope term
        by_power = [[(k, m) for k, m in pairs if (k == 0) + (m == 0) == power] for power in range(3)]
        if not has_slope:
            by_power = [pairs]
        self._pairs = self._pair_matrix(by_power)
        self._pairs_transposed = self._pairs.T

    def _pair_matrix(self, blocks: list[list[tuple[int, int]]]) -> sparse.csc_array:
        """Matrix (P * P, n times blocks) with z_ik z_im at the place of each pair, slope terms taken as 1.

        A block of n columns holds its own pairs.
        """
        n = self._columns.shape[0]
        places, products = [], []
        for pairs in blocks:
            first, second = [k for k, _ in pairs], [m for _, m in pairs]
            places.append((self._columns[:, first] * self.size + self._columns[:, second]).ravel())
            products.append((self._values[:, first] * self._values[:, second]).ravel())
        ends = np.cumsum([0, *np.repeat([len(pairs) for pairs in blocks], n)])
        shape = (self.size**2, n * len(blocks))
        return sparse.csc_array((np.concatenate(products), np.concatenate(places), ends), shape=shape)

    def matrix(self, term: Floats | None) -> sparse.csr_array | Floats:
        """Z at a slope term, shape (n, P).

        Parameters
        ----------
        term : ndarray, shape (n,), or None
            None without a slope.

        Returns
        -------
        csr_array, or ndarray for few rows and columns
        """
        if self._dense is not None:
            if term is None:
                return self._dense
            Z = self._dense.copy()
            Z[self._every, self._columns[:, 0]] = term
            return Z
        values = self._values
        if term is not None:
            values = values.copy()
            values[:, 0] = term
        shape = (self._columns.shape[0], self.size)
        return sparse.csr_array((values.ravel(), self._columns.ravel(), self._row_ends), shape=shape)

    def weighted(self, w: Floats, term: Floats | None) -> Floats:
        """Upper triangle of Z' diag(w) Z, shape (P, P); zero below the diagonal."""
        weights = w if term is None else np.concatenate([w, w * term, w * term**2])
        return np.asarray(self._pairs @ weights).reshape(self.size, self.size)

    def quadratic(self, S: Floats, term: Floats | None) -> Floats:
        """z_i' S z_i of every row for a symmetric S (P, P); shape (n,)."""
        doubled = 2.0 * S
        np.fill_diagonal(doubled, np.diag(S))
        sums = self._pairs_transposed @ doubled.ravel()
        if term is None:
            return np.asarray(sums)
        n = term.size
        return np.asarray(sums[:n] + term * sums[n : 2 * n] + term**2 * sums[2 * n :])
