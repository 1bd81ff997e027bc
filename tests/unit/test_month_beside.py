"""A month beside the month before: every number by hand from a small made log."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import pytest

from analysis.questions.changes import MonthEvent
from analysis.questions.month import Month, month_summary
from analysis.questions.month_beside import changed_together
from analysis.questions.month_gaps import gaps
from analysis.results import Withheld
from analysis.results_month import (
    CompensationCounts,
    FeltCounts,
    Gap,
    LoadAndPain,
    LoadRange,
    LoadsBeside,
    MedianOf,
    MorningCounts,
)
from analysis.results_trend import SameSet
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

# Days are counted from 1 June 2026: 10 is 11 June, 30 is 1 July.
JUNE = ((10, 10.0, 0), (10, 10.0, 2), (15, 10.0, 0), (15, 10.0, 1), (20, 8.0, 0), (20, 10.0, None))
JULY = ((31, 12.0, 0), (31, 14.0, 3), (33, 14.0, 0), (36, 10.0, 0), (36, 12.0, 2), (36, 14.0, None))
Z95 = 1.959963984540054
PUBLISHED_ERROR = 1.02  # Childs 2005, one rating


def rows(sets: tuple[tuple[int, float, int | None], ...], **more: object) -> list[dict[str, object]]:
    """Sets in order, numbered within each day."""
    made: list[dict[str, object]] = []
    for day, load, pain in sets:
        number = 1 + sum(one["date"] == squat(day, 1, load, pain)["date"] for one in made)
        made.append(squat(day, number, load, pain, **more))
    return made


def other(day: int, number: int, side: str, pain: int | None, **more: object) -> dict[str, object]:
    """A two-legged set, asked on one side."""
    names = {"exercise": "box squat", "side": "both", "pain_left": None, f"pain_{side}": pain}
    return squat(day, number, 40.0, None, **(names | more))


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    july = rows(JULY)
    july[0] |= {"burn": 5, "rir": 3, "felt": "target", "compensation": "none"}
    july[1] |= {"burn": 6, "rpe": 8, "felt": "elsewhere", "compensation": "slight", "chosen_for": "pain"}
    july[2] |= {"burn": 3, "rir": 1, "felt": "target", "compensation": "clear"}
    july[3] |= {"rpe": 5, "felt": "target", "compensation": "none"}
    two_legged = [other(10, 9, "left", 0), other(31, 9, "left", 0, pain_right=4), other(33, 9, "right", None)]
    two_legged[1]["load"] = 50.0
    days = [
        {"client": "T-01", "date": f"2026-07-{day:02d}", "pain_morning": pain}
        for day, pain in ((1, 1), (2, 1), (3, 1), (4, 1), (5, 3), (6, 3), (7, 1))
    ]
    return small_log(rows(JUNE) + july + two_legged, days=days)


@pytest.fixture(scope="module")
def july(log: TrainingLog) -> Month:
    return month_summary(log, "T-01", exercise="step-down")


def test_figures_of_the_line_count_its_sets_only(july: Month) -> None:
    line = july.beside.line
    assert line is not None
    assert (line.n_sessions, line.n_sets) == (3, 6)
    assert (line.asked.n_asked, line.asked.n_painful, line.asked.worst) == (5, 2, 3)
    assert line.share_asked == pytest.approx(5 / 6)


def test_sets_that_hurt_and_quiet_sets_stand_with_their_loads(july: Month) -> None:
    line = july.beside.line
    assert line is not None
    assert line.asked.loads == LoadRange(low_kg=10.0, median_kg=12.0, high_kg=14.0)
    assert line.asked.painful_loads == LoadRange(low_kg=12.0, median_kg=13.0, high_kg=14.0)
    assert line.asked.quiet_loads == LoadRange(low_kg=10.0, median_kg=12.0, high_kg=14.0)


def test_burn_and_both_scales_of_effort_are_kept_apart(july: Month) -> None:
    line = july.beside.line
    assert line is not None
    assert line.burn == MedianOf(median=5.0, n_logged=3)
    assert line.rir == MedianOf(median=2.0, n_logged=2)  # 3 and 1; the rated efforts are not turned into it
    assert line.rpe == MedianOf(median=6.5, n_logged=2)  # 8 and 5


def test_a_blank_is_not_logged_and_never_none(july: Month) -> None:
    line, before = july.beside.line, july.beside.line_before
    assert line is not None
    assert before is not None
    assert line.felt == FeltCounts(target=3, elsewhere=1, not_logged=2)
    assert line.compensation == CompensationCounts(none=2, slight=1, clear=1, not_logged=2)
    assert line.n_chosen_for_pain == 1
    assert before.felt == FeltCounts(target=0, elsewhere=0, not_logged=6)
    assert before.compensation == CompensationCounts(none=0, slight=0, clear=0, not_logged=6)
    assert (before.burn, before.rir, before.rpe) == (None, None, None)


def test_days_covered_begin_with_the_log(july: Month) -> None:
    line, before = july.beside.line, july.beside.line_before
    assert line is not None
    assert before is not None
    assert (line.first_day, line.last_day) == (dt.date(2026, 7, 1), dt.date(2026, 7, 7))
    assert (before.first_day, before.last_day) == (dt.date(2026, 6, 11), dt.date(2026, 6, 30))


def test_all_exercises_count_a_set_once_and_have_no_common_load(july: Month) -> None:
    everything = july.beside.everything
    assert everything is not None
    # 5 step-downs and one box squat asked on both sides; the box squat hurt on the right
    assert (everything.n_sets, everything.asked.n_asked, everything.asked.n_painful) == (8, 6, 3)
    assert everything.asked.worst == 4
    assert (everything.asked.loads, everything.quiet_twice_kg) == (None, None)


def test_load_and_pain_are_means_over_days(july: Month) -> None:
    moved = july.beside.load_and_pain
    # heaviest asked: June 10, 10, 8; July 14, 14, 12. Worst: June 2, 1, 0; July 3, 0, 2.
    error = Z95 * PUBLISHED_ERROR * math.sqrt(1 / 3 + 1 / 3)
    assert isinstance(moved, LoadAndPain)
    assert (moved.load_before_kg, moved.load_now_kg) == pytest.approx((28 / 3, 40 / 3))
    assert moved.load_change == pytest.approx(12 / 28)
    assert (moved.load_moved, moved.pain_moved) == ("up", "same")
    assert (moved.pain_before, moved.pain_now) == pytest.approx((1.0, 5 / 3))
    assert moved.detectable == pytest.approx(error)


def test_two_days_compare_no_pain(log: TrainingLog) -> None:
    moved = month_summary(log, "T-01", as_of=dt.date(2026, 7, 4)).beside.load_and_pain
    assert isinstance(moved, Withheld)
    assert "3 in the month before, 2 in this one" in moved.reason


def test_the_same_load_is_the_one_done_on_most_days_in_both(july: Month) -> None:
    same = july.beside.same_load
    # only 10 kg was asked in both: June 11 mean 1, June 16 mean .5; July 7 one set, 0
    error = Z95 * PUBLISHED_ERROR * math.sqrt(1 / 2 + 1)
    assert same == SameSet(
        load_kg=10.0,
        then=0.75,
        now=0.0,
        n_days_then=2,
        n_days_now=1,
        detectable=pytest.approx(error),
        is_more_than_error=False,
    )


def test_loads_of_all_exercises_each_against_itself(july: Month) -> None:
    # all sets count: step-down June 10, 10, 10, July 14, 14, 14, up 40 %; box squat 40, then 50 and 40, up 12.5 %
    assert july.beside.loads == LoadsBeside(
        change=pytest.approx((0.4 + 0.125) / 2), n_up=2, n_same=0, n_down=0
    )


def test_every_line_of_either_month_stands_with_its_counts(july: Month) -> None:
    lines = july.beside.lines
    assert [(one.key.exercise, one.key.side) for one in lines] == [
        ("step-down", "left"),
        ("box squat", "right"),
        ("box squat", "left"),
    ]
    assert lines[1].before is None
    assert lines[1].now is not None
    assert (lines[1].now.n_painful, lines[1].now.painful_loads) == (
        1,
        LoadRange(low_kg=50.0, median_kg=50.0, high_kg=50.0),
    )


def test_mornings_of_both_months(july: Month) -> None:
    assert july.beside.mornings == MorningCounts(n_logged=7, n_known=3, n_up=2, n_flares=1)
    assert july.beside.mornings_before == MorningCounts(n_logged=0, n_known=0, n_up=0, n_flares=0)


def test_burn_of_a_session_is_its_median(july: Month) -> None:
    assert [(one.day.day, one.n_logged, one.median) for one in july.burn] == [(2, 2, 5.5), (4, 1, 3.0)]


def test_the_month_before_can_be_drawn_beside_it(july: Month) -> None:
    assert july.before is not None
    assert [(one.day.day, one.worst) for one in july.before.sessions] == [(11, 2), (16, 1), (21, 0)]


def test_nothing_in_the_month_before_is_none_and_not_zero(log: TrainingLog) -> None:
    june = month_summary(log, "T-01", month="2026-06", exercise="step-down")
    assert june.before is None
    assert (june.beside.line_before, june.beside.everything_before) == (None, None)
    assert isinstance(june.beside.load_and_pain, Withheld)
    assert isinstance(june.beside.same_load, Withheld)
    assert isinstance(june.beside.loads, Withheld)
    assert june.beside.month_before == "2026-05"


def test_january_has_december_before_it() -> None:
    january = month_summary(small_log([squat(200, 1, 10.0, 0), squat(215, 1, 10.0, 0)]), "T-01")
    assert (january.month, january.beside.month_before) == ("2027-01", "2026-12")
    assert january.before is not None
    assert january.before.last_day == dt.date(2026, 12, 31)


def months_of(*painful: int) -> TrainingLog:
    """Six asked sets a month from June on, so many of them painful."""
    return small_log(
        [
            squat(30 * month + 5, number + 1, 10.0, 3 if number < count else 0)
            for month, count in enumerate(painful)
            for number in range(6)
        ]
    )


@pytest.mark.parametrize(
    ("painful", "expected"),
    [
        ((1, 4, 2), True),
        ((4, 2), True),
        ((5, 4, 2), False),
        ((1, 4, 4), False),
        ((4, 4, 2), False),
        ((0, 0), False),
    ],
)
def test_a_fall_after_the_worst_month_is_said_to_come_partly_by_itself(
    painful: tuple[int, ...], expected: bool
) -> None:
    assert month_summary(months_of(*painful), "T-01").beside.before_was_worst is expected


def test_later_months_do_not_tell_whether_the_month_before_was_worst() -> None:
    second = month_summary(months_of(4, 2, 6), "T-01", month="2026-07")
    assert second.beside.before_was_worst


def test_several_kinds_of_change_are_named_and_one_is_not() -> None:
    lowering = MonthEvent(day=dt.date(2026, 7, 2), kind="lowering", value=4.0, before=2.0)
    away = replace(lowering, kind="logged", event="away")
    assert changed_together([lowering, away], "same") == ()
    assert changed_together([lowering, away], "up") == ("load", "lowering")
    assert changed_together([replace(lowering, kind="variant"), lowering], None) == ("lowering", "variant")


def test_another_stop_is_a_change_of_range() -> None:
    stops = ("box 20 cm", "box 20 cm", "box 15 cm")
    log = small_log([squat(3 * day, 1, 10.0, 0, range_stop=stop) for day, stop in enumerate(stops)])
    (event,) = month_summary(log, "T-01").events
    assert (event.kind, event.event, event.day) == ("range", "box 15 cm", dt.date(2026, 6, 7))


def test_ten_percent_of_the_range_is_a_change() -> None:
    log = small_log([squat(3 * day, 1, 10.0, 0, rom_pct=share) for day, share in enumerate((80, 85, 95))])
    (event,) = month_summary(log, "T-01").events
    assert (event.kind, event.before, event.value) == ("range", 85.0, 95.0)


FIRST, LAST = dt.date(2026, 7, 1), dt.date(2026, 7, 31)


def july_days(*days: int) -> list[dt.date]:
    return [dt.date(2026, 7, day) for day in days]


def test_an_away_event_makes_a_short_stretch_a_gap() -> None:
    assert gaps(july_days(1, 9, 12), [], FIRST, july_days(12)[0]) == ()
    (gap,) = gaps(july_days(1, 9, 12), july_days(4), FIRST, july_days(12)[0])
    assert gap == Gap(first=july_days(2)[0], last=july_days(8)[0], n_days=7, away=True)


def test_away_from_the_day_of_a_session_belongs_to_the_days_after_it() -> None:
    (gap,) = gaps(july_days(1, 9, 12), july_days(9), FIRST, july_days(12)[0])
    assert (gap.first.day, gap.last.day) == (10, 11)


def test_away_between_sessions_on_following_days_is_no_gap() -> None:
    assert gaps(july_days(9, 10), july_days(9), FIRST, july_days(10)[0]) == ()


def test_nine_days_are_no_gap_and_ten_are() -> None:
    assert gaps(july_days(1, 11), [], FIRST, july_days(11)[0]) == ()
    (gap,) = gaps(july_days(1, 12), [], FIRST, july_days(12)[0])
    assert (gap.n_days, gap.away) == (10, False)
