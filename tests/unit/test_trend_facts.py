"""Then and now without a model, and test sets: small logs whose numbers are done by hand."""

from __future__ import annotations

import datetime as dt

import pandas as pd
import pytest

from analysis.observations import observations
from analysis.questions.mornings import Morning
from analysis.questions.trend_facts import line_facts, mornings_then_now, stretches_of, tasks_then_now
from analysis.questions.trend_tests import rating_std_error, series_of_tests
from analysis.results import Estimate, LineKey, Withheld
from analysis.results_trend import LineFacts, MorningsThenNow, SameSet
from tests.small_logs import small_log, squat

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
BEGAN = dt.date(2026, 6, 1)
STD_ERROR = 1.02


def day(after: int) -> dt.date:
    return BEGAN + dt.timedelta(days=after)


def facts_of(rows: list[dict]) -> LineFacts:
    return line_facts(observations(small_log(rows), "T-01"), KEY, std_error=STD_ERROR)


def log_of_tests(pains: list[int]) -> list[dict]:
    return [squat(7 * i, 1, 6.0, pain, test_set=True) for i, pain in enumerate(pains)]


def test_stretches_are_halves_from_four_weeks_and_four_weeks_from_eight() -> None:
    assert stretches_of(day(0), day(26)) is None
    month = stretches_of(day(0), day(27))
    assert month is not None
    assert (month.first_to, month.last_from) == (day(13), day(14))
    quarter = stretches_of(day(0), day(83))
    assert quarter is not None
    assert (quarter.first_to, quarter.last_from, quarter.last_to) == (day(27), day(56), day(83))


def test_the_same_set_then_and_now() -> None:
    # At 10 kg: days of 4 and (2, 4) then, mean 3.5; days of 1, 0 and 2 now, mean 1.
    rows = [squat(0, 1, 10.0, 4), squat(3, 1, 10.0, 2), squat(3, 2, 10.0, 4), squat(3, 3, 12.0, 5)]
    rows += [squat(60, 1, 10.0, 1), squat(62, 1, 10.0, 0), squat(64, 1, 10.0, 2), squat(64, 2, 12.0, 3)]
    same = facts_of(rows).same_set
    assert isinstance(same, SameSet)
    assert (same.load_kg, same.then, same.now) == (10.0, 3.5, 1.0)
    assert (same.n_days_then, same.n_days_now) == (2, 3)
    assert same.detectable == pytest.approx(1.959964 * STD_ERROR * (1 / 2 + 1 / 3) ** 0.5, rel=1e-6)
    assert same.is_more_than_error


def test_the_work_then_and_now_is_each_days_heaviest_load_and_worst_score() -> None:
    # Then: days of (10 kg, worst 3) and (12 kg, worst 1); now: days of 14 kg with worst 2, 16 kg with worst 1.
    rows = [squat(0, 1, 8.0, 3), squat(0, 2, 10.0, 1), squat(3, 1, 12.0, 1)]
    rows += [squat(60, 1, 14.0, 2), squat(60, 2, 10.0, 0), squat(62, 1, 16.0, 1)]
    work = facts_of(rows).work
    assert work is not None
    assert (work.load_then_kg, work.pain_then, work.n_days_then) == (11.0, 2.0, 2)
    assert (work.load_now_kg, work.pain_now, work.n_days_now) == (15.0, 1.5, 2)
    assert work.detectable == pytest.approx(1.959964 * STD_ERROR, rel=1e-6)
    assert not work.pain_moved


def test_work_without_a_load_has_no_then_and_now() -> None:
    rows = [squat(0, 1, None, 3), squat(60, 1, None, 1)]
    assert facts_of(rows).work is None


def test_one_rating_against_one_needs_three_points() -> None:
    for now, expected in ((2, False), (1, True)):
        same = facts_of([squat(0, 1, 10.0, 4), squat(60, 1, 10.0, now)]).same_set
        assert isinstance(same, SameSet)
        assert same.is_more_than_error is expected


def test_the_heaviest_load_quiet_on_two_days() -> None:
    rows = [squat(d, 1, load, pain) for d, load, pain in ((0, 8, 0), (2, 10, 3), (4, 8, 1), (6, 10, 0))]
    rows += [
        squat(d, 1, load, pain) for d, load, pain in ((60, 12, 0), (62, 14, 0), (64, 12, 1), (66, 14, 2))
    ]
    found = facts_of(rows)
    assert (found.quiet_then_kg, found.quiet_now_kg) == (8.0, 12.0)
    assert isinstance(found.same_set, Withheld)
    assert found.same_set.reason == "No load was done both then and now."


def test_a_young_line_has_no_then() -> None:
    found = facts_of([squat(0, 1, 10.0, 4), squat(20, 1, 10.0, 0)])
    assert found.stretches is None
    assert isinstance(found.same_set, Withheld)
    assert found.same_set.reason == "Done over 21 days so far."


def morning(after: int, pain: int, *, usual: float | None = 2.0) -> Morning:
    up = usual is not None and pain >= usual + 2
    return Morning(day=day(after), pain=pain, usual=usual, up=up, flare_begins=False)


def test_mornings_above_usual_then_and_now() -> None:
    logged = [morning(d, 1, usual=None) for d in range(4)]
    logged += [morning(d, 4 if d < 8 else 2) for d in range(4, 20)] + [morning(d, 1) for d in range(50, 70)]
    found = mornings_then_now(logged)
    assert isinstance(found, MorningsThenNow)
    assert found.stretches.first_from == day(4)
    assert (found.n_up_then, found.n_then, found.n_up_now, found.n_now) == (4, 16, 0, 20)
    assert (found.median_then, found.median_now) == (2.0, 1.0)


def test_mornings_too_few_are_withheld_with_a_remedy() -> None:
    assert isinstance(mornings_then_now([]), Withheld)
    assert isinstance(mornings_then_now([morning(d, 2) for d in range(20)]), Withheld)
    sparse = mornings_then_now([morning(d, 2) for d in (0, 1, 2, 3, 40, 60)])
    assert isinstance(sparse, Withheld)
    assert sparse.reason == "Too few mornings were logged then or now."


def test_tasks_first_and_last() -> None:
    rated = [(0, "stairs", 6), (14, "stairs", None), (28, "stairs", 2), (14, "ridge", 8), (60, "stairs", 1)]
    log = small_log(
        [squat(0, 1, 10.0, 0)],
        tasks=[{"client": "T-01", "date": day(d), "task": t, "difficulty": x} for d, t, x in rated],
    )
    (task,) = tasks_then_now(log, "T-01", as_of=day(30))
    assert (task.task, task.first, task.last, task.n_ratings) == ("stairs", 6, 2, 2)
    assert (task.first_day, task.last_day) == (day(0), day(28))


def test_the_slope_of_test_sets_is_theil_sens_and_a_spike_does_not_move_it() -> None:
    # Weeks 1 to 8, pain 6, 5, 5, 4, 4, 3, 3, 2: -0.5 a week (-0.667 to -0.4 at 95 %), and the same with a 9 in week 5.
    plain = series_of_tests(
        observations(small_log(log_of_tests([6, 5, 5, 4, 4, 3, 3, 2])), "T-01"), confidence_level=0.95
    )
    slope = plain[0].points_per_week
    assert isinstance(slope, Estimate)
    assert slope.value == pytest.approx(-0.5, abs=1e-9)
    assert (slope.low, slope.high) == pytest.approx((-2 / 3, -0.4), abs=1e-3)
    spike = series_of_tests(observations(small_log(log_of_tests([6, 5, 5, 4, 9, 3, 3, 2])), "T-01"))
    moved = spike[0].points_per_week
    assert isinstance(moved, Estimate)
    assert moved.value == pytest.approx(-0.5, abs=1e-9)


def test_test_sets_of_other_loads_are_other_series_and_other_sets_are_none() -> None:
    rows = (
        log_of_tests([4, 3, 2])
        + [squat(7 * i, 2, 8.0, 5, test_set=True) for i in range(2)]
        + [squat(1, 1, 6.0, 9)]
    )
    found = series_of_tests(observations(small_log(rows), "T-01"))
    assert [(one.load_kg, [rating.pain for rating in one.ratings]) for one in found] == [
        (6.0, [4, 3, 2]),
        (8.0, [5, 5]),
    ]
    assert isinstance(found[0].points_per_week, Withheld)
    assert found[0].std_error is None


def test_the_logs_own_error_replaces_the_published_one_from_twelve_ratings() -> None:
    few = series_of_tests(observations(small_log(log_of_tests([4, 2, 4, 2, 4, 2])), "T-01"))
    assert rating_std_error(few)[0] == STD_ERROR
    many = series_of_tests(observations(small_log(log_of_tests([3, 2] * 6)), "T-01"))
    own, source = rating_std_error(many)
    assert own == pytest.approx(0.5**0.5)  # every difference is 1, half of its square is 1/2
    assert "own" in source
    alike = series_of_tests(observations(small_log(log_of_tests([2] * 12)), "T-01"))
    assert rating_std_error(alike)[0] == STD_ERROR


def test_a_series_that_begins_high_falls_in_part_by_itself() -> None:
    begins_high = series_of_tests(observations(small_log(log_of_tests([6, 2, 3, 2, 3, 2, 3, 2])), "T-01"))
    assert begins_high[0].falls_by_itself is not None
    assert begins_high[0].falls_by_itself > 0.5
    begins_low = series_of_tests(observations(small_log(log_of_tests([0, 2, 3, 2, 3, 2, 3, 2])), "T-01"))
    assert begins_low[0].falls_by_itself is None


def test_one_day_counts_once_with_its_worst_test_set() -> None:
    rows = [*log_of_tests([4, 3]), squat(0, 2, 6.0, 5, test_set=True)]
    (series,) = series_of_tests(observations(small_log(rows), "T-01"))
    assert [rating.pain for rating in series.ratings] == [5, 3]
    assert series.ratings[0].day == pd.Timestamp(BEGAN).date()
