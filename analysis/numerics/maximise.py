"""Maximum of a smooth criterion with an exact gradient, and how exactly it was found (layer: numerics).

BFGS finds the neighbourhood (or `ascend`, where there is an exact Hessian); Newton steps finish, with that Hessian or
central differences of the gradient, until the step no longer shrinks. The last step is the error still left in each
parameter (as in R's ordinal::convergence).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import minimize

from analysis.errors import FitError
from analysis.numerics.cumulative_link import Floats

Criterion = Callable[[Floats], tuple[float, Floats]]
"""Value and gradient at x."""

ROUGH = 1e-3
"""Gradient at which BFGS hands over to Newton's method."""
DIFFERENCE_STEP = 1e-4
"""Step of the central differences: their error is about step^2 / 6 times the fourth derivative, 1e-9 of the Hessian
here, and rounding adds about 1e-12 / step."""
STEP_FOUND = 1e-9
"""Newton step, largest component, at which the maximum is taken as found."""
STEP_ACCEPTED = 1e-4
"""Largest last step of a search that counts as converged: three decimals or more are right."""
STALE = 1e-2
"""A step longer than this calls for a new Hessian; shorter ones go on with the old."""
LONGEST_STEP = 2.0
"""Largest component of a single Newton step."""
MAX_CLIMB = 120
MAX_POLISH = 25
NOISE = 1e-11
"""Relative rounding of a criterion."""
FAR = 1e10
"""Stand-in for minus the criterion where it cannot be computed, so that the line search turns back."""


@dataclass(frozen=True, slots=True, eq=False)
class Maximum:
    """A maximum and its curvature.

    Attributes
    ----------
    x : ndarray, shape (n,)
    value : float
    gradient : ndarray, shape (n,)
    hessian : ndarray, shape (n, n)
        Of minus the criterion; NaN where it could not be computed.
    last_step : ndarray, shape (n,)
        Newton step at `x`: the error left in each parameter.
    definite : bool
        Whether the Hessian is positive definite.
    converged : bool
        Whether it is, and the last step short.
    n_evaluations : int
    """

    x: Floats
    value: float
    gradient: Floats
    hessian: Floats
    last_step: Floats
    definite: bool
    converged: bool
    n_evaluations: int


@dataclass(frozen=True, slots=True, eq=False)
class RoughMaximum:
    """Where BFGS stopped.

    Attributes
    ----------
    x : ndarray, shape (n,)
    value : float
    n_evaluations : int
    """

    x: Floats
    value: float
    n_evaluations: int


def climb(
    criterion: Criterion, start: Floats, inverse_hessian: Floats, *, tolerance: float = ROUGH
) -> RoughMaximum:
    """Neighbourhood of a maximum by BFGS.

    Parameters
    ----------
    criterion : callable
        Value and gradient at x; a `FitError` there makes the search turn back.
    start : ndarray, shape (n,)
    inverse_hessian : ndarray, shape (n, n)
        Guess of the inverse Hessian of minus the criterion, for the first step.
    tolerance : float, default `ROUGH`
        Largest component of the gradient at which the search ends.

    Returns
    -------
    RoughMaximum
    """

    def minus(x: Floats) -> tuple[float, Floats]:
        try:
            with np.errstate(over="raise", invalid="raise"):
                value, gradient = criterion(x)
        except (FitError, FloatingPointError):
            return FAR, np.zeros_like(x)
        return -value, -gradient

    symmetric = 0.5 * (inverse_hessian + inverse_hessian.T)
    options: dict[str, Any] = {"gtol": tolerance, "maxiter": MAX_CLIMB, "hess_inv0": symmetric}
    found = minimize(minus, start, jac=True, method="BFGS", options=options)  # type: ignore[call-overload]
    return RoughMaximum(np.asarray(found.x, dtype=float), -float(found.fun), int(found.nfev))


def polish(
    criterion: Criterion, start: Floats, *, hessian_of: Callable[[Floats], Floats] | None = None
) -> Maximum:
    """Maximum near a start, to the precision its rounding allows.

    Parameters
    ----------
    criterion : callable
        Value and gradient at x.
    start : ndarray, shape (n,)
    hessian_of : callable, optional
        Exact Hessian of minus the criterion; central differences of the gradient if None.

    Returns
    -------
    Maximum

    Raises
    ------
    FitError
        If the criterion cannot be computed at the start.
    """
    count = 1

    def hessian_at(x: Floats) -> Floats:
        nonlocal count
        if hessian_of is not None:
            return hessian_of(x)
        count += 2 * x.size
        try:
            return difference_hessian(criterion, x)
        except FitError:
            return np.full((x.size, x.size), np.nan)

    x = start
    value, gradient = criterion(x)
    hessian, fresh = hessian_at(x), True
    step = newton_step(hessian, gradient)
    for _ in range(MAX_POLISH):
        length = float(np.abs(step).max())
        if length < STEP_FOUND or not np.isfinite(length):
            break
        longest = min(1.0, LONGEST_STEP / length)

        def at(size: float, x: Floats = x, step: Floats = step) -> Floats:
            return x + size * step

        moved = uphill(criterion, at, longest, value, gradient)
        count += 1
        if moved is None:
            break
        x, value, gradient = moved
        fresh = False
        if length > STALE:
            hessian, fresh = hessian_at(x), True
        step = newton_step(hessian, gradient)
    if not fresh:
        hessian = hessian_at(x)
        step = newton_step(hessian, gradient)
    definite = bool(np.isfinite(hessian).all() and np.linalg.eigvalsh(hessian).min() > 0.0)
    found = definite and bool(np.abs(step).max() < STEP_ACCEPTED)
    return Maximum(x, float(value), gradient, hessian, step, definite, found, count)


def difference_hessian(criterion: Criterion, x: Floats, step: float = DIFFERENCE_STEP) -> Floats:
    """Hessian of minus a criterion by central differences of its gradient.

    Parameters
    ----------
    criterion : callable
    x : ndarray, shape (n,)
    step : float, default `DIFFERENCE_STEP`

    Returns
    -------
    ndarray, shape (n, n), symmetric
    """
    rows = [(criterion(x - step * e)[1] - criterion(x + step * e)[1]) / (2.0 * step) for e in np.eye(x.size)]
    hessian = np.array(rows)
    return 0.5 * (hessian + hessian.T)


def newton_step(hessian: Floats, gradient: Floats) -> Floats:
    """Newton step uphill; directions without positive curvature are bent so that the step still goes up.

    Parameters
    ----------
    hessian : ndarray, shape (n, n)
        Of minus the criterion.
    gradient : ndarray, shape (n,)

    Returns
    -------
    ndarray, shape (n,)
        NaN where the Hessian is.
    """
    if not np.isfinite(hessian).all():
        return np.full_like(gradient, np.nan)
    values, vectors = np.linalg.eigh(hessian)
    bent = np.maximum(np.abs(values), 1e-12 * np.abs(values).max(initial=1e-300))
    return np.asarray(vectors @ ((vectors.T @ gradient) / bent))


def uphill(
    criterion: Criterion, at: Callable[[float], Floats], longest: float, value: float, gradient: Floats
) -> tuple[Floats, float, Floats] | None:
    """The point after a step, shortened until it is no worse; None when no step helps any more.

    Parameters
    ----------
    criterion : callable
    at : callable
        Point after a given share of the step.
    longest : float
        Share to begin with.
    value : float
    gradient : ndarray, shape (n,)
        Both before the step.

    Returns
    -------
    x, value, gradient
        Or None.
    """
    size = longest
    noise = NOISE * (1.0 + abs(value))
    norm = float(np.abs(gradient).max())
    while size > 1e-4:
        x = at(size)
        try:
            with np.errstate(over="raise", invalid="raise"):
                trial_value, trial_gradient = criterion(x)
        except (FitError, FloatingPointError):
            size *= 0.25
            continue
        higher = trial_value > value + noise
        flatter = trial_value > value - noise and float(np.abs(trial_gradient).max()) < 0.9 * norm
        if higher or flatter:
            return x, trial_value, trial_gradient
        size *= 0.25
    return None
