"""How the parameters of a cumulative-link mixed model lie in one vector, and the predictor they make (layer: numerics).

Order of the vector ``theta`` (length P):

    cutpoints   c_1, g_1 .. g_{J-1}              (J)
    dense       lambda (only with a slope), then the coefficients of X
    groups      s_e (only with a slope), then every grouping factor in turn

and the predictor is  eta_i = exp(lambda + s_{e(i)}) * ell_i + X_i beta + sum_k value_{k,i} u_{k, index_k(i)}.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import sparse

from analysis.numerics.cumulative_link import ETA_LIMIT, Floats, Ints
from analysis.numerics.links import Link
from analysis.numerics.row_products import DENSE_BELOW, RowProducts


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """One grouping factor: each row belongs to one level and carries one value there.

    Attributes
    ----------
    index : ndarray of int, shape (n_rows,)
        Level of each row, 0 .. size - 1.
    value : ndarray, shape (n_rows,)
        What multiplies the level's effect: 1 for an intercept, a covariate for a slope, 0 for no membership.
    size : int
        Number of levels.
    """

    index: Ints
    value: Floats
    size: int


@dataclass(frozen=True, slots=True, eq=False)
class Slope:
    """The positive load slope exp(lambda + s_e) of each row.

    Attributes
    ----------
    ell : ndarray, shape (n_rows,), octaves of load from the centre
    index : ndarray of int, shape (n_rows,)
        Which s_e applies.
    size : int
        Number of s_e.
    """

    ell: Floats
    index: Ints
    size: int


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Answers and covariates of a cumulative-link mixed model.

    Attributes
    ----------
    low, high : ndarray of int, shape (n_rows,)
        Lowest and highest category the answer allows, 0 .. J.
    X : ndarray, shape (n_rows, n_dense)
        Covariates of the fixed coefficients.
    groups : tuple of Group
    slope : Slope or None
    n_cutpoints : int
        J.
    link : {"logit", "probit"}
        Distribution of the latent answer: logistic or normal.
    """

    low: Ints
    high: Ints
    X: Floats
    groups: tuple[Group, ...]
    slope: Slope | None
    n_cutpoints: int
    link: Link = "logit"


class Predictor:
    """Index arithmetic of ``theta`` for given rows, prepared once a fit.

    Parameters
    ----------
    rows : Rows
    """

    def __init__(self, rows: Rows) -> None:
        self.rows = rows
        self.n = rows.low.size
        self.J = rows.n_cutpoints
        self.lower_cut = rows.low  # index into the cutpoints with open ends: c_low, 0 is minus infinity
        self.upper_cut = rows.high + 1
        slope = rows.slope
        self.has_slope = slope is not None
        self.n_dense = int(self.has_slope) + rows.X.shape[1]
        self.dense = slice(self.J, self.J + self.n_dense)
        groups = rows.groups
        if slope is not None:
            groups = (Group(slope.index, np.zeros(self.n), slope.size), *groups)
        self.groups = groups
        self.offsets = np.cumsum([self.J + self.n_dense, *(group.size for group in groups)])
        self.size = int(self.offsets[-1])
        self.K = len(groups)
        self.columns = (
            np.stack([o + g.index for o, g in zip(self.offsets, groups, strict=False)], axis=1)
            if groups
            else np.zeros((self.n, 0), dtype=np.int64)
        )
        self.values = np.stack([g.value for g in groups], axis=1) if groups else np.zeros((self.n, 0))
        self._slope_levels = (
            _indicator(slope.index, slope.size) if slope is not None else np.zeros((0, self.n))
        )
        self.upper_table = _indicator(self.upper_cut - 1, self.J)
        self.lower_table = _indicator(self.lower_cut - 1, self.J)

    @cached_property
    def products(self) -> RowProducts:
        """Sums over rows of products of what the factors multiply; made when first asked for."""
        return RowProducts(self.columns, self.values, self.size, has_slope=self.has_slope)

    def group_slice(self, k: int) -> slice:
        """Positions in theta of group `k` (group 0 is s_e where there is a slope)."""
        return slice(int(self.offsets[k]), int(self.offsets[k + 1]))

    @cached_property
    def _linear(self) -> Floats | sparse.csr_array:
        """All of eta but the slope term and the cutpoints, as one (n, P - J) matrix."""
        first = int(self.has_slope)
        n_linear = self.size - self.J
        every_row = np.arange(self.n)
        if self.n * n_linear <= DENSE_BELOW:
            matrix = np.zeros((self.n, n_linear))
            matrix[:, first : self.n_dense] = self.rows.X
            matrix[every_row[:, None], self.columns[:, first:] - self.J] = self.values[:, first:]
            return matrix
        dense = np.broadcast_to(np.arange(first, self.n_dense), self.rows.X.shape)
        j = np.concatenate([dense, self.columns[:, first:] - self.J], axis=1).ravel()
        v = np.concatenate([self.rows.X, self.values[:, first:]], axis=1).ravel()
        i = np.repeat(every_row, v.size // max(self.n, 1))
        kept = v != 0.0
        return sparse.csr_array((v[kept], (i[kept], j[kept])), shape=(self.n, n_linear))

    def slope_term(self, theta: Floats) -> Floats:
        """exp(lambda + s_e) * ell, shape (n_rows,) or (n_rows, n_chains); the derivative in lambda and in s_e."""
        slope = self.rows.slope
        assert slope is not None
        log_slope = theta[self.J] + theta[self.group_slice(0)]
        ell = slope.ell if theta.ndim == 1 else slope.ell[:, None]
        return np.asarray(np.exp(np.minimum(log_slope, 30.0))[slope.index] * ell)

    def eta(self, theta: Floats) -> tuple[Floats, Floats | None]:
        """Predictor of each row, and its slope term.

        Parameters
        ----------
        theta : ndarray, shape (P,) or (P, n_chains)

        Returns
        -------
        eta : ndarray, shape (n_rows,) or (n_rows, n_chains)
        slope_term : ndarray of the same shape, or None without a slope
        """
        eta = self._linear @ theta[self.J :]
        if not self.has_slope:
            return np.clip(eta, -ETA_LIMIT, ETA_LIMIT), None
        term = self.slope_term(theta)
        return np.clip(eta + term, -ETA_LIMIT, ETA_LIMIT), term

    def gather(self, f_eta: Floats, term: Floats | None) -> Floats:
        """Transpose of `eta`'s derivative: sum over rows of f_eta times d eta / d theta, cutpoints left zero.

        Parameters
        ----------
        f_eta : ndarray, shape (n_rows,) or (n_rows, n_chains)
        term : ndarray or None
            Slope term from `eta`.

        Returns
        -------
        ndarray, shape (P,) or (P, n_chains)
        """
        out = np.zeros((self.size, *f_eta.shape[1:]))
        out[self.J :] = self._linear.T @ f_eta
        if term is not None:
            per_row = f_eta * term
            by_level = self._slope_levels @ per_row
            out[self.group_slice(0)] = by_level
            out[self.J] = by_level.sum(axis=0)
        return out


def _indicator(index: Ints, size: int) -> Floats:
    """Matrix (size, n) with a 1 where row's index says so; indices outside are left out."""
    table = np.zeros((size, index.size))
    inside = (index >= 0) & (index < size)
    table[index[inside], np.flatnonzero(inside)] = 1.0
    return table
