"""Log-likelihood of the cumulative logit model and its gradient for many chains at once (layer: numerics).

With s the logistic function and ``r > l`` the distances of a row's upper and lower cutpoint from its predictor,

    s(r) - s(l) = s(r) s(-l) (1 - exp(l - r)),

so that a row is one binary logistic term at an open end, two of them between cutpoints, and a last factor that
knows only the gap between the two cutpoints. All binary terms together are ``-log(1 + exp(x))`` with ``x``
linear in (first cutpoint, steps between cutpoints, coefficients, slopes): one matrix product forward, one back,
and one elementwise function, whatever the scores are.
"""

from __future__ import annotations

import numpy as np
from scipy import sparse

from analysis.numerics.cumulative_link import Floats, Ints
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.split_matrix import SplitMatrix

MOST_LOG_SLOPE = 30.0
"""Log slopes are cut here: beyond it a slope is a wall, and its square would overflow."""

ROWS_A_PRODUCT = 512
"""Factors between 1 and 2 whose product stays far from overflow."""


class ChainLikelihood:
    """Binary logistic terms of all rows, prepared once for a run of draws.

    Parameters
    ----------
    predictor : Predictor
        Rows and the order of theta.

    Raises
    ------
    ValueError
        If the link is not the logit.
    """

    def __init__(self, predictor: Predictor) -> None:
        rows = predictor.rows
        if rows.link != "logit":
            raise ValueError(f"link is {rows.link!r}; draws are made for the logit only.")
        self.J = predictor.J
        self.slope_levels = predictor.group_slice(0) if predictor.has_slope else None
        halved = 0.5 * _signed_terms(predictor, rows)
        self._terms = SplitMatrix(halved)
        self._total = np.asarray(halved.sum(axis=0)).reshape(-1, 1)
        inner = (rows.low > 0) & (rows.high < self.J)
        pairs, counts = np.unique(
            np.stack([rows.low[inner], rows.high[inner]], axis=1), axis=0, return_counts=True
        )
        # gap between cutpoints low and high + 1: the sum of the steps low .. high, counted from 1
        steps = np.arange(1, self.J)
        self._gaps = ((steps >= pairs[:, :1]) & (steps <= pairs[:, 1:])).astype(float)  # (n_pairs, J - 1)
        self._gap_counts = counts.astype(float)

    def value_and_gradient(self, theta: Floats) -> tuple[Floats, Floats]:
        """Log-likelihood of each chain and its gradient in theta.

        Parameters
        ----------
        theta : ndarray, shape (P, n_chains)

        Returns
        -------
        value : ndarray, shape (n_chains,)
        gradient : ndarray, shape (P, n_chains)
        """
        w, steps = self._linear_parameters(theta)
        half = self._terms.times(w)
        value = -_sum_of_softplus(half)
        if self._gap_counts.size:
            value = value + self._gap_counts @ np.log(-np.expm1(-(self._gaps @ steps)))
        return value, self._gradient_from(half, w, steps)

    def gradient(self, theta: Floats) -> Floats:
        """Gradient alone, shape (P, n_chains)."""
        w, steps = self._linear_parameters(theta)
        return self._gradient_from(self._terms.times(w), w, steps)

    def _linear_parameters(self, theta: Floats) -> tuple[Floats, Floats]:
        """Theta with steps for their logs and slopes for the log slopes; and the steps between cutpoints."""
        w = theta.copy()
        steps = np.exp(theta[1 : self.J], out=w[1 : self.J])
        if self.slope_levels is not None:
            log_slope = theta[self.slope_levels] + theta[self.J]
            w[self.slope_levels] = np.exp(np.minimum(log_slope, MOST_LOG_SLOPE, out=log_slope), out=log_slope)
        return w, steps

    def _gradient_from(self, half: Floats, w: Floats, steps: Floats) -> Floats:
        """Gradient in theta; `half`, half of each term's x, is overwritten."""
        J = self.J
        # d/dx of -log(1 + exp(x)) is -(1 + tanh(x / 2)) / 2
        out = self._terms.transposed_times(np.tanh(half, out=half))
        out += self._total
        np.negative(out, out=out)
        if self._gap_counts.size:
            out[1:J] += self._gaps.T @ (self._gap_counts[:, None] / np.expm1(self._gaps @ steps))
        out[1:J] *= steps
        if self.slope_levels is not None:
            by_level = out[self.slope_levels] * w[self.slope_levels]
            out[self.slope_levels] = by_level
            out[J] = by_level.sum(axis=0)
        return out


def _sum_of_softplus(half: Floats) -> Floats:
    """Sum over rows of log(1 + exp(2 half)) without overflow, by one logarithm of a product for many rows."""
    size = np.abs(half)
    total = (size + half).sum(axis=0)
    size *= -2.0
    one_and_tail = np.exp(size, out=size)
    one_and_tail += 1.0
    products = np.multiply.reduceat(one_and_tail, np.arange(0, len(half), ROWS_A_PRODUCT), axis=0)
    return np.asarray(total + np.log(products).sum(axis=0))


def _signed_terms(predictor: Predictor, rows: Rows) -> sparse.csr_array:
    """Matrix of x: predictor minus upper cutpoint, and lower cutpoint minus predictor; shape (n_terms, P)."""
    n, J = predictor.n, predictor.J
    below, above = np.flatnonzero(rows.high < J), np.flatnonzero(rows.low > 0)
    row, column, value = [], [], []

    def add(at: Ints | int, values: Floats) -> None:
        row.append(np.arange(n))
        column.append(np.broadcast_to(np.asarray(at, dtype=np.int64), (n,)))
        value.append(np.broadcast_to(values, (n,)))

    first = int(predictor.has_slope)
    for c in range(rows.X.shape[1]):
        add(J + first + c, rows.X[:, c])
    for k in range(first, predictor.K):
        add(predictor.columns[:, k], predictor.values[:, k])
    if rows.slope is not None:
        add(predictor.columns[:, 0], rows.slope.ell)
    shape = (n, predictor.size)
    if row:
        entries = (np.concatenate(value), (np.concatenate(row), np.concatenate(column)))
        linear = sparse.csr_array(entries, shape=shape)
        linear.eliminate_zeros()
    else:
        linear = sparse.csr_array(shape)

    # cutpoint j is the first one and j steps
    sums = sparse.csr_array(np.tri(J, J), shape=(J, J))
    sums.resize((J, predictor.size))

    upper = linear[below] - sums[rows.high[below]]
    lower = sums[rows.low[above] - 1] - linear[above]
    return sparse.csr_array(sparse.vstack([upper, lower], format="csr"))
