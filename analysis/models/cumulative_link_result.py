"""The record of a fitted cumulative-link mixed model (layer: models)."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.numerics.links import Link
from analysis.results import Finding

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VarianceComponent:
    """One grouping factor: how far its levels spread, and each level's effect.

    Attributes
    ----------
    name : str
    sd, variance : float
        Of the effects N(0, sd^2), on the scale of the link (per unit of the factor's value for a slope). NaN where
        every answer separates.
    log_sd_std_error : float
        Standard error of log sd; NaN at the boundary.
    at_boundary : bool
        Whether the estimate is exactly 0, the lower end of what a variance can be.
    levels : tuple
        Labels, sorted where they can be.
    modes, mode_variances : ndarray, shape (n_levels,)
        Most likely effect of each level given the estimates, and its variance given the estimates (their own
        uncertainty not counted, as in R's ``ranef`` and ``condVar``).
    """

    name: str
    sd: float
    variance: float
    log_sd_std_error: float
    at_boundary: bool
    levels: tuple[Hashable, ...]
    modes: Floats
    mode_variances: Floats

    def __post_init__(self) -> None:
        self.modes.setflags(write=False)
        self.mode_variances.setflags(write=False)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MaximumFound:
    """How exactly the maximum was found.

    Attributes
    ----------
    converged : bool
    max_gradient : float
        Largest component of the gradient in (first cutpoint, log gaps, coefficients, log sds).
    correct_decimals : ndarray of int, shape (n_parameters,)
        Decimals of each estimate that are right, in the order of `CumulativeLinkFit.parameter_names`: from the
        Newton step at the maximum, as R's ``ordinal::convergence`` counts them; 0 to 15, and -1 for estimates at
        infinity or at the boundary.
    n_evaluations : int
        Of the criterion.
    """

    converged: bool
    max_gradient: float
    correct_decimals: Ints
    n_evaluations: int

    def __post_init__(self) -> None:
        self.correct_decimals.setflags(write=False)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CumulativeLinkFit:
    """Estimates of a cumulative-link mixed model, P(y > k) = F(x'beta + effects - cutpoint_k).

    Attributes
    ----------
    link : {"logit", "probit"}
    quadrature_points : int
        Nodes a level; 1 is the Laplace approximation.
    n_rows : int
    categories : tuple of int
        Those that have a probability of their own, J + 1 of them.
    cutpoints, cutpoint_std_errors : ndarray, shape (J,)
        Standard errors by the delta method from the first cutpoint and the log gaps.
    coefficients, coefficient_std_errors : ndarray, shape (n_coefficients,)
        Infinite, with NaN as standard error, where the data separate; NaN where nothing is known.
    parameter_names : tuple of str
        Cutpoints ("0|1"), coefficients, and "log sd of" each factor.
    covariance : ndarray, shape (n_parameters, n_parameters)
        Inverse curvature at the maximum, of the cutpoints, coefficients and log sds; NaN for estimates at infinity or
        at the boundary.
    components : tuple of VarianceComponent
    log_likelihood : float
        Effects integrated out, priors not counted.
    log_posterior : float
        The same with the priors of coefficients and log sds; what was maximised.
    convergence : MaximumFound
    findings : tuple of Finding
    """

    link: Link
    quadrature_points: int
    n_rows: int
    categories: tuple[int, ...]
    cutpoints: Floats
    cutpoint_std_errors: Floats
    coefficients: Floats
    coefficient_std_errors: Floats
    parameter_names: tuple[str, ...]
    covariance: Floats
    components: tuple[VarianceComponent, ...]
    log_likelihood: float
    log_posterior: float
    convergence: MaximumFound
    findings: tuple[Finding, ...]

    def __post_init__(self) -> None:
        for name in (
            "cutpoints",
            "cutpoint_std_errors",
            "coefficients",
            "coefficient_std_errors",
            "covariance",
        ):
            getattr(self, name).setflags(write=False)
