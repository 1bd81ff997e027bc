"""Laplace approximation of a cumulative-link mixed model with exact outer gradient (layer: numerics).

Latent parameters are integrated out at their mode; the rest (log standard deviations phi, and any parameter of
theta kept out of `latent`) are maximised over. Dropping constants, the criterion is

    log p(y, theta*) + log p(phi) - 1/2 log|H_ll(theta*)|,     theta*_l the mode given the outer parameters,

and its gradient uses the adjoint of the log-determinant and dtheta*/dphi = H^-1 2 Q_j u_j (Tierney & Kadane
1986, J Am Stat Assoc 81:82-86, for the approximation; the derivative is by the implicit function theorem).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import lapack

from analysis.errors import FitError
from analysis.numerics.cumulative_link import Floats
from analysis.numerics.curvature import Curvature
from analysis.numerics.predictor import Predictor
from analysis.numerics.prior import LOG_TWO_PI, Prior

NEWTON_TOLERANCE = 1e-14
"""Half squared Newton decrement at which the mode is taken as found (log-likelihood units); tight, because
the adjoint is first order in what is left."""
STALLED = 1e-9
"""Half squared decrement at which a search that rounding keeps from its tolerance is over."""
MAX_NEWTON = 80
MAX_STEP = 2.0
"""Longest single Newton move of a cutpoint or log-slope, on their own scale."""


@dataclass(frozen=True, slots=True, eq=False)
class LaplacePoint:
    """The criterion and its parts at one set of outer parameters.

    Attributes
    ----------
    theta : ndarray, shape (P,)
        Mode of the latent part, the outer part as given.
    phi : ndarray, shape (n_blocks,)
    criterion : float
        Log of the integrated likelihood times the priors, constants included.
    gradient : ndarray, shape (n_outer,)
        In (outer part of theta, phi).
    S : ndarray, shape (P, P)
        Inverse of the latent Hessian, zero elsewhere.
    H : ndarray, shape (P, P)
        Negative Hessian of the log posterior in theta at fixed phi.
    adjoint : ndarray, shape (P,)
        Gradient of log|H_ll| in theta, with S held fixed.
    mode_slope : ndarray, shape (P, n_outer)
        d theta* / d outer.
    """

    theta: Floats
    phi: Floats
    criterion: float
    gradient: Floats
    S: Floats
    H: Floats
    adjoint: Floats
    mode_slope: Floats


def find_mode(
    predictor: Predictor,
    prior: Prior,
    theta: Floats,
    phi: Floats,
    latent: NDArray[np.bool_],
    *,
    tolerance: float = NEWTON_TOLERANCE,
) -> tuple[Floats, Curvature, Floats]:
    """Newton's method for the latent part of theta at fixed outer parameters.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    theta : ndarray, shape (P,)
        Start; the part outside `latent` is kept.
    phi : ndarray, shape (n_blocks,)
    latent : ndarray of bool, shape (P,)
    tolerance : float, default `NEWTON_TOLERANCE`
        Half squared Newton decrement at which the search ends.

    Returns
    -------
    theta : ndarray, shape (P,)
    curvature : Curvature
        Likelihood at the mode.
    H : ndarray, shape (P, P)
        Negative Hessian of the log posterior there, all of theta.

    Raises
    ------
    FitError
        If no mode is found.
    """
    capped = np.zeros(theta.size, dtype=bool)
    capped[: predictor.J] = True
    if predictor.has_slope:
        capped[predictor.J] = True
        capped[predictor.group_slice(0)] = True
    curvature = Curvature(predictor, theta)
    value = curvature.log_likelihood + float(prior.log_density(theta, phi))
    every = bool(latent.all())
    last_decrement = np.inf
    for _ in range(MAX_NEWTON):
        H = prior.add_precision(curvature.hessian(), phi)
        gradient = curvature.gradient() + prior.gradient(theta, phi)[0]
        if every:
            step = _ascent_step(H, gradient)
            decrement = float(gradient @ step)
        else:
            step = np.zeros(theta.size)
            step[latent] = _ascent_step(H[np.ix_(latent, latent)], gradient[latent])
            decrement = float(gradient[latent] @ step[latent])
        stalled = 0.5 * decrement < STALLED and decrement > 0.25 * last_decrement
        if 0.5 * decrement < tolerance or stalled:
            return theta, curvature, H
        last_decrement = decrement
        longest = np.abs(step[capped]).max(initial=0.0)
        if longest > MAX_STEP:
            step = step * (MAX_STEP / longest)
        size = 1.0
        while True:
            trial = theta + size * step
            trial_curvature = Curvature(predictor, trial)
            trial_value = trial_curvature.log_likelihood + float(prior.log_density(trial, phi))
            if trial_value > value - 1e-12 * abs(value) or size < 1e-6:
                break
            size *= 0.5
        theta, curvature, value = trial, trial_curvature, trial_value
    raise FitError("Newton's method did not find the mode; please keep the log and report it.")


def _ascent_step(H: Floats, gradient: Floats) -> Floats:
    """Solve H step = gradient, adding a ridge until H is positive definite."""
    if not (np.isfinite(H).all() and np.isfinite(gradient).all()):
        raise FitError("The curvature of the fit is not finite; please keep the log and report it.")
    ridge = 0.0
    while True:
        L, info = lapack.dpotrf(H + ridge * np.eye(H.shape[0]) if ridge else H, lower=1)
        if info == 0:
            return np.asarray(lapack.dpotrs(L, gradient, lower=1)[0])
        ridge = max(10.0 * ridge, 1e-3 * float(np.abs(np.diag(H)).mean()))


def _inverse(L: Floats) -> Floats:
    """Inverse of L L'; L is zero above its diagonal, and so the upper triangle that LAPACK returns is zero below."""
    upper = lapack.dpotri(L.T, lower=0)[0]
    inverse = upper + upper.T
    np.fill_diagonal(inverse, np.diag(upper))
    return inverse


def laplace_point(
    predictor: Predictor,
    prior: Prior,
    start: Floats,
    phi: Floats,
    latent: NDArray[np.bool_],
    *,
    tolerance: float = NEWTON_TOLERANCE,
) -> LaplacePoint:
    """Mode, criterion and exact gradient at given outer parameters.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    start : ndarray, shape (P,)
        Start of the latent part; holds the outer part of theta.
    phi : ndarray, shape (n_blocks,)
    latent : ndarray of bool, shape (P,)
    tolerance : float, default `NEWTON_TOLERANCE`
        Of the search for the mode; what is left of it enters log|H| to first order.

    Returns
    -------
    LaplacePoint

    Raises
    ------
    FitError
        If no mode is found.
    """
    theta, curvature, H = find_mode(predictor, prior, start, phi, latent, tolerance=tolerance)
    H_ll = H if latent.all() else H[np.ix_(latent, latent)]
    L = np.linalg.cholesky(H_ll)
    log_det = 2.0 * np.log(np.diag(L)).sum()
    inverse = _inverse(np.asarray(L, dtype=float))
    if latent.all():
        S = inverse
    else:
        S = np.zeros_like(H)
        S[np.ix_(latent, latent)] = inverse
    adjoint = curvature.adjoint(S)
    outer = ~latent
    n_outer = int(outer.sum())
    slope = np.zeros((theta.size, n_outer + phi.size))
    in_theta, in_phi = prior.gradient(theta, phi)
    gradient = np.empty(n_outer + phi.size)
    if n_outer:
        slope[:, :n_outer] = -S @ H[:, outer]
        explicit = curvature.gradient()[outer] + in_theta[outer]
        gradient[:n_outer] = explicit - 0.5 * adjoint[outer] - 0.5 * adjoint @ slope[:, :n_outer]
        slope[outer, np.arange(n_outer)] = 1.0
    for j, block in enumerate(prior.blocks):
        scale = np.exp(-2.0 * phi[j])
        u, S_block = theta[block.span], S[block.span, block.span]
        Ku = u if block.structure is None else block.structure @ u
        trace = np.trace(S_block) if block.structure is None else (S_block * block.structure).sum()
        slope[:, n_outer + j] = S[:, block.span] @ (2.0 * scale * Ku)
        gradient[n_outer + j] = in_phi[j] + scale * trace - 0.5 * adjoint @ slope[:, n_outer + j]
    criterion = curvature.log_likelihood + float(prior.log_density(theta, phi))
    criterion += 0.5 * int(latent.sum()) * LOG_TWO_PI - 0.5 * log_det
    return LaplacePoint(theta, phi, criterion, gradient, S, H, adjoint, slope)
