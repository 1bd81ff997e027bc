"""A matrix whose full columns are kept dense and whose other columns sparse (layer: numerics)."""

from __future__ import annotations

import numpy as np
from scipy import sparse

from analysis.numerics.cumulative_link import Floats

DENSE_BELOW = 60_000
"""Entries below which a wholly dense product beats the sparse one (measured with 32 columns on the right)."""
FULL = 0.25
"""Share of entries that are not zero above which a column is kept dense."""


class SplitMatrix:
    """Products of a sparse matrix and of its transpose with matrices of a few columns.

    Parameters
    ----------
    matrix : csr_array, shape (n, m)
    """

    def __init__(self, matrix: sparse.csr_array) -> None:
        n, m = matrix.shape
        share = np.bincount(matrix.indices, minlength=m) / max(n, 1)
        self._full = np.flatnonzero(share > FULL) if n * m > DENSE_BELOW else np.arange(m)
        self._dense = matrix[:, self._full].toarray()
        self._dense_transposed = np.ascontiguousarray(self._dense.T)
        self._sparse: sparse.csr_array | None = None
        if self._full.size < m:
            kept = np.ones(m)
            kept[self._full] = 0.0
            self._sparse = sparse.csr_array(matrix @ sparse.diags_array(kept))
            self._sparse.eliminate_zeros()

    def times(self, right: Floats) -> Floats:
        """Matrix times `right` (m, k), shape (n, k)."""
        if self._sparse is None:
            return np.asarray(self._dense @ right)
        product = self._sparse @ right
        product += self._dense @ right[self._full]
        return np.asarray(product)

    def transposed_times(self, right: Floats) -> Floats:
        """Transpose times `right` (n, k), shape (m, k)."""
        if self._sparse is None:
            return np.asarray(self._dense_transposed @ right)
        product = self._sparse.T @ right
        product[self._full] = self._dense_transposed @ right
        return np.asarray(product)
