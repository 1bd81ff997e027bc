"""The search for the maximum of a cumulative-link mixed model: start, separation, boundary, finish (layer: models)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import linalg
from scipy.stats import norm

from analysis.errors import FitError
from analysis.models.cumulative_link_inputs import LinkModelInputs
from analysis.numerics.cumulative_link import cutpoints_from_gaps, gaps_from_cutpoints, with_open_ends
from analysis.numerics.curvature import Curvature
from analysis.numerics.laplace import find_mode
from analysis.numerics.marginal import Marginal, MarginalPoint
from analysis.numerics.maximise import Maximum, climb, polish
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.prior import Prior
from analysis.numerics.separation import separation

Floats = NDArray[np.float64]

FAR_END = {"logit": 15.0, "probit": 5.0}
"""Distance from a cutpoint that no row reaches unless the data separate: Newton's method stops at a decrement of 1e-14,
which a row on its way to infinity passes below only beyond 30 (logit) or 7 (probit)."""
HOLD_SD = 1e3
"""What runs to infinity is held by N(0, 1000^2) while the limit of the likelihood, flat in it, is maximised over the
rest, which that moves by about 1e-6 of itself."""
START_SD = 1.0
SMALL_SD = 0.3
"""An sd that ends below this is looked at: is 0 the better answer?"""
PROBE_SD = 0.03
"""Near 0 the criterion is straight in the variance: its slope here has the sign of the slope at 0."""
SAME = 1e-5
"""Log-likelihoods of two BFGS searches nearer than this are the same."""


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
    """

    maximum: Maximum
    point: MarginalPoint
    staying: tuple[int, ...]
    runs: Floats
    log_prior: float
    nothing_left: bool


class _Penalised:
    """Integrated log-likelihood and normal priors: what is maximised."""

    def __init__(self, rows: Rows, n_points: int, mean: Floats, precision: Floats) -> None:
        self.marginal = Marginal(rows, n_points)
        self.mean, self.precision = mean, precision

    def __call__(self, x: Floats) -> tuple[float, Floats]:
        point = self.marginal(x)
        away = x - self.mean
        return point.log_likelihood - 0.5 * float(
            self.precision @ away**2
        ), point.gradient - self.precision * away

    def hessian(self, x: Floats) -> Floats:
        """Exact, for rows without factors."""
        return Curvature(self.marginal.predictor, x).hessian() + np.diag(self.precision)


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
    free = np.isinf(prior_sd)
    rows = replace(inputs.rows, groups=())
    sd = np.concatenate([np.full(J, np.inf), prior_sd])
    start, inverse = _start(rows, sd)
    apart = None
    if free.any() and (start is None or _reaches_far(rows, start)):
        apart = separation(rows, free)
    runs = np.zeros(J + free.size)
    if apart is not None:
        runs = apart.signs(inputs.to_natural)
        sd = np.where(apart.signs(np.eye(runs.size)) != 0.0, np.minimum(sd, HOLD_SD), sd)
        rows = apart.rows
        start, inverse = _start(rows, sd)
    if start is None:
        raise FitError("The model without factors could not be fitted; please keep the data and report it.")
    fixed_precision = 1.0 / sd**2

    def criterion_of(staying: tuple[int, ...]) -> _Penalised:
        some = list(staying)
        kept = replace(rows, groups=tuple(inputs.rows.groups[k] for k in some))
        mean = np.concatenate([np.zeros(J + free.size), inputs.log_sd_mean[some]])
        precision = np.concatenate([fixed_precision, 1.0 / inputs.log_sd_sd[some] ** 2])
        return _Penalised(kept, n_points, mean, precision)

    nothing_left = bool((rows.low == 0).all() and (rows.high == J).all())
    staying, x = ((), start) if nothing_left else _climbed(inputs, criterion_of, start, inverse)
    criterion = criterion_of(staying)
    maximum = polish(criterion, x, hessian_of=None if staying else criterion.hessian)
    log_prior = _log_prior(inputs, staying, maximum.x)
    return Found(maximum, criterion.marginal(maximum.x), staying, runs, log_prior, nothing_left)


def _start(rows: Rows, sd: Floats) -> tuple[Floats | None, Floats]:
    """Maximum without factors and the inverse Hessian there; None if Newton's method finds none."""
    J, n = rows.n_cutpoints, rows.low.size
    at = np.arange(J)
    below = (rows.high[:, None] <= at).sum(axis=0) + 0.5 * (
        (rows.low[:, None] <= at) & (rows.high[:, None] > at)
    ).sum(axis=0)
    share = (below + 0.5) / (n + 1.0)
    cuts = np.log(share / (1.0 - share))
    cuts = np.maximum.accumulate(cuts - 0.1 * at) + 0.1 * at
    start = np.concatenate([gaps_from_cutpoints(cuts), np.zeros(sd.size - J)])
    predictor = Predictor(rows)
    prior = Prior(np.zeros(sd.size), sd, ())
    try:
        theta, _, H = find_mode(predictor, prior, start, np.zeros(0), np.ones(sd.size, dtype=bool))
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


def _climbed(
    inputs: LinkModelInputs,
    criterion_of: Callable[[tuple[int, ...]], _Penalised],
    start: Floats,
    inverse: Floats,
) -> tuple[tuple[int, ...], Floats]:
    """BFGS with every factor, then without those whose variance is best at 0."""
    flat = np.isinf(inputs.log_sd_sd)
    rms = np.array([np.sqrt(np.mean(group.value**2)) for group in inputs.rows.groups])
    staying = tuple(range(len(inputs.rows.groups)))
    if not staying:
        return staying, start
    n = start.size
    log_sd = np.where(flat, np.log(START_SD / rms), inputs.log_sd_mean)
    rough = climb(criterion_of(staying), np.concatenate([start, log_sd]), _widened(inverse, len(staying)))
    while True:
        sd = np.exp(rough.x[n:]) * rms[list(staying)]
        for place in np.argsort(sd):
            k = staying[place]
            if not flat[k] or sd[place] > SMALL_SD:
                continue
            rest = tuple(other for other in staying if other != k)
            x = np.delete(rough.x, n + place)
            lesser = climb(criterion_of(rest), x, _widened(inverse, len(rest)))
            probe = np.insert(lesser.x, n + place, np.log(PROBE_SD / rms[k]))
            falls = criterion_of(staying)(probe)[1][n + place] <= 0.0
            if falls and lesser.value > rough.value - SAME:
                staying, rough = rest, lesser
                break
        else:
            return staying, rough.x


def _widened(inverse: Floats, n_factors: int) -> Floats:
    return np.asarray(linalg.block_diag(inverse, 0.25 * np.eye(n_factors)))


def _log_prior(inputs: LinkModelInputs, staying: tuple[int, ...], x: Floats) -> float:
    """Log density of the proper priors."""
    some = list(staying)
    J, p = inputs.rows.n_cutpoints, inputs.coefficient_sd.size
    away = np.concatenate([x[J : J + p] / inputs.scale, x[J + p :] - inputs.log_sd_mean[some]])
    sd = np.concatenate([inputs.coefficient_sd, inputs.log_sd_sd[some]])
    proper = np.isfinite(sd)
    return float(norm.logpdf(away[proper], scale=sd[proper]).sum())
