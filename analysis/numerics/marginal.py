"""Integrated log-likelihood of a cumulative-link model and its exact gradient (layer: numerics).

No factor: the log-likelihood itself. One factor: adaptive quadrature, level by level (`quadrature`; one node is
Laplace). More: the Laplace approximation with all effects at once (`laplace`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.curvature import Curvature
from analysis.numerics.optimise import WarmLaplace
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.prior import Prior, SdBlock
from analysis.numerics.quadrature import MODE_TOLERANCE, OneFactor


@dataclass(frozen=True, slots=True, eq=False)
class MarginalPoint:
    """The integrated log-likelihood at one set of parameters.

    Attributes
    ----------
    log_likelihood : float
    gradient : ndarray, shape (J + n_coefficients + n_factors,)
        In (c_1, log gaps, coefficients, log sds).
    modes, variances : tuple of ndarray
        Of each factor's effects given the parameters.
    """

    log_likelihood: float
    gradient: Floats
    modes: tuple[Floats, ...]
    variances: tuple[Floats, ...]


class Marginal:
    """Integrated log-likelihood of given rows as a function of (c_1, log gaps, coefficients, log sds).

    Parameters
    ----------
    rows : Rows
        Without a load slope.
    n_points : int
        Nodes a level; counts only with exactly one factor.
    """

    def __init__(self, rows: Rows, n_points: int) -> None:
        self.predictor = Predictor(rows)
        self.n_fixed = self.predictor.dense.stop
        self._one: OneFactor | None = None
        self._many: WarmLaplace | None = None
        if len(rows.groups) == 1:
            self._one = OneFactor(self.predictor, n_points)
        elif rows.groups:
            p = self.predictor
            blocks = tuple(SdBlock(p.group_slice(k), None, 0.0, np.inf) for k in range(p.K))
            prior = Prior(np.zeros(p.size), np.full(p.size, np.inf), blocks)
            latent = np.arange(p.size) >= self.n_fixed
            self._many = WarmLaplace(p, prior, latent, np.zeros(p.size), tolerance=MODE_TOLERANCE)

    def __call__(self, x: Floats) -> MarginalPoint:
        """Value, gradient, modes and variances at x.

        Parameters
        ----------
        x : ndarray, shape (J + n_coefficients + n_factors,)

        Returns
        -------
        MarginalPoint

        Raises
        ------
        FitError
            If a mode is not found.
        """
        if self._one is not None:
            one = self._one(x)
            return MarginalPoint(one.log_likelihood, one.gradient, (one.modes,), (one.variances,))
        if self._many is not None:
            point = self._many(x)
            spans = [self.predictor.group_slice(k) for k in range(self.predictor.K)]
            variances = np.diag(point.S)
            return MarginalPoint(
                point.criterion,
                point.gradient,
                tuple(point.theta[span] for span in spans),
                tuple(variances[span] for span in spans),
            )
        curvature = Curvature(self.predictor, x)
        return MarginalPoint(curvature.log_likelihood, curvature.gradient(), (), ())
