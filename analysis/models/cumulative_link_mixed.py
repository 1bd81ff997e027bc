"""Cumulative-link mixed model of ordinal answers: flat or weak priors, Laplace or quadrature (layer: models)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from analysis.models.cumulative_link_findings import link_findings
from analysis.models.cumulative_link_inputs import LinkModelInputs, check_inputs
from analysis.models.cumulative_link_result import CumulativeLinkFit, MaximumFound, VarianceComponent
from analysis.models.cumulative_link_search import Found, search
from analysis.numerics.cumulative_link import cutpoints_from_gaps, gaps_in_cutpoints

MOST_DECIMALS = 15
"""Double precision has no more."""


def fit_cumulative_link_mixed(
    y: ArrayLike,
    X: ArrayLike | pd.DataFrame | None = None,
    groups: Mapping[str, Any] | None = None,
    *,
    link: str = "logit",
    quadrature_points: int = 1,
    coefficient_sd: ArrayLike = np.inf,
    log_sd_mean: ArrayLike = 0.0,
    log_sd_sd: ArrayLike = np.inf,
    coefficient_names: Sequence[str] | None = None,
) -> CumulativeLinkFit:
    """Fit ordinal answers with crossed or nested grouping factors.

    P(y > k) = F(x'beta + effects - cutpoint_k) with F the logistic or the normal distribution. Each factor's effects
    are N(0, sd^2), independent, and integrated out; cutpoints, coefficients and log sds are maximised over. Without
    groups this is the cumulative-link model of McCullagh [1]_; with two categories, (mixed) logistic or probit
    regression.

    Parameters
    ----------
    y : array_like, shape (n_rows,) or (n_rows, 2)
        Whole numbers, or pairs low, high of the categories an answer allows (-inf, inf for an open end).
    X : array_like or DataFrame, shape (n_rows, n_coefficients), optional
        Covariates without a constant: the cutpoints are the constants.
    groups : mapping of str to array_like or GroupingFactor, optional
        Labels of each factor, shape (n_rows,), two levels or more; nested factors have labels of their own
        (batch, cask within batch). A `GroupingFactor` with a value is a random slope, uncorrelated with the rest.
    link : {"logit", "probit"}, default "logit"
    quadrature_points : int, default 1
        1 is the Laplace approximation, for any number of factors; more are nodes of adaptive Gauss-Hermite
        quadrature [2]_, for one factor.
    coefficient_sd : array_like, default inf
        Prior N(0, sd^2) of the coefficients, one for all or one each; infinite for flat.
    log_sd_mean, log_sd_sd : array_like, default 0 and inf
        Normal prior of each factor's log sd; `log_sd_sd` infinite for flat.
    coefficient_names : sequence of str, optional
        The frame's columns, or x1, x2, ..., if None.

    Returns
    -------
    CumulativeLinkFit

    Raises
    ------
    OptionError
        With every fault of the arguments and its mend.
    FitError
        If the search breaks down; a fault to report.

    Notes
    -----
    Standard errors come from exact second derivatives (with quadrature from central differences of the exact gradient).
    A flat log sd whose maximum is a variance of 0 is set to exactly 0, and a finding says so; with a normal prior on
    log sd the estimate stays above 0. Coefficients that separation sends to infinity are given as infinite, with a
    finding; a finite `coefficient_sd` keeps them finite. Categories without a probability of their own are merged, with
    a finding.

    References
    ----------
    .. [1] McCullagh 1980, J R Stat Soc B 42:109-142.
    .. [2] Pinheiro & Bates 1995, J Comput Graph Stat 4:12-35.

    Examples
    --------
    >>> fit = fit_cumulative_link_mixed([0, 1, 2, 0, 1, 2, 2, 1], [0, 0, 1, 0, 1, 1, 0, 1])
    >>> fit.parameter_names
    ('0|1', '1|2', 'x1')
    """
    inputs = check_inputs(
        y,
        X,
        groups,
        link=link,
        quadrature_points=quadrature_points,
        coefficient_sd=coefficient_sd,
        log_sd_mean=log_sd_mean,
        log_sd_sd=log_sd_sd,
        coefficient_names=coefficient_names,
    )
    found = search(inputs, int(quadrature_points))
    while (closed := found.closed_category) is not None:
        inputs = inputs.without_category(closed)
        found = search(inputs, int(quadrature_points))
    return _named(inputs, found, int(quadrature_points))


def _named(inputs: LinkModelInputs, found: Found, n_points: int) -> CumulativeLinkFit:
    """Estimates under their names, on the scale of the cutpoints."""
    J, p = inputs.rows.n_cutpoints, len(inputs.coefficient_names)
    n = J + p + len(inputs.factor_names)
    maximum, x = found.maximum, found.maximum.x
    back = np.eye(x.size)  # d (cutpoints, coefficients, log sds) / d x
    back[:J, :J] = gaps_in_cutpoints(x[:J])
    back[: J + p] = inputs.to_natural @ back[: J + p]
    covariance = np.full((n, n), np.nan)
    decimals = np.full(n, -1, dtype=np.int64)
    finite = [*np.flatnonzero(found.runs == 0.0), *(J + p + k for k in found.staying)]
    places = [*np.flatnonzero(found.runs == 0.0), *range(J + p, x.size)]
    if maximum.definite:
        all_of_x = back @ np.linalg.inv(maximum.hessian) @ back.T
        covariance[np.ix_(finite, finite)] = all_of_x[np.ix_(places, places)]
    error = np.nan_to_num(np.abs(back @ maximum.last_step)[places], nan=1.0)
    decimals[finite] = np.clip(np.floor(-np.log10(np.maximum(error, 1e-16))), 0, MOST_DECIMALS)
    std_errors = np.sqrt(np.diag(covariance))
    estimates = inputs.to_natural @ np.concatenate([cutpoints_from_gaps(x[:J]), x[J : J + p]])
    runs = found.runs != 0.0
    estimates[runs] = np.inf * found.runs[runs]
    components = tuple(
        _component(inputs, found, k, std_errors[J + p + k]) for k in range(len(inputs.factor_names))
    )
    kept = inputs.categories
    names = [f"{kept[j]}|{kept[j + 1]}" for j in range(J)]
    return CumulativeLinkFit(
        link=inputs.rows.link,
        quadrature_points=n_points,
        n_rows=inputs.rows.low.size,
        categories=kept,
        cutpoints=estimates[:J],
        cutpoint_std_errors=std_errors[:J],
        coefficients=estimates[J:],
        coefficient_std_errors=std_errors[J : J + p],
        parameter_names=(
            *names,
            *inputs.coefficient_names,
            *(f"log sd of {name}" for name in inputs.factor_names),
        ),
        covariance=covariance,
        components=components,
        log_likelihood=found.point.log_likelihood,
        log_posterior=found.point.log_likelihood + found.log_prior,
        convergence=MaximumFound(
            converged=maximum.converged,
            max_gradient=float(np.abs(maximum.gradient).max()),
            correct_decimals=decimals,
            n_evaluations=maximum.n_evaluations,
        ),
        findings=link_findings(inputs, names, estimates, components, converged=maximum.converged),
    )


def _component(inputs: LinkModelInputs, found: Found, k: int, log_sd_std_error: float) -> VarianceComponent:
    missing = np.full(inputs.rows.groups[k].size, np.nan if found.nothing_left else 0.0)
    stays = k in found.staying
    place = found.staying.index(k) if stays else 0
    n_fixed = found.maximum.x.size - len(found.staying)
    sd = float(np.exp(found.maximum.x[n_fixed + place])) if stays else float(missing[0])
    return VarianceComponent(
        name=inputs.factor_names[k],
        sd=sd,
        variance=sd**2,
        log_sd_std_error=float(log_sd_std_error),
        at_boundary=not stays and not found.nothing_left,
        levels=inputs.levels[k],
        modes=found.point.modes[place].copy() if stays else missing,
        mode_variances=found.point.variances[place].copy() if stays else missing.copy(),
    )
