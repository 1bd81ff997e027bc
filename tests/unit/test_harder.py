"""Easier and harder: every criterion met, not met and not logged by hand; trials, their outcome and what comes next."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace

import pytest

from analysis.errors import OptionError
from analysis.questions.harder import harder
from analysis.questions.harder_settings import HarderSettings
from analysis.results import LineRow, Withheld
from analysis.results_harder import Criterion, HarderStep
from analysis.tables import plain
from tests.small_logs import small_log, squat
from tests.unit.made_lines import line, withheld

Rows = list[dict[str, object]]
ORDER = [
    {"exercise": "step-down", "order": order, "variant": name}
    for order, name in enumerate(("hand on rail", "standard", "heel on wedge"), 1)
]
GOOD = {"target_reps": 8, "rir": 3, "compensation": "none"}
LINE = line(load_kg=14.2, low_kg=13.0, high_kg=15.5)
"""A reached line of step-down, standard, left: above the 12 kg worked with here."""


def worked() -> Rows:
    """Two sessions at 12 kg, 1 and 4 June, all of them as they should be."""
    return [squat(day, number, 12.0, 1, **GOOD) for day in (0, 3) for number in (1, 2)]


def logged_mornings(*up: int, until: int = 20) -> Rows:
    """Mornings at 1 from 20 May, but at 4 on those days of June."""
    start = dt.date(2026, 5, 20)
    days = [start + dt.timedelta(days=back) for back in range(12 + until)]
    return [
        {"client": "T-01", "date": str(day), "pain_morning": 4 if day.month == 6 and day.day in up else 1}
        for day in days
    ]


def step(sets: Rows, *, lines: list[LineRow] | None = None, **tables: Rows) -> HarderStep:
    log = small_log(sets, **({"variants": ORDER, "days": logged_mornings()} | tables))
    (row,) = harder(log, "T-01", lines=[LINE] if lines is None else lines)
    assert isinstance(row.answer, HarderStep)
    return row.answer


def criterion(found: HarderStep, name: str) -> Criterion:
    return next(one for one in found.criteria if one.name == name)


def changed(number: int, **cells: object) -> Rows:
    rows = worked()
    rows[number] = rows[number] | cells
    return rows


def test_all_met_is_due_for_a_trial() -> None:
    found = step(worked())
    assert {one.name: one.state for one in found.criteria if one.state != "met"} == {}
    assert (found.decision, found.first_reason) == ("due for a trial", None)
    assert (found.variant, found.next_variant, found.working_load_kg) == ("standard", "heel on wedge", 12.0)
    assert found.days == (dt.date(2026, 6, 1), dt.date(2026, 6, 4))
    assert (criterion(found, "reps").value, criterion(found, "reserve").value) == (2, 3)
    assert (criterion(found, "pain during").value, criterion(found, "pain during").bound) == (1, 2)


@pytest.mark.parametrize(
    ("name", "state", "rows", "day"),
    [
        ("reps", "not met", changed(3, reps=7), 4),
        ("reps", "not met", changed(0, reps=7), 1),
        ("reps", "not logged", changed(2, target_reps=None), 4),
        ("reserve", "not met", changed(1, rir=1), 1),
        ("reserve", "not logged", [*changed(2, rir=None)[:3], changed(3, rir=None)[3]], 4),
        ("pain during", "not met", changed(2, pain_left=3), 4),
        ("pain during", "not met", changed(2, pain_left=1, stopped_for="pain"), 4),
        ("pain during", "not met", changed(0, pain_feel="catching"), 1),
        ("compensation", "not met", changed(3, compensation="clear"), 4),
    ],
)
def test_each_criterion_by_hand(name: str, state: str, rows: Rows, day: int) -> None:
    found = step(rows)
    one = criterion(found, name)
    assert (one.state, one.day) == (state, dt.date(2026, 6, day))
    assert (found.decision, found.first_reason) == ("not yet", one)


def test_target_reps_have_to_be_at_the_working_load_two_sessions_running() -> None:
    lighter_before = [row | {"load": 10.0} if number < 2 else row for number, row in enumerate(worked())]
    one = criterion(step(lighter_before), "reps")
    assert (one.state, one.value, one.bound) == ("not met", 1, 2)
    # a lighter set beside the working load does not have to meet them
    assert step([*worked(), squat(3, 3, 10.0, 1, **(GOOD | {"reps": 5}))]).decision == "due for a trial"


@pytest.mark.parametrize(
    ("stopped_for", "state"), [("goal", "met"), ("technique", "not met"), (None, "not logged")]
)
def test_a_hold_reaches_its_target_when_it_ends_at_its_goal(stopped_for: str | None, state: str) -> None:
    hold = {"reps": None, "target_reps": None, "hold_s": 30, "stopped_for": stopped_for}
    sets = [row | hold for row in worked()]
    assert criterion(step(sets), "reps").state == state


def test_blanks_are_not_logged_and_never_met() -> None:
    bare = [squat(day, 1, 12.0, None) for day in (0, 3)]
    found = step(bare, lines=[], days=[])
    assert {one.name: one.state for one in found.criteria} == {
        "limits": "met",
        "reps": "not logged",
        "reserve": "not logged",
        "pain during": "not logged",
        "next morning": "not logged",
        "compensation": "not logged",
        "pain line": "not logged",
        "last trial": "met",
    }


def test_next_mornings_are_up_missing_or_over_the_limit() -> None:
    up = criterion(step(worked(), days=logged_mornings(5)), "next morning")
    assert (up.state, up.value, up.bound, up.day) == ("not met", 4, 1.0, dt.date(2026, 6, 5))
    missing = criterion(step(worked(), days=logged_mornings(until=3)), "next morning")
    assert (missing.state, missing.day) == ("not logged", dt.date(2026, 6, 4))
    agreed = [{"client": "T-01", "limit_next_morning": 0}]
    assert criterion(step(worked(), clients=agreed), "next morning").state == "not met"


def test_the_clients_own_limit_during_wins() -> None:
    at_three = changed(0, pain_left=3)
    assert criterion(step(at_three), "pain during").state == "not met"
    agreed = [{"client": "T-01", "limit_during": 3}]
    assert criterion(step(at_three, clients=agreed), "pain during").state == "met"


def test_a_painkiller_day_does_not_count_as_quiet() -> None:
    days = [row | {"painkiller": str(row["date"]) == "2026-06-04"} for row in logged_mornings()]
    one = criterion(step(worked(), days=days), "pain during")
    assert (one.state, one.day) == ("not logged", dt.date(2026, 6, 4))


@pytest.mark.parametrize(
    ("row", "state", "value"),
    [
        (line(load_kg=14.2, low_kg=11.0, high_kg=15.5), "met", 14.2),
        (line(load_kg=11.9, low_kg=11.0, high_kg=13.0), "not met", 11.9),
        (line("above_tried", load_kg=None, low_kg=12.0, high_kg=None), "met", 12.0),
        (line("lower_only", load_kg=None, low_kg=12.5, high_kg=None), "met", 12.5),
        (line("lower_only", load_kg=None, low_kg=11.0, high_kg=None), "not logged", 11.0),
        (line("below_tried", load_kg=None, low_kg=None, high_kg=13.0), "not met", 13.0),
        (withheld(), "not logged", None),
    ],
)
def test_the_line_has_to_lie_above_the_working_load(row: LineRow, state: str, value: float | None) -> None:
    one = criterion(step(worked(), lines=[row]), "pain line")
    assert (one.state, one.value, one.bound) == (state, value, 12.0)


def test_the_worst_of_two_sides_decides() -> None:
    both = [LINE, line(load_kg=11.0, low_kg=10.0, high_kg=12.0)]
    assert criterion(step(worked(), lines=both), "pain line").value == 11.0


def test_lines_at_other_odds_do_not_count() -> None:
    assert criterion(step(worked(), lines=[replace(LINE, chance=0.5)]), "pain line").state == "not logged"


def trial(day: int, pain: int | None, **cells: object) -> dict[str, object]:
    return squat(day, 1, 4.0, pain, variant="heel on wedge", trial=True, **cells)


@pytest.mark.parametrize(
    ("trials", "until", "up", "outcome", "decision"),
    [
        ([trial(5, 0)], 20, (), "quiet", "due for a second trial"),
        ([trial(5, 0), trial(7, 1)], 20, (), "quiet", "quiet trials done"),
        ([trial(5, 0)], 6, (), "morning not logged", "trial not closed"),
        ([trial(5, None)], 20, (), "not asked", "trial not closed"),
        ([trial(5, 4)], 20, (), "hurt", "not yet"),
        ([trial(5, 1, stopped_for="pain")], 20, (), "hurt", "not yet"),
        ([trial(5, 0)], 20, (7,), "morning up", "not yet"),
        ([trial(5, 0), trial(7, 4)], 20, (), "hurt", "not yet"),
    ],
)
def test_trials_and_what_comes_next(
    trials: Rows, until: int, up: tuple[int, ...], outcome: str, decision: str
) -> None:
    found = step([*worked(), *trials], days=logged_mornings(*up, until=until))
    assert (found.trials[-1].outcome, found.decision) == (outcome, decision)
    if decision == "not yet":
        assert found.first_reason is not None
        assert found.first_reason.name == "last trial"


def test_a_trial_keeps_its_dose_and_does_not_become_the_work() -> None:
    found = step([*worked(), trial(5, 0, reps=6)])
    (one,) = found.trials
    assert (one.load_kg, one.reps, one.place, one.n_sets, one.pain, one.morning_pain) == (4.0, 6, 1, 1, 0, 1)
    assert (found.variant, found.trial_load_kg, found.next_last_day) == ("standard", 4.0, None)


def test_two_good_sessions_after_a_trial_that_hurt_make_it_due_again() -> None:
    sets = [trial(0, 4), *(squat(day, 1, 12.0, 1, **GOOD) for day in (4, 7))]
    assert step(sets).decision == "due for a trial"
    assert step([squat(-3, 1, 12.0, 1, **GOOD), *sets[:2]]).decision == "not yet"


def test_a_trial_never_closed_is_not_waited_for_once_work_went_on() -> None:
    sets = [trial(-2, None), *worked()]
    found = step(sets)
    assert (found.trials[-1].outcome, found.decision) == ("not asked", "due for a trial")


def limit(**more: object) -> Rows:
    return [{"client": "T-01", "exercise": "step-down", "leave_out": True} | more]


def test_limits_are_obeyed_on_their_days_only() -> None:
    assert step(worked(), limits=limit()).first_reason == Criterion(name="limits", state="not met")
    assert criterion(step(worked(), limits=limit(**{"from": "2026-06-04"})), "limits").state == "not met"
    assert criterion(step(worked(), limits=limit(until="2026-06-03")), "limits").state == "met"
    assert criterion(step(worked(), limits=limit(exercise=None)), "limits").state == "not met"
    assert criterion(step(worked(), limits=limit(exercise="bridge")), "limits").state == "met"


def test_rungs_hold_what_was_seen_on_every_variant_in_order() -> None:
    sets = [*changed(0, pain_left=3), squat(5, 1, 14.0, None, **GOOD), trial(6, 0)]
    (row,) = harder(small_log(sets, variants=ORDER), "T-01", lines=[])
    assert [(one.variant, one.n_sets, one.n_asked, one.n_painful) for one in row.rungs] == [
        ("hand on rail", 0, 0, 0),
        ("standard", 5, 4, 1),
        ("heel on wedge", 1, 1, 0),
    ]
    assert [(one.heaviest_kg, one.n_trials) for one in row.rungs] == [(None, 0), (14.0, 0), (4.0, 1)]
    assert row.rungs[0].last_day is None


@pytest.mark.parametrize(
    ("rows", "order", "reason"),
    [
        (worked(), [], "no order on file"),
        (worked(), ORDER[:2], "standard is the hardest variant on file"),
        (changed(3, variant="sideways")[3:], ORDER, "sideways is not among the variants"),
        ([trial(0, 0)], ORDER, "No working set yet"),
    ],
)
def test_without_a_next_variant_the_answer_is_withheld(rows: Rows, order: Rows, reason: str) -> None:
    (row,) = harder(small_log(rows, variants=order), "T-01", lines=[])
    assert isinstance(row.answer, Withheld)
    assert reason in row.answer.reason
    assert row.answer.remedy


def test_settings_change_the_answer_and_are_checked() -> None:
    log = small_log(changed(0, rir=1), variants=ORDER, days=logged_mornings())
    (row,) = harder(log, "T-01", lines=[LINE], settings=HarderSettings(sessions_running=1))
    assert isinstance(row.answer, HarderStep)
    assert row.answer.decision == "due for a trial"
    with pytest.raises(OptionError, match="count from 1"):
        harder(log, "T-01", lines=[], settings=HarderSettings(sessions_running=0))
    json.dumps(plain(row), allow_nan=False)
