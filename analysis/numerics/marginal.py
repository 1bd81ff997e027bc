"""Integrated log-likelihood of a cumulative-link model and its exact gradient (layer: numerics).

No factor: the log-likelihood itself. Factors: the Laplace approximation (`linear_laplace`), or with one factor and more
than one node adaptive quadrature, level by level (`quadrature`).
"""

from __future__ import annotations

from dataclasses import dataclass

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.curvature import Curvature
from analysis.numerics.linear_laplace import LinearLaplace
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.quadrature import OneFactor


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

    Attributes
    ----------
    has_hessian : bool
        Whether `hessian` is there: not with more than one node.
    """

    def __init__(self, rows: Rows, n_points: int) -> None:
        self.predictor = Predictor(rows)
        self.n_fixed = self.predictor.dense.stop
        self._quadrature: OneFactor | None = None
        self._laplace: LinearLaplace | None = None
        if len(rows.groups) == 1 and n_points > 1:
            self._quadrature = OneFactor(self.predictor, n_points)
        elif rows.groups:
            self._laplace = LinearLaplace(self.predictor)
        self.has_hessian = self._quadrature is None

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
        if self._quadrature is not None:
            one = self._quadrature(x)
            return MarginalPoint(one.log_likelihood, one.gradient, (one.modes,), (one.variances,))
        if self._laplace is not None:
            point, spans = self._laplace(x), self._laplace.layout.spans
            return MarginalPoint(
                point.log_likelihood,
                point.gradient,
                tuple(point.u[span] for span in spans),
                tuple(point.variances[span] for span in spans),
            )
        curvature = Curvature(self.predictor, x)
        return MarginalPoint(curvature.log_likelihood, curvature.gradient(), (), ())

    def hessian(self, x: Floats) -> Floats:
        """Exact negative Hessian at x, if there is one.

        Parameters
        ----------
        x : ndarray, shape (J + n_coefficients + n_factors,)

        Returns
        -------
        ndarray, shape (x.size, x.size)

        Raises
        ------
        ValueError
            With more than one node a level.
        FitError
            If a mode is not found.
        """
        if self._quadrature is not None:
            raise ValueError("Quadrature gives no Hessian; take differences of its gradient.")
        if self._laplace is not None:
            return -self._laplace.hessian(self._laplace(x))
        return Curvature(self.predictor, x).hessian()
