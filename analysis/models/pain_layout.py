"""From a Design to rows, priors and starting values of the numerics, and back to named draws (layer: models)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.design import LONGEST_TREND_WEEKS, Design, trend_weeks, week_middle
from analysis.design_terms import TERMS
from analysis.numerics.cumulative_link import cutpoints_from_gaps
from analysis.numerics.predictor import Group, Predictor, Rows, Slope
from analysis.numerics.prior import Prior, SdBlock

Floats = NDArray[np.float64]

N_CUTPOINTS = 5
"""Scores of 5 and more are merged; levels 1 to 5 can be asked about."""
TREND_SD, EXERCISE_TREND_SD = 0.25, 0.05
"""Prior sd of the trend per week, common and by exercise (logits)."""
FIRST_CUTPOINT = (1.5, 2.0)
CUTPOINT_SD_PER_WEEK = 0.07
"""The first cutpoint's prior widens with the weeks of data: "now at the median load" may lie far from it."""
LOG_GAP = (float(np.log(0.75)), 0.5)
LOG_SLOPE = (float(np.log(3.0)), 0.9)
LOG_SD = {
    "slope": (float(np.log(0.3)), 0.4),
    "exercise_side": (0.0, 0.5),
    "variant": (0.0, 0.7),
    "session": (float(np.log(0.6)), 0.5),
    "week": (float(np.log(0.25)), 0.6),
}
"""Prior of each log sd: mean and sd."""


@dataclass(frozen=True, slots=True, eq=False)
class PainLayout:
    """Rows, prior and the place of each named part.

    Attributes
    ----------
    predictor : Predictor
    prior : Prior
    group_of : dict
        Name of a grouping factor to its number in the predictor.
    phi_of : dict
        Name of an sd to its place in phi.
    """

    predictor: Predictor
    prior: Prior
    group_of: dict[str, int]
    phi_of: dict[str, int]


def pain_layout(design: Design) -> PainLayout:
    """Rows and prior of the pain model for a design.

    Parameters
    ----------
    design : Design

    Returns
    -------
    PainLayout
    """
    n = design.low.size
    ones = np.ones(n)
    trend = trend_weeks(design.week_time)
    X = np.column_stack([design.X, trend])
    named: dict[str, Group] = {
        "exercise": Group(design.exercise, ones, len(design.exercises)),
        "exercise_trend": Group(design.exercise, trend, len(design.exercises)),
        "exercise_side": Group(design.exercise_side, ones, len(design.exercise_sides)),
        "session": Group(design.session, ones, design.n_sessions),
    }
    if design.variants:
        named["variant"] = _optional_group(design.variant, len(design.variants))
    if design.weeks:
        named["week"] = _optional_group(design.week, len(design.weeks))
    slope = Slope(design.ell, design.exercise, len(design.exercises))
    rows = Rows(design.low, design.high, X, tuple(named.values()), slope, N_CUTPOINTS)
    predictor = Predictor(rows)
    group_of = {"slope": 0} | {name: i + 1 for i, name in enumerate(named)}
    years = min(design.weeks_of_data / 52.0, 1.0)
    log_sd = dict(LOG_SD) | {"exercise": (float(np.log(1.2 + 0.8 * years)), 0.5 + 0.1 * years)}
    mean, sd = np.zeros(predictor.size), np.ones(predictor.size)
    mean[0] = FIRST_CUTPOINT[0]
    sd[0] = np.hypot(FIRST_CUTPOINT[1], CUTPOINT_SD_PER_WEEK * min(design.weeks_of_data, LONGEST_TREND_WEEKS))
    mean[1:N_CUTPOINTS], sd[1:N_CUTPOINTS] = LOG_GAP
    mean[N_CUTPOINTS], sd[N_CUTPOINTS] = LOG_SLOPE
    sd[N_CUTPOINTS + 1 : predictor.dense.stop] = [*(term.prior_sd for term in TERMS), TREND_SD]
    sd[predictor.group_slice(group_of["exercise_trend"])] = EXERCISE_TREND_SD
    blocks: list[SdBlock] = []
    phi_of: dict[str, int] = {}
    for name, (log_mean, log_spread) in log_sd.items():
        if name not in group_of:
            continue
        structure = _walk_structure(design.weeks) if name == "week" else None
        phi_of[name] = len(blocks)
        blocks.append(SdBlock(predictor.group_slice(group_of[name]), structure, log_mean, log_spread))
    return PainLayout(predictor, Prior(mean, sd, tuple(blocks)), group_of, phi_of)


def _optional_group(level: NDArray[np.int64], size: int) -> Group:
    return Group(np.maximum(level, 0), (level >= 0).astype(float), size)


def _walk_structure(weeks: tuple[int, ...]) -> Floats:
    """Precision of a random walk back from the last session over the weeks with data.

    Variances of the increments are proportional to the time between the middles of the weeks.
    """
    times = np.array([week_middle(week) for week in (*weeks, 0)])
    steps = np.diff(np.eye(times.size), axis=0)[:, :-1]  # increments of (r_first .. r_last, 0)
    return np.asarray(steps.T @ np.diag(1.0 / np.diff(times)) @ steps)


@dataclass(frozen=True, slots=True, eq=False)
class NamedDraws:
    """Draws under the names the questions use; shapes as in `PainFit`."""

    cutpoints: Floats
    intercepts: Floats
    slopes: Floats
    drifts: Floats
    variant_offsets: Floats
    coefficients: Floats
    week_offsets: Floats
    day_sd: Floats


def name_draws(layout: PainLayout, design: Design, theta: Floats, phi: Floats) -> NamedDraws:
    """Named parts of raw draws.

    Parameters
    ----------
    layout : PainLayout
    design : Design
    theta : ndarray, shape (P, n_draws)
    phi : ndarray, shape (n_blocks, n_draws)

    Returns
    -------
    NamedDraws
    """
    p, group_of = layout.predictor, layout.group_of

    def part(name: str) -> Floats:
        return theta[p.group_slice(group_of[name])].T if name in group_of else np.zeros((theta.shape[1], 0))

    side_exercise = np.array([design.exercises.index(e) for e, _, _ in design.exercise_sides], dtype=np.int64)
    first = N_CUTPOINTS + 1
    return NamedDraws(
        cutpoints=cutpoints_from_gaps(theta[:N_CUTPOINTS]).T,
        intercepts=part("exercise")[:, side_exercise] + part("exercise_side"),
        slopes=np.exp(theta[N_CUTPOINTS][:, None] + part("slope")),
        drifts=theta[first + len(TERMS)][:, None] + part("exercise_trend"),
        variant_offsets=part("variant"),
        coefficients=theta[first : first + len(TERMS)].T,
        week_offsets=part("week"),
        day_sd=np.exp(phi[layout.phi_of["session"]]),
    )
