"""Outer search of the Laplace criterion and its curvature (layer: numerics)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.laplace import NEWTON_TOLERANCE, LaplacePoint, laplace_point
from analysis.numerics.predictor import Predictor
from analysis.numerics.prior import Prior

DIFFERENCE_STEP = 1e-4
"""Step of the forward differences of the exact gradient, on the log-sd scale."""


@dataclass(frozen=True, slots=True, eq=False)
class LaplaceFit:
    """Maximum of the Laplace criterion.

    Attributes
    ----------
    point : LaplacePoint
        At the maximum.
    outer_hessian : ndarray, shape (n_outer, n_outer)
        Negative Hessian of the criterion in the outer parameters.
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
    """The Laplace criterion at any outer parameters, each search for the mode begun at the last one's.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    latent : ndarray of bool, shape (P,)
        Parameters integrated out.
    start : ndarray, shape (P,)
        Where the first search begins.
    tolerance : float, default `NEWTON_TOLERANCE`
        Of each search; see `laplace_point`.
    """

    def __init__(
        self,
        predictor: Predictor,
        prior: Prior,
        latent: NDArray[np.bool_],
        start: Floats,
        *,
        tolerance: float = NEWTON_TOLERANCE,
    ) -> None:
        self.predictor = predictor
        self.prior = prior
        self.latent = latent
        self.start = start
        self.tolerance = tolerance
        self.n_outer = int((~latent).sum())
        self.near: LaplacePoint | None = None
        self.n_evaluations = 0

    def __call__(self, x: Floats) -> LaplacePoint:
        """Point at x, the outer part of theta and then phi; see `laplace_point`.

        Parameters
        ----------
        x : ndarray, shape (n_outer + n_blocks,)

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
        if near is None:
            theta = self.start.copy()
        else:
            here = np.concatenate([near.theta[~self.latent], near.phi])
            theta = near.theta + near.mode_slope @ np.clip(x - here, -1.0, 1.0)
        theta[~self.latent] = x[: self.n_outer]
        self.near = laplace_point(
            self.predictor, self.prior, theta, x[self.n_outer :], self.latent, tolerance=self.tolerance
        )
        return self.near


def fit_laplace(
    predictor: Predictor,
    prior: Prior,
    *,
    start: Floats,
    phi_start: Floats,
    latent: NDArray[np.bool_] | None = None,
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
    latent : ndarray of bool, shape (P,), optional
        Parameters integrated out; all of theta if None.
    outer_scale : ndarray, shape (n_outer,), optional
        Guess of the variance of each outer parameter, for the first step.
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
    if latent is None:
        latent = np.ones(predictor.size, dtype=bool)
    evaluate = WarmLaplace(predictor, prior, latent, start)
    best: dict[str, LaplacePoint] = {}

    def objective(x: Floats) -> tuple[float, Floats]:
        point = evaluate(x)
        if "point" not in best or point.criterion > best["point"].criterion:
            best["point"] = point
        return -point.criterion, -point.gradient

    x0 = np.concatenate([start[~latent], phi_start])
    if x0.size == 0:
        point = evaluate(x0)
        return LaplaceFit(point, np.zeros((0, 0)), True, 0.0, 1)
    options: dict[str, Any] = {"gtol": tolerance, "maxiter": 200}
    if outer_scale is not None:
        options["hess_inv0"] = np.diag(outer_scale)
    minimize(objective, x0, jac=True, method="BFGS", options=options)  # type: ignore[call-overload]
    point = best["point"]
    worst = float(np.abs(point.gradient).max())
    x = np.concatenate([point.theta[~latent], point.phi])
    hessian = np.empty((x.size, x.size))
    for j in range(x.size):
        moved = x.copy()
        moved[j] += DIFFERENCE_STEP
        evaluate.near = point
        hessian[:, j] = -(evaluate(moved).gradient - point.gradient) / DIFFERENCE_STEP
    hessian = 0.5 * (hessian + hessian.T)
    return LaplaceFit(point, hessian, worst < 5.0 * tolerance, worst, evaluate.n_evaluations)
