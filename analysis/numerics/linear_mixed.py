"""Fit of the linear mixed model with crossed or nested factors (layer: numerics).

statsmodels' MixedLM is made for one grouping factor. Crossed factors it takes as variance components of a single
group that holds every row; with the 150 sessions and 24 lines of a year of sets one fit then takes from ten
seconds to more than a minute, and its default optimiser may stop away from the maximum and say that it converged.
So the search is done here, over the few variance ratios only, by a trust-region Newton method that cannot rest at
a saddle; the tests hold it against R's lme4 and nlme, against MixedLM where that is right, and against a dense
likelihood written out in full.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from analysis.errors import OptionError
from analysis.numerics.cumulative_link import Floats
from analysis.numerics.linear_mixed_criterion import (
    NOTHING_LEFT,
    MixedPoint,
    MixedProducts,
    RandomFactor,
    mixed_point,
    mixed_products,
    triangles,
    unexplained_share,
)

STARTS = (1.0, 0.1)
"""Relative standard deviations the search starts from; the better end is kept."""
DIFFERENCE_STEP = 1e-4
"""Step of the central differences of the exact gradient."""
SETTLED = 1e-4
"""Distance to the maximum, in standard errors of theta, at which the search counts as converged."""
SINGULAR = 1e-4
"""Smallest relative standard deviation that counts as above zero, as lme4's isSingular has it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LinearMixedFit:
    """A fitted linear mixed model.

    Attributes
    ----------
    beta, std_error : ndarray, shape (p,)
        Coefficients of the columns of X.
    covariance : ndarray, shape (p, p)
        Of beta, with the variance components taken as known.
    degrees_of_freedom : ndarray, shape (p,)
        Satterthwaite's, for a t interval of each coefficient.
    sigma : float
        Residual standard deviation.
    effect_covariances : tuple of ndarray, shape (n_columns, n_columns)
        Covariance of the effects of each factor.
    effects : tuple of ndarray, shape (n_levels, n_columns)
        Conditional modes of each factor.
    theta : ndarray, shape (n_theta,)
        Lower triangles of the relative covariance, per unit of each column, row by row.
    log_likelihood : float
        Restricted where `reml`.
    reml : bool
    converged : bool
        Newton's step is small, and no direction leads further up.
    distance : float
        Newton's step left, in standard errors of theta.
    singular : tuple of bool
        Whether a factor's covariance lies on the boundary: a zero variance or a correlation of one.
    n_rows : int
    """

    beta: Floats
    std_error: Floats
    covariance: Floats
    degrees_of_freedom: Floats
    sigma: float
    effect_covariances: tuple[Floats, ...]
    effects: tuple[Floats, ...]
    theta: Floats
    log_likelihood: float
    reml: bool
    converged: bool
    distance: float
    singular: tuple[bool, ...]
    n_rows: int


def fit_linear_mixed(
    y: Floats, X: Floats, groups: Sequence[RandomFactor], *, reml: bool = True
) -> LinearMixedFit:
    """Maximum restricted or ordinary likelihood.

    Parameters
    ----------
    y : ndarray, shape (n_rows,)
    X : ndarray, shape (n_rows, p)
        With a column of ones for the intercept.
    groups : sequence of RandomFactor
        Crossed or nested; none gives least squares.
    reml : bool, default True

    Returns
    -------
    LinearMixedFit

    Raises
    ------
    OptionError
        If columns of X depend on each other, a factor has a level a row, or y is explained wholly.

    References
    ----------
    .. [1] Bates, Maechler, Bolker & Walker 2015, J Stat Softw 67(1).
    .. [2] Satterthwaite 1946, Biometrics Bulletin 2:110-114; for mixed models Giesbrecht & Burns 1985, Biometrics
       41:477-486.
    """
    products = mixed_products(np.asarray(y, dtype=float), np.asarray(X, dtype=float), groups)
    if unexplained_share(products) <= NOTHING_LEFT:
        raise OptionError(
            "X and the factors explain y wholly, so that no residual is left; use fewer of them."
        )
    theta, hessian = _search(products, reml)
    point = mixed_point(products, theta, reml=reml)
    variance, directions = np.linalg.eigh(hessian) if theta.size else (np.zeros(0), np.zeros((0, 0)))
    # directions along which the criterion does not change, such as a rotation of a singular T, carry no distance
    curved = variance > 1e-7 * max(1.0, variance.max(initial=0.0))
    along = directions.T @ point.gradient
    distance = float(np.sqrt(np.sum(along[curved] ** 2 / (2.0 * variance[curved]))))
    downhill = variance < -1e-4 * max(1.0, variance.max(initial=0.0))
    inverse = directions[:, curved] / variance[curved] @ directions[:, curved].T
    T = [_positive(t) for t in triangles(products, theta)]
    own = [t / scale[:, None] for t, scale in zip(T, products.scales, strict=True)]
    return LinearMixedFit(
        beta=point.beta,
        std_error=np.sqrt(np.diag(point.covariance)),
        covariance=point.covariance,
        degrees_of_freedom=_satterthwaite(products, theta, inverse, point, reml),
        sigma=point.sigma,
        effect_covariances=tuple(point.sigma**2 * t @ t.T for t in own),
        effects=_by_level(products, point.effects),
        theta=np.concatenate([t[np.tril_indices(len(t))] for t in own]) if own else np.zeros(0),
        log_likelihood=-0.5 * point.criterion,
        reml=reml,
        converged=bool(distance < SETTLED and not downhill.any()),
        distance=distance,
        singular=tuple(bool(np.linalg.svd(t, compute_uv=False).min() < SINGULAR) for t in T),
        n_rows=products.n_rows,
    )


def _search(products: MixedProducts, reml: bool) -> tuple[Floats, Floats]:
    """The best theta over the starts, and the Hessian of the criterion there."""
    diagonal = np.concatenate([np.eye(k)[np.tril_indices(k)] for _, k in products.shapes] or [np.zeros(0)])
    if not diagonal.size:
        return diagonal, np.zeros((0, 0))
    origin = mixed_point(products, diagonal, reml=reml).criterion

    def value(theta: Floats) -> tuple[float, Floats]:
        point = mixed_point(products, theta, reml=reml)
        return point.criterion - origin, point.gradient

    def hessian(theta: Floats) -> Floats:
        return _hessian(products, theta, reml)

    ends: list[tuple[float, Floats]] = []
    for size in STARTS:
        found = minimize(
            value,
            size * diagonal,
            jac=True,
            hess=hessian,
            method="trust-exact",
            options={"gtol": 1e-4, "maxiter": 200, "initial_trust_radius": 0.5, "max_trust_radius": 50.0},
        )
        ends.append((float(found.fun), found.x))
    theta = min(ends, key=lambda end: end[0])[1]
    # the last steps change the criterion by less than its rounding, so the gradient alone decides
    H = hessian(theta)
    for _ in range(5):
        gradient = value(theta)[1]
        moved = theta - np.linalg.lstsq(H, gradient, rcond=1e-9)[0]
        if np.linalg.norm(value(moved)[1]) >= np.linalg.norm(gradient):
            break
        theta, H = moved, hessian(moved)
    return theta, H


def _hessian(products: MixedProducts, theta: Floats, reml: bool) -> Floats:
    H = np.empty((theta.size, theta.size))
    for j in range(theta.size):
        step = np.zeros(theta.size)
        step[j] = DIFFERENCE_STEP * max(1.0, abs(theta[j]))
        above = mixed_point(products, theta + step, reml=reml).gradient
        below = mixed_point(products, theta - step, reml=reml).gradient
        H[:, j] = (above - below) / (2.0 * step[j])
    return 0.5 * (H + H.T)


def _satterthwaite(
    products: MixedProducts, theta: Floats, inverse: Floats, point: MixedPoint, reml: bool
) -> Floats:
    """2 v^2 / Var(v) for each variance v of beta.

    Var(v) by the delta method over theta and sigma: with sigma profiled out, log sigma^2 has variance
    2/degrees on its own and moves with theta, which the derivative of the profiled v takes in.
    """
    degrees = products.n_rows - (len(point.beta) if reml else 0)
    v = np.diag(point.covariance)
    slope = np.empty((theta.size, v.size))
    for j in range(theta.size):
        step = np.zeros(theta.size)
        step[j] = DIFFERENCE_STEP * max(1.0, abs(theta[j]))
        above = np.diag(mixed_point(products, theta + step, reml=reml).covariance)
        below = np.diag(mixed_point(products, theta - step, reml=reml).covariance)
        slope[j] = (above - below) / (2.0 * step[j])
    spread = 2.0 * np.einsum("jp,jk,kp->p", slope, inverse, slope) + 2.0 * v**2 / degrees
    return np.asarray(2.0 * v**2 / spread)


def _positive(T: Floats) -> Floats:
    """T with the sign of each column chosen so that its diagonal is not negative."""
    return np.asarray(T * np.where(np.diag(T) < 0, -1.0, 1.0))


def _by_level(products: MixedProducts, effects: Floats) -> tuple[Floats, ...]:
    """Conditional modes of each factor in units of its own columns, shape (n_levels, n_columns)."""
    parts, start = [], 0
    for (levels, k), scale in zip(products.shapes, products.scales, strict=True):
        parts.append(effects[start : start + levels * k].reshape(levels, k) / scale)
        start += levels * k
    return tuple(parts)
