"""Outer search of the Laplace criterion and its curvature (layer: numerics)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import minimize

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.laplace import LaplacePoint, laplace_point
from analysis.numerics.maximise import newton_step
from analysis.numerics.predictor import Predictor
from analysis.numerics.prior import Prior

DIFFERENCE_STEP = 1e-4
"""Step of the forward differences of the exact gradient, on the log-sd scale."""
STILL_HOLDS = 0.25
"""Share by which the curvature along a step may differ from that of the Hessian it was taken with."""
MOST_REFIT_STEPS = 4
CRITERION_NOISE = 1e-11
"""Relative rounding of the criterion."""


@dataclass(frozen=True, slots=True, eq=False)
class LaplaceFit:
    """Maximum of the Laplace criterion.

    Attributes
    ----------
    point : LaplacePoint
        At the maximum.
    outer_hessian : ndarray, shape (n_blocks, n_blocks)
        Negative Hessian of the criterion in the log sds.
    converged : bool
        Whether the largest gradient component is below the tolerance.
    max_gradient : float
    n_evaluations : int
    """

    point: LaplacePoint
    outer_hessian: Floats
    converged: bool
    max_gradient: float
    n_evaluations: int


class WarmLaplace:
    """The Laplace criterion at any log sds, each search for the mode begun where the last one's is foreseen.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    start : ndarray, shape (P,)
        Where the first search begins.
    """

    def __init__(self, predictor: Predictor, prior: Prior, start: Floats) -> None:
        self.predictor = predictor
        self.prior = prior
        self.start = start
        self.every = np.ones(predictor.size, dtype=bool)
        self.near: LaplacePoint | None = None
        self.n_evaluations = 0

    def __call__(self, phi: Floats) -> LaplacePoint:
        """Point at phi; see `laplace_point`.

        Parameters
        ----------
        phi : ndarray, shape (n_blocks,)

        Returns
        -------
        LaplacePoint

        Raises
        ------
        FitError
            If no mode is found.
        """
        self.n_evaluations += 1
        near = self.near
        theta = self.start
        if near is not None:
            theta = near.theta + near.mode_slope @ np.clip(phi - near.phi, -1.0, 1.0)
        self.near = laplace_point(self.predictor, self.prior, theta, phi, self.every)
        return self.near


def fit_laplace(
    predictor: Predictor,
    prior: Prior,
    *,
    start: Floats,
    phi_start: Floats,
    outer_scale: Floats | None = None,
    tolerance: float = 1e-3,
) -> LaplaceFit:
    """Maximise the Laplace criterion by BFGS with exact gradients.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    start : ndarray, shape (P,)
    phi_start : ndarray, shape (n_blocks,)
    outer_scale : ndarray, shape (n_blocks,), optional
        Guess of the variance of each log sd, for the first step.
    tolerance : float, default 1e-3
        Largest gradient component, log-likelihood per unit, at which the search stops.

    Returns
    -------
    LaplaceFit

    Raises
    ------
    FitError
        If the inner search finds no mode at some outer parameters.
    """
    evaluate = WarmLaplace(predictor, prior, start)
    best: dict[str, LaplacePoint] = {}

    def objective(x: Floats) -> tuple[float, Floats]:
        point = evaluate(x)
        if "point" not in best or point.criterion > best["point"].criterion:
            best["point"] = point
        return -point.criterion, -point.gradient

    if phi_start.size == 0:
        point = evaluate(phi_start)
        return LaplaceFit(point, np.zeros((0, 0)), True, 0.0, 1)
    options: dict[str, Any] = {"gtol": tolerance, "maxiter": 200}
    if outer_scale is not None:
        options["hess_inv0"] = np.diag(outer_scale)
    minimize(objective, phi_start, jac=True, method="BFGS", options=options)  # type: ignore[call-overload]
    point = best["point"]
    worst = float(np.abs(point.gradient).max())
    hessian = np.empty((phi_start.size, phi_start.size))
    for j in range(phi_start.size):
        moved = point.phi.copy()
        moved[j] += DIFFERENCE_STEP
        evaluate.near = point
        hessian[:, j] = -(evaluate(moved).gradient - point.gradient) / DIFFERENCE_STEP
    hessian = 0.5 * (hessian + hessian.T)
    return LaplaceFit(point, hessian, worst < 5.0 * tolerance, worst, evaluate.n_evaluations)


def refit_laplace(
    predictor: Predictor, prior: Prior, before: LaplaceFit, *, tolerance: float = 1e-3
) -> LaplaceFit:
    """Maximise the Laplace criterion after a small change of the rows, such as one more set.

    Steps are Newton's with the Hessian of the fit before; at least one is taken. The change of the gradient over each
    step says how far that Hessian still holds along it, and brings it up to date (the BFGS update). Where it does not
    hold, or the criterion falls, or the steps run out, `fit_laplace` begins anew at the best point.

    Parameters
    ----------
    predictor : Predictor
        Of the changed rows, with the parameters of the fit before.
    prior : Prior
    before : LaplaceFit
    tolerance : float, default 1e-3
        Largest gradient component, log-likelihood per unit, at which the search stops.

    Returns
    -------
    LaplaceFit
        `outer_hessian` is that of the fit before, brought up to date along the steps.

    Raises
    ------
    FitError
        If the inner search finds no mode at some log sds.
    """
    evaluate = WarmLaplace(predictor, prior, before.point.theta)
    hessian = before.outer_hessian
    best = evaluate(before.point.phi)
    for _ in range(MOST_REFIT_STEPS if hessian.size else 0):
        step = newton_step(hessian, best.gradient)
        foreseen = hessian @ step
        foreseen_along = float(step @ foreseen)
        if not foreseen_along > 0.0:
            break
        point = evaluate(best.phi + step)
        change = best.gradient - point.gradient
        seen_along = float(step @ change)
        fell = point.criterion < best.criterion - CRITERION_NOISE * abs(best.criterion)
        if fell or not abs(seen_along - foreseen_along) <= STILL_HOLDS * foreseen_along:
            break
        hessian = (
            hessian + np.outer(change, change) / seen_along - np.outer(foreseen, foreseen) / foreseen_along
        )
        best, worst = point, float(np.abs(point.gradient).max())
        if worst < tolerance:
            return LaplaceFit(best, hessian, True, worst, evaluate.n_evaluations)
    return fit_laplace(predictor, prior, start=best.theta, phi_start=best.phi, tolerance=tolerance)
