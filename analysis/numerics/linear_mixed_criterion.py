"""Profiled likelihood of the linear mixed model at given variance ratios, with its exact gradient (layer: numerics).

y = X beta + Z b + e,  e ~ N(0, sigma^2),  b = Lambda u,  u ~ N(0, sigma^2): Lambda repeats, for every level of a
factor, a small lower triangle T; all triangles together are ``theta``. With M = Lambda' Z'Z Lambda + I the
penalised least squares of Bates, Maechler, Bolker & Walker 2015, J Stat Softw 67(1), equations 16 to 42, give the
criterion, minus twice the log-likelihood with beta and sigma profiled out,

    log|M| + log|X' V^-1 X| + (n - p) (1 + log(2 pi r^2 / (n - p)))        restricted (REML)
    log|M| + n (1 + log(2 pi r^2 / n))                                     ordinary (ML)

where V = I + Z Lambda Lambda' Z' and r^2 is the penalised residual sum of squares. Everything is computed from
cross products, so that one evaluation costs the cube of the number of effects whatever the number of rows.
The criterion is even in the sign of a column of T and smooth through zero.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import cho_solve, cholesky, qr, solve_triangular
from scipy.sparse import csr_array

from analysis.errors import OptionError
from analysis.numerics.cumulative_link import Floats, Ints

DEPENDENT = 1e-8
"""A column of X whose part outside the others is smaller than this share of the largest counts as dependent."""
NOTHING_LEFT = 1e-9
"""Share of the sum of squares of y below which X and the factors explain it wholly: sigma would be zero."""


@dataclass(frozen=True, slots=True, eq=False)
class RandomFactor:
    """A grouping factor and the columns whose coefficients vary between its levels.

    Two factors with the same levels and one column each have uncorrelated intercept and slope; one factor with two
    columns has them correlated.

    Attributes
    ----------
    level : ndarray of int, shape (n_rows,)
        0 .. n_levels - 1, every level present.
    columns : ndarray, shape (n_rows, n_columns)
        A column of ones for an intercept.
    """

    level: Ints
    columns: Floats

    @property
    def n_levels(self) -> int:
        """Number of levels."""
        return int(self.level.max(initial=-1)) + 1


@dataclass(frozen=True, slots=True, eq=False)
class MixedProducts:
    """Cross products of the model, X made orthonormal and y reduced to its residual on X.

    Attributes
    ----------
    n_rows : int
    shapes : tuple of (int, int)
        Levels and columns of each factor.
    scales : tuple of ndarray, shape (n_columns,)
        Root mean square of the columns of each factor, by which they were divided.
    R : ndarray, shape (p, p)
        X = Q R.
    beta_ols : ndarray, shape (p,)
        Least squares without random effects.
    A, B, c, yy : ndarray or float
        Z'Z, Z'Q, Z'y and y'y, with y the residual.
    """

    n_rows: int
    shapes: tuple[tuple[int, int], ...]
    scales: tuple[Floats, ...]
    R: Floats
    beta_ols: Floats
    A: Floats
    B: Floats
    c: Floats
    yy: float


@dataclass(frozen=True, slots=True, eq=False)
class MixedPoint:
    """The criterion at one theta and what follows there.

    Attributes
    ----------
    criterion : float
        Minus twice the profiled log-likelihood.
    gradient : ndarray, shape (n_theta,)
    sigma : float
        Residual standard deviation.
    beta : ndarray, shape (p,)
    covariance : ndarray, shape (p, p)
        Of beta.
    effects : ndarray, shape (q,)
        Conditional modes Lambda u, factors one after the other, level by level, columns as scaled.
    """

    criterion: float
    gradient: Floats
    sigma: float
    beta: Floats
    covariance: Floats
    effects: Floats


def mixed_products(y: Floats, X: Floats, factors: Sequence[RandomFactor]) -> MixedProducts:
    """Cross products for the criterion.

    Parameters
    ----------
    y : ndarray, shape (n_rows,)
    X : ndarray, shape (n_rows, p)
    factors : sequence of RandomFactor

    Returns
    -------
    MixedProducts

    Raises
    ------
    OptionError
        If columns of X depend on each other or on too few rows, or a factor has a level a row.
    """
    n, p = X.shape
    if n <= p:
        raise OptionError(f"{n} rows cannot tell {p} coefficients apart; give more rows than columns of X.")
    Q, R = qr(X, mode="economic")
    size = np.abs(np.diag(R))
    if size.min() <= DEPENDENT * np.linalg.norm(X, axis=0).max():
        raise OptionError("columns of X depend on each other; leave one out.")
    parts, scales, shapes = [], [], []
    for factor in factors:
        levels, k = factor.n_levels, factor.columns.shape[1]
        if levels >= n:
            raise OptionError("a factor has as many levels as rows, which the residual already is; drop it.")
        scale = np.sqrt(np.mean(factor.columns**2, axis=0))
        if not np.all(scale > 0):
            raise OptionError("a column of a random factor is all zero; leave it out.")
        at = (factor.level[:, None] * k + np.arange(k)).ravel()
        values = (factor.columns / scale).ravel()
        parts.append(csr_array((values, at, np.arange(0, n * k + 1, k)), shape=(n, levels * k)))
        scales.append(scale)
        shapes.append((levels, k))
    beta_ols = solve_triangular(R, Q.T @ y)
    rest = y - Q @ (Q.T @ y)
    rest -= Q @ (Q.T @ rest)
    q = sum(levels * k for levels, k in shapes)
    A, B, c = np.zeros((q, q)), np.zeros((q, p)), np.zeros(q)
    starts = np.concatenate([[0], np.cumsum([levels * k for levels, k in shapes])]).astype(int)
    for i, Zi in enumerate(parts):
        rows = slice(starts[i], starts[i + 1])
        B[rows], c[rows] = Zi.T @ Q, Zi.T @ rest
        for j, Zj in enumerate(parts):
            A[rows, starts[j] : starts[j + 1]] = (Zi.T @ Zj).toarray()
    return MixedProducts(n, tuple(shapes), tuple(scales), R, beta_ols, A, B, c, float(rest @ rest))


def unexplained_share(products: MixedProducts) -> float:
    """Share of the sum of squares of y, beyond X, that no effect of any level can take up.

    Where it is zero the likelihood grows without end as sigma goes to zero, or y has nothing to explain at all.

    Parameters
    ----------
    products : MixedProducts

    Returns
    -------
    float
        Between 0 and 1; 0 also for a y that X alone explains.
    """
    whole = products.yy + float(np.sum((products.R @ products.beta_ols) ** 2))
    if products.yy <= NOTHING_LEFT * whole:
        return 0.0
    beyond_X = products.A - products.B @ products.B.T
    effects = np.linalg.lstsq(beyond_X, products.c, rcond=1e-10)[0]
    return max(0.0, 1.0 - float(products.c @ effects) / products.yy)


def triangles(products: MixedProducts, theta: Floats) -> list[Floats]:
    """The lower triangle T of each factor, entries of `theta` row by row, shapes (n_columns, n_columns).

    Parameters
    ----------
    products : MixedProducts
    theta : ndarray, shape (n_theta,)

    Returns
    -------
    list of ndarray
    """
    made, at = [], 0
    for _, k in products.shapes:
        T = np.zeros((k, k))
        rows, columns = np.tril_indices(k)
        T[rows, columns] = theta[at : at + rows.size]
        made.append(T)
        at += rows.size
    return made


def mixed_point(products: MixedProducts, theta: Floats, *, reml: bool) -> MixedPoint:
    """The criterion and its gradient.

    Parameters
    ----------
    products : MixedProducts
    theta : ndarray, shape (n_theta,)
        Relative to sigma and to the scale of each column.
    reml : bool

    Returns
    -------
    MixedPoint

    Notes
    -----
    d log|M| = 2 tr(M^-1 Lambda' A dLambda), d r^2 = -2 (Z'e)' dLambda u by the envelope theorem, and
    d log|X'V^-1X| = -2 tr(W C^-1 W' dLambda Lambda') with W = Z'V^-1Q, C = Q'V^-1Q.
    """
    p = products.R.shape[0]
    degrees = products.n_rows - p if reml else products.n_rows
    T = triangles(products, theta)
    P = _lambda_t(products, T, products.A)  # Lambda' A
    M = _lambda_t(products, T, np.ascontiguousarray(P.T)) + np.eye(P.shape[0])
    L = cholesky(M, lower=True)
    cu = solve_triangular(L, _lambda_t(products, T, products.c[:, None]), lower=True)[:, 0]
    LB = _lambda_t(products, T, products.B)
    RZX = solve_triangular(L, LB, lower=True)
    C = np.eye(p) - RZX.T @ RZX
    LC = cholesky(C, lower=True)
    move = cho_solve((LC, True), -RZX.T @ cu)
    u = solve_triangular(L.T, cu - RZX @ move, lower=False)
    r2 = products.yy - float(cu @ cu) - float(np.sum((LC.T @ move) ** 2))
    effects = _lambda(products, T, u[:, None])[:, 0]

    log_det = 2.0 * float(np.log(np.diag(L)).sum())
    if reml:
        log_det += 2.0 * float(np.log(np.diag(LC)).sum() + np.log(np.abs(np.diag(products.R))).sum())
    criterion = log_det + degrees * (1.0 + float(np.log(2.0 * np.pi * r2 / degrees)))

    Ze = products.c - products.B @ move - products.A @ effects
    by_det = cho_solve((L, True), P)
    W = products.B - P.T @ cho_solve((L, True), LB)
    WC = cho_solve((LC, True), W.T).T
    LW = _lambda_t(products, T, W)
    gradient, start = [], 0
    for levels, k in products.shapes:
        here = slice(start, start + levels * k)
        shape = (levels, k, levels, k)
        G = np.einsum("lbla->ab", by_det[here, here].reshape(shape))
        G = G - degrees / r2 * Ze[here].reshape(levels, k).T @ u[here].reshape(levels, k)
        if reml:
            G = G - np.einsum("lap,lbp->ab", WC[here].reshape(levels, k, p), LW[here].reshape(levels, k, p))
        gradient.append(2.0 * G[np.tril_indices(k)])
        start += levels * k
    sigma2 = r2 / degrees
    R_inverse = solve_triangular(products.R, np.eye(p))
    root = solve_triangular(LC, R_inverse.T, lower=True)
    return MixedPoint(
        criterion=criterion,
        gradient=np.concatenate(gradient) if gradient else np.zeros(0),
        sigma=float(np.sqrt(sigma2)),
        beta=products.beta_ols + R_inverse @ move,
        covariance=sigma2 * root.T @ root,
        effects=effects,
    )


def _lambda_t(products: MixedProducts, T: list[Floats], matrix: Floats) -> Floats:
    """Lambda' times a matrix with q rows."""
    return _by_factor(products, [t.T for t in T], matrix)


def _lambda(products: MixedProducts, T: list[Floats], matrix: Floats) -> Floats:
    """Lambda times a matrix with q rows."""
    return _by_factor(products, T, matrix)


def _by_factor(products: MixedProducts, small: list[Floats], matrix: Floats) -> Floats:
    out, start = np.empty_like(matrix), 0
    for (levels, k), one in zip(products.shapes, small, strict=True):
        here = slice(start, start + levels * k)
        out[here] = (one @ matrix[here].reshape(levels, k, -1)).reshape(levels * k, -1)
        start += levels * k
    return out
