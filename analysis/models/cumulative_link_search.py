"""The search for the maximum of a cumulative-link mixed model: start, separation, finish (layer: models)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from analysis.errors import FitError
from analysis.models.cumulative_link_climb import Penalised, best_of_tries
from analysis.models.cumulative_link_inputs import LinkModelInputs
from analysis.numerics.cumulative_link import cutpoints_from_gaps, gaps_from_cutpoints, with_open_ends
from analysis.numerics.laplace import find_mode
from analysis.numerics.marginal import MarginalPoint
from analysis.numerics.maximise import Maximum, polish
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.prior import Prior
from analysis.numerics.separation import pins, separation

Floats = NDArray[np.float64]

FAR_END = {"logit": 15.0, "probit": 5.0}
"""Distance from a cutpoint that no row reaches unless the data separate: Newton's method stops at a decrement of 1e-14,
which a row on its way to infinity passes below only beyond 30 (logit) or 7 (probit)."""
PIN_SD = 0.01
"""Where the data separate, as many parameters as directions are loose are pinned far out by N(., 0.01^2): the limit of
the likelihood is flat along those directions, so that a pin pulls on nothing."""
CLOSED_LOG_GAP = -10.0
"""Log gap below which two cutpoints have met; a single answer between them keeps the gap some 1 / n_rows wide."""


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """What the search found.

    Attributes
    ----------
    maximum : Maximum
        In (c_1, log gaps, coefficients, log sds of the factors that stay).
    point : MarginalPoint
    staying : tuple of int
        Factors with a variance above 0.
    runs : ndarray, shape (J + n_coefficients,)
        Sign of infinity where the data separate, NaN where nothing is known, 0 elsewhere.
    log_prior : float
        Log density of the proper priors at the maximum.
    nothing_left : bool
        Whether every answer separates, so that nothing tells how far levels spread.
    n_cutpoints : int
    """

    maximum: Maximum
    point: MarginalPoint
    staying: tuple[int, ...]
    runs: Floats
    log_prior: float
    nothing_left: bool
    n_cutpoints: int

    @property
    def closed_category(self) -> int | None:
        """A category between two cutpoints that have met: censored answers can leave it no probability."""
        log_gaps = self.maximum.x[1 : self.n_cutpoints]
        closed = np.flatnonzero(log_gaps < CLOSED_LOG_GAP)
        return int(closed[0]) + 1 if closed.size and not self.runs.any() else None


def search(inputs: LinkModelInputs, n_points: int) -> Found:
    """Maximum of the integrated log-likelihood with its priors.

    Parameters
    ----------
    inputs : LinkModelInputs
    n_points : int
        Nodes a level.

    Returns
    -------
    Found

    Raises
    ------
    FitError
        If the search breaks down.
    """
    J, prior_sd = inputs.rows.n_cutpoints, inputs.coefficient_sd * inputs.scale
    rows = replace(inputs.rows, groups=())
    mean, sd = np.zeros(J + prior_sd.size), np.concatenate([np.full(J, np.inf), prior_sd])
    first = np.concatenate([gaps_from_cutpoints(_cutpoints_of_shares(rows)), np.zeros(prior_sd.size)])
    start, inverse = _start(rows, mean, sd, first)
    free = np.isinf(prior_sd)
    apart = separation(rows, free) if free.any() and (start is None or _reaches_far(rows, start)) else None
    runs = np.zeros(J + free.size)
    if apart is not None:
        runs = apart.signs(inputs.to_natural)
        first, pinned = pins(apart, cutpoints_from_gaps(first[:J]))
        mean[pinned], sd[pinned] = first[pinned], PIN_SD
        rows = apart.rows
        start, inverse = _start(rows, mean, sd, first)
    if start is None:
        raise FitError("The model without factors could not be fitted; please keep the data and report it.")

    criteria: dict[tuple[int, ...], Penalised] = {}

    def criterion_of(staying: tuple[int, ...]) -> Penalised:
        if staying not in criteria:
            criteria[staying] = made_criterion(staying)
        return criteria[staying]

    def made_criterion(staying: tuple[int, ...]) -> Penalised:
        some = list(staying)
        kept = replace(rows, groups=tuple(inputs.rows.groups[k] for k in some))
        precision = 1.0 / np.concatenate([sd, inputs.log_sd_sd[some]]) ** 2
        return Penalised(kept, n_points, np.concatenate([mean, inputs.log_sd_mean[some]]), precision)

    nothing_left = bool((rows.low == 0).all() and (rows.high == J).all())
    staying: tuple[int, ...] = ()
    if nothing_left or not inputs.rows.groups:
        criterion = criterion_of(staying)
        maximum = polish(criterion, start, hessian_of=criterion.exact)
    else:
        staying, maximum = best_of_tries(inputs, criterion_of, start, inverse)
    return Found(
        maximum=replace(maximum, n_evaluations=sum(c.n_evaluations for c in criteria.values())),
        point=criterion_of(staying).marginal(maximum.x),
        staying=staying,
        runs=runs,
        log_prior=_log_prior(inputs, staying, maximum.x),
        nothing_left=nothing_left,
        n_cutpoints=J,
    )


def _cutpoints_of_shares(rows: Rows) -> Floats:
    """Cutpoints that would give the shares of the answers without covariates, kept apart."""
    at = np.arange(rows.n_cutpoints)
    surely = rows.high[:, None] <= at
    perhaps = (rows.low[:, None] <= at) & ~surely
    share = ((surely + 0.5 * perhaps).sum(axis=0) + 0.5) / (rows.low.size + 1.0)
    return np.asarray(np.maximum.accumulate(np.log(share / (1.0 - share)) - 0.1 * at) + 0.1 * at)


def _start(rows: Rows, mean: Floats, sd: Floats, first: Floats) -> tuple[Floats | None, Floats]:
    """Maximum without factors and the inverse Hessian there; None if Newton's method finds none."""
    predictor = Predictor(rows)
    latent = np.ones(sd.size, dtype=bool)
    try:
        theta, _, H = find_mode(predictor, Prior(mean, sd, ()), first, np.zeros(0), latent)
    except FitError:
        return None, np.eye(sd.size)
    values, vectors = np.linalg.eigh(H)
    return theta, (vectors / np.maximum(values, 1e-4)) @ vectors.T


def _reaches_far(rows: Rows, theta: Floats) -> bool:
    """Whether any row lies so far from a cutpoint that the data may separate."""
    predictor = Predictor(rows)
    cuts = with_open_ends(cutpoints_from_gaps(theta[: predictor.J]))
    eta, _ = predictor.eta(theta)
    r = np.where(rows.high < predictor.J, cuts[predictor.upper_cut] - eta, 0.0)
    l = np.where(rows.low > 0, cuts[predictor.lower_cut] - eta, 0.0)
    return bool(max(r.max(), (-l).max()) > FAR_END[rows.link])


def _log_prior(inputs: LinkModelInputs, staying: tuple[int, ...], x: Floats) -> float:
    """Log density of the proper priors."""
    some = list(staying)
    J, p = inputs.rows.n_cutpoints, inputs.coefficient_sd.size
    away = np.concatenate([x[J : J + p] / inputs.scale, x[J + p :] - inputs.log_sd_mean[some]])
    sd = np.concatenate([inputs.coefficient_sd, inputs.log_sd_sd[some]])
    proper = np.isfinite(sd)
    return float(norm.logpdf(away[proper], scale=sd[proper]).sum())
