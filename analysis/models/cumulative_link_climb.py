"""The climb to the maximum of a cumulative-link mixed model, and which variances are best at 0 (layer: models)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy import linalg

from analysis.errors import FitError
from analysis.models.cumulative_link_inputs import LinkModelInputs
from analysis.numerics.ascend import ascend
from analysis.numerics.marginal import Marginal
from analysis.numerics.maximise import Maximum, RoughMaximum, climb, polish
from analysis.numerics.predictor import Rows

Floats = NDArray[np.float64]

TRIES = ((1.0, 1e-3), (0.2, 1e-6), (4.0, 1e-6))
"""Sd at which a flat search begins and gradient at which BFGS hands over; the later ones if an earlier one ends on a
slope."""
WIDEST_SD, NARROWEST_SD = 100.0, 1e-8
"""Sds, times the usual size of the factor's value, past which a search has lost its way."""
HUGE_SD = 30.0
"""A flat sd beyond this explains the answers whatever the rest; another try would only go there again."""
SMALL_SD = 0.3
"""An sd that ends below this is looked at: is 0 the better answer?"""
MOST_LOOKS = 10
PROBE_SD = 0.03
"""Near 0 the criterion is straight in the variance: its slope here has the sign of the slope at 0."""
LEAST_SD = 1.001 * PROBE_SD
"""An sd that ends below this was held there."""
SAME = 1e-5
"""Log-likelihoods of two BFGS searches nearer than this are the same."""


def usual_sizes(rows: Rows) -> Floats:
    """Root mean square of each factor's value: 1 for an intercept."""
    return np.array([np.sqrt(np.mean(group.value**2)) for group in rows.groups])


class Penalised:
    """Integrated log-likelihood and normal priors: what is maximised.

    Parameters
    ----------
    rows : Rows
    n_points : int
        Nodes a level.
    mean, precision : ndarray, shape (J + n_coefficients + n_factors,)
        Of the priors; precision 0 for flat.

    Attributes
    ----------
    n_evaluations : int
        So far.
    """

    def __init__(self, rows: Rows, n_points: int, mean: Floats, precision: Floats) -> None:
        self.marginal = Marginal(rows, n_points)
        self.mean, self.precision = mean, precision
        self.log_sd_top = np.log(WIDEST_SD / usual_sizes(rows))
        self.n_evaluations = 0

    def __call__(self, x: Floats) -> tuple[float, Floats]:
        """Value and gradient at (c_1, log gaps, coefficients, log sds); FitError where an sd is past all sense."""
        self.n_evaluations += 1
        log_sd = x[self.marginal.n_fixed :]
        if (log_sd > self.log_sd_top).any() or (
            log_sd < self.log_sd_top + np.log(NARROWEST_SD / WIDEST_SD)
        ).any():
            raise FitError("A spread ran out of range.")
        point = self.marginal(x)
        away = x - self.mean
        return point.log_likelihood - 0.5 * float(
            self.precision @ away**2
        ), point.gradient - self.precision * away

    def hessian(self, x: Floats) -> Floats:
        """Exact, of minus the value; not for quadrature."""
        return self.marginal.hessian(x) + np.diag(self.precision)

    @property
    def exact(self) -> Callable[[Floats], Floats] | None:
        """`hessian` where there is one."""
        return self.hessian if self.marginal.has_hessian else None


def best_of_tries(
    inputs: LinkModelInputs,
    criterion_of: Callable[[tuple[int, ...]], Penalised],
    start: Floats,
    inverse: Floats,
) -> tuple[tuple[int, ...], Maximum]:
    """The factors that stay, and the first maximum that is one, or the highest point if none is.

    Parameters
    ----------
    inputs : LinkModelInputs
    criterion_of : callable
        What is maximised, with some of the factors.
    start : ndarray, shape (J + n_coefficients,)
        Maximum without factors.
    inverse : ndarray, shape (J + n_coefficients, J + n_coefficients)
        Inverse Hessian there.

    Returns
    -------
    staying : tuple of int
    maximum : Maximum

    Raises
    ------
    FitError
        If the criterion cannot be computed where a climb ends.
    """
    found: list[tuple[tuple[int, ...], Maximum]] = []
    for start_sd, tolerance in TRIES:
        staying, x = _climbed(inputs, criterion_of, start, inverse, start_sd, tolerance)
        criterion = criterion_of(staying)
        maximum = polish(criterion, x, hessian_of=criterion.exact)
        found.append((staying, maximum))
        sd = np.exp(maximum.x[start.size :]) * usual_sizes(inputs.rows)[list(staying)]
        rising_for_ever = bool((sd > HUGE_SD).any())
        if maximum.converged or rising_for_ever:
            return found[-1]
    return max(found, key=lambda one: one[1].value)


def _climbed(
    inputs: LinkModelInputs,
    criterion_of: Callable[[tuple[int, ...]], Penalised],
    start: Floats,
    inverse: Floats,
    start_sd: float,
    tolerance: float,
) -> tuple[tuple[int, ...], Floats]:
    """The neighbourhood of the maximum with every factor, then without those whose variance is best at 0."""
    flat = np.isinf(inputs.log_sd_sd)
    rms = usual_sizes(inputs.rows)
    staying = tuple(range(len(inputs.rows.groups)))
    n = start.size
    log_sd = np.where(flat, np.log(start_sd / rms), inputs.log_sd_mean)

    def climbed(some: tuple[int, ...], x: Floats) -> RoughMaximum:
        criterion, fixed = criterion_of(some), np.zeros(n, dtype=bool)
        if criterion.exact is None:
            return climb(criterion, x, _widened(inverse, len(some)), tolerance=tolerance)
        is_log_scale = np.concatenate([fixed, flat[list(some)]])
        floor = np.full(x.size, -np.inf)
        floor[n:] = np.where(is_log_scale[n:], np.log(PROBE_SD / rms[list(some)]), -np.inf)
        return ascend(
            criterion, x, criterion.exact, is_log_scale=is_log_scale, floor=floor, tolerance=tolerance
        )

    rough = climbed(staying, np.concatenate([start, log_sd]))
    for _ in range(MOST_LOOKS):
        sd = np.exp(rough.x[n:]) * rms[list(staying)]
        small = [int(place) for place in np.argsort(sd) if flat[staying[place]] and sd[place] <= SMALL_SD]
        at_floor = [place for place in small if sd[place] <= LEAST_SD]
        for places in ([at_floor] if len(at_floor) > 1 else []) + [[place] for place in small]:
            gone = [staying[place] for place in places]
            rest = tuple(k for k in staying if k not in gone)
            at = [n + place for place in places]
            lesser = climbed(rest, np.delete(rough.x, at))
            probe = np.empty(n + len(staying))
            probe[at] = np.log(PROBE_SD / rms[gone])
            probe[np.setdiff1d(np.arange(probe.size), at)] = lesser.x
            if (criterion_of(staying)(probe)[1][at] > 0.0).any():  # 0 is no maximum: on from there
                probe[at] = np.log(SMALL_SD / rms[gone])
                onward = climbed(staying, probe)
                if onward.value > rough.value + SAME:
                    rough = onward
                    break
            elif lesser.value > rough.value - SAME:
                staying, rough = rest, lesser
                break
        else:
            break
    return staying, rough.x


def _widened(inverse: Floats, n_factors: int) -> Floats:
    return np.asarray(linalg.block_diag(inverse, 0.25 * np.eye(n_factors)))
