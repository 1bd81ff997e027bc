"""The line now against an earlier day, and pain at one fixed set, on draws set by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import expit

from analysis.design import week_middle
from analysis.errors import OptionError
from analysis.models.line_on_day import days_with_sets, line_draws_on_day
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.observations import observations
from analysis.questions.line_change import line_change, line_changes
from analysis.questions.pain_trend import pain_trend
from analysis.questions.review import review
from analysis.results import LineKey, Withheld
from analysis.results_trend import LineChange, PainTrend
from analysis.tables import review_json
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
OPTIONS = PainOptions(n_draws=640)
LAST_DAY = 63
DAYS = tuple(range(0, LAST_DAY + 1, 3))
CHANGE_KEYS = ["exercise", "variant", "side", "from", "to", "log2_change", "low", "high", "confidence_level"]
TREND_KEYS = ["per_week_log_odds", "low", "high", "probability_falling", "weeks"]


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    rows = [
        squat(day, i + 1, load, 3 if load >= 12 and day < 30 else int(load >= 12))
        for day in DAYS
        for i, load in enumerate((8.0, 8.0, 12.0))
    ]
    rows += [
        squat(day, 5, load, 0, exercise="bridge") for day, load in zip(DAYS[:8], (5.0, 6.0) * 4, strict=True)
    ]
    rows += [squat(day, 6, 7.0 + day % 2, 3, exercise="lunge") for day in DAYS[-7:]]
    rows += [squat(day, 7, None, day % 3, exercise="wall sit", hold_s=30, reps=None) for day in DAYS[:8]]
    rows += [squat(day, 8, 9.0, 1, exercise="hinge") for day in DAYS[:8]]
    return small_log(rows)


@pytest.fixture(scope="module")
def fit(log: TrainingLog) -> PainFit:
    return fit_pain_model(log, client="T-01", options=OPTIONS)


def with_course(fit: PainFit, *, drift: float, spread: float = 0.0, slope: float = 4.0) -> PainFit:
    """The fit with a straight course set by hand: the drift of every draw, without a weekly walk."""
    shift = np.linspace(-spread, spread, len(fit.slopes))
    return replace(
        fit,
        intercepts=np.full_like(fit.intercepts, 1.0),
        slopes=np.full_like(fit.slopes, slope),
        drifts=np.broadcast_to((drift + shift)[:, None], fit.drifts.shape).copy(),
        week_offsets=np.zeros_like(fit.week_offsets),
        coefficients=np.zeros_like(fit.coefficients),
        cutpoints=np.broadcast_to([1.0, 2.0, 3.0, 4.0, 5.0], fit.cutpoints.shape).copy(),
        day_sd=np.full_like(fit.day_sd, 1e-9),
    )


def test_the_change_is_the_drift_over_the_slope(fit: PainFit) -> None:
    # Pain falls by 0.2 log-odds a week for nine weeks; the line rises by 0.2 * 9 / 4 octaves.
    made = with_course(fit, drift=-0.2, spread=0.1)
    found = line_change(made, KEY, days_back=LAST_DAY)
    assert found.log2_change == pytest.approx(0.45)
    assert (found.low, found.high) == pytest.approx((0.45 - 0.18, 0.45 + 0.18))
    assert (found.low95, found.high95) == pytest.approx((0.45 - 0.21375, 0.45 + 0.21375))
    assert found.probability_up == 1.0
    assert (found.end - found.start).days == LAST_DAY
    assert found.claim == "up"


def test_a_change_is_claimed_only_from_six_weeks_on_and_when_sure(fit: PainFit) -> None:
    assert line_change(with_course(fit, drift=-0.2), KEY, days_back=39).claim is None
    assert line_change(with_course(fit, drift=-0.2), KEY, days_back=42).claim == "up"
    assert line_change(with_course(fit, drift=0.2), KEY, days_back=42).claim == "down"
    unsure = line_change(with_course(fit, drift=-0.2, spread=0.24), KEY, days_back=LAST_DAY)
    assert 0.9 < unsure.probability_up < 0.95
    assert unsure.claim is None


def test_a_weekly_step_counts_as_well(fit: PainFit) -> None:
    assert fit.design is not None
    offsets = np.zeros_like(fit.week_offsets)
    offsets[:, fit.design.weeks.index(-9)] = 1.0  # that week hurt by one log-odd more than today
    found = line_change(replace(with_course(fit, drift=0.0), week_offsets=offsets), KEY, days_back=LAST_DAY)
    assert found.log2_change == pytest.approx(0.25)


def test_a_day_stands_on_its_weeks_line_moved_along_the_drift(fit: PainFit) -> None:
    made = with_course(fit, drift=-0.2)
    assert made.design is not None
    assert list(days_with_sets(made.design, "step-down")) == list(range(0, LAST_DAY + 1, 3))
    week = line_draws(made, made.design, KEY, level=2, chance=0.2, week=-2)
    for days_back in (9, 12):  # both in the block of days 8 to 14
        on_day = line_draws_on_day(made, made.design, KEY, days_back=days_back, level=2, chance=0.2)
        np.testing.assert_allclose(on_day - week, -0.2 * (days_back / 7 + week_middle(-2)) / 4, atol=1e-12)


def test_a_day_without_sets_around_is_refused(fit: PainFit) -> None:
    assert fit.design is not None
    with pytest.raises(OptionError, match="days_back is 700"):
        line_draws_on_day(fit, fit.design, KEY, days_back=700, level=2, chance=0.2)


def test_every_line_has_its_change_or_why_not(fit: PainFit) -> None:
    rows = {row.key.exercise: row for row in line_changes(fit)}
    first, recent = rows["step-down"].since_first, rows["step-down"].since_28_days
    assert isinstance(first, LineChange)
    assert isinstance(recent, LineChange)
    assert (first.end - first.start).days == LAST_DAY
    assert (recent.end - recent.start).days == 30  # sets every three days: 30 is the first day back that far
    assert first.probability_up > 0.8
    reasons = {
        name: row.since_first.reason for name, row in rows.items() if isinstance(row.since_first, Withheld)
    }
    assert reasons == {
        "bridge": "No set of this exercise hurt, so its line has shown nowhere where it lies.",
        "lunge": "First done 18 days before the last session.",
        "wall sit": "These sets have no load in kilograms, so no line can move.",
        "hinge": "All sets were at one load.",
    }


def test_points_of_the_reference_set_are_the_sum_of_the_chances(fit: PainFit, log: TrainingLog) -> None:
    made = with_course(fit, drift=-0.2, spread=0.1)
    found = pain_trend(made, observations(log, "T-01"))
    assert isinstance(found, PainTrend)
    assert (found.key, found.load_kg) == (KEY, 8.0)
    assert found.per_week_log_odds == pytest.approx(-0.2)
    assert (found.low, found.high) == pytest.approx((-0.28, -0.12))
    assert found.probability_falling == 1.0
    assert made.design is not None
    at_load = 1.0 + 4.0 * (3.0 - made.design.centre_log2_kg["step-down", "standard"])
    expected = expit(at_load - np.arange(1.0, 6.0)).sum()
    assert found.weeks[-1].points == pytest.approx(expected, rel=1e-6)
    assert found.weeks[0].points > found.weeks[-1].points


def test_raw_pain_and_load_stand_beside(fit: PainFit, log: TrainingLog) -> None:
    found = pain_trend(fit, observations(log, "T-01"))
    assert isinstance(found, PainTrend)
    last = found.weeks[-1]
    assert (last.n_asked, last.raw_points, last.raw_load_kg) == (3, 1 / 3, pytest.approx(28 / 3))
    assert not found.begins_at_its_worst
    assert found.probability_falling > 0.8


def test_a_log_that_begins_at_its_worst_says_so(log: TrainingLog, fit: PainFit) -> None:
    seen = observations(log, "T-01")
    first_week = seen["week"] == seen["week"].min()
    found = pain_trend(fit, seen.assign(pain_low=seen["pain_low"].where(~first_week, 5)))
    assert isinstance(found, PainTrend)
    assert found.begins_at_its_worst


def test_no_course_without_pain_or_weeks() -> None:
    quiet = small_log([squat(day, i + 1, 8.0 + i, 0) for day in range(0, 40, 4) for i in range(3)])
    found = pain_trend(fit_pain_model(quiet, client="T-01", options=OPTIONS), observations(quiet, "T-01"))
    assert isinstance(found, Withheld)
    assert "No set of it hurt" in found.reason
    short = small_log([squat(day, i + 1, 8.0 + i, 3) for day in (0, 2) for i in range(3)])
    found = pain_trend(fit_pain_model(short, client="T-01", options=OPTIONS), observations(short, "T-01"))
    assert isinstance(found, Withheld)
    assert found.reason == "Pain was asked in fewer than three weeks."


def test_the_json_has_its_fixed_keys(log: TrainingLog) -> None:
    told = review_json(review(log, client="T-01", options=OPTIONS))
    assert set(TREND_KEYS) <= set(told["trend"])
    for week in told["trend"]["weeks"]:
        assert {"week", "points", "low", "high"} <= set(week)
    assert told["trend"]["weeks"][-1]["week"] == "2026-08-03"
    changes = told["pain_line_change"]
    for change in changes:
        assert {*CHANGE_KEYS, "probability_up"} <= set(change)
        assert (change["reason"] is None) == (change["log2_change"] is not None)
    stated = [change for change in changes if change["exercise"] == "step-down"]
    assert [(change["since"], change["from"], change["to"]) for change in stated] == [
        ("first session", "2026-06-01", "2026-08-03"),
        ("28 days ago", "2026-07-04", "2026-08-03"),
    ]
    json.dumps(told, allow_nan=False)
