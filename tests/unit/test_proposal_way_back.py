"""The way back after a flare or a break: when it begins, what it advises, when it is over; the limits of a day."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pandas as pd
import pytest

from analysis.questions.mornings import Morning
from analysis.questions.proposal_history import Exposure
from analysis.questions.proposal_limits import limit_in_force, limits_on
from analysis.questions.proposal_settings import ProposalSettings
from analysis.questions.proposal_way_back import flare_days, trained_days, way_back
from analysis.results_proposal import WayBack
from analysis.schema import KG_PER_LB
from tests.small_logs import small_log, squat
from tests.unit.made_proposals import CLIENT, LAST, day

ONE = dt.timedelta(days=1)
FLARE = LAST - dt.timedelta(days=8)
QUIET, SORE = (12.0, 3, 0), (12.0, 3, 1)


def usual(*days: Exposure) -> dict[dt.date, Morning]:
    """Usual mornings after some days."""
    return {
        one.day + ONE: Morning(day=one.day + ONE, pain=0, usual=0.0, up=False, flare_begins=False)
        for one in days
    }


def back(
    *days: Exposure,
    flares: tuple[dt.date, ...] = (),
    mornings: dict[dt.date, Morning] | None = None,
    on: dt.date = LAST + dt.timedelta(days=3),
    of_exercise: tuple[Exposure, ...] | None = None,
    settings: ProposalSettings | None = None,
) -> WayBack | None:
    return way_back(
        days,
        days if of_exercise is None else of_exercise,
        [one.day for one in days],
        flares,
        usual(*days) if mornings is None else mornings,
        CLIENT,
        settings or ProposalSettings(),
        day=on,
    )


def test_without_flare_or_break_there_is_no_way_back() -> None:
    assert back(day(7, QUIET), day(0, QUIET)) is None


def test_a_break_begins_at_ten_days() -> None:
    days = (day(7, QUIET), day(0, QUIET))
    assert back(*days, on=LAST + dt.timedelta(days=9)) is None
    found = back(*days, on=LAST + dt.timedelta(days=10))
    assert found is not None
    assert (found.kind, found.since, found.advice) == ("break", LAST, "lighten")
    assert (found.last_quiet_kg, found.n_quiet, found.n_needed) == (12.0, 0, 2)


def test_a_break_is_over_after_two_quiet_sessions_with_usual_mornings() -> None:
    before, first, second = day(20, QUIET), day(3, (8.0, 3, 0)), day(0, (8.0, 3, 0))
    one = back(before, first)
    assert one is not None
    assert (one.n_quiet, one.last_quiet_kg, one.quiet_since_kg) == (1, 12.0, 8.0)
    assert back(before, first, second) is None
    sore = back(before, first, day(0, (8.0, 3, 1)))
    assert sore is not None
    assert sore.n_quiet == 1
    unlogged = back(before, first, second, mornings=usual(first))
    assert unlogged is not None
    assert unlogged.n_quiet == 1
    assert (
        back(before, first, second, mornings={}, settings=ProposalSettings(needs_next_morning=False)) is None
    )


def test_a_quiet_session_of_another_variant_counts() -> None:
    before, other, another = day(20, QUIET), day(3, QUIET), day(0, QUIET)
    done = (before, other, another)
    found = way_back(
        (before,),
        done,
        [one.day for one in done],
        (),
        usual(*done),
        CLIENT,
        ProposalSettings(),
        day=LAST + ONE,
    )
    assert found is None


@pytest.mark.parametrize(
    ("before", "still_up", "advice"),
    [
        (QUIET, True, "keep"),
        (SORE, False, "lighten"),
        (SORE, True, "leave_out"),
    ],
)
def test_what_a_flare_asks_for(before: tuple[float, int, int], still_up: bool, advice: str) -> None:
    """What was quiet stays, what hurt is done lighter, and is left out while mornings are still above usual."""
    newest = Morning(day=LAST, pain=5, usual=1.0, up=still_up, flare_begins=False)
    found = back(day(12, QUIET), day(9, before), flares=(FLARE,), mornings={LAST: newest}, on=LAST + ONE)
    assert found is not None
    assert (found.kind, found.since, found.advice) == ("flare", FLARE, advice)


def test_an_old_flare_no_longer_decides() -> None:
    days = (day(7, QUIET), day(0, QUIET))
    assert back(*days, flares=(LAST - dt.timedelta(days=42),), on=LAST + ONE) is None
    last_day = back(day(7, QUIET), flares=(LAST - dt.timedelta(days=6),), on=LAST)
    assert last_day is not None
    assert last_day.kind == "flare"


def test_flares_come_from_events_and_from_mornings() -> None:
    seen = {
        FLARE: Morning(day=FLARE, pain=5, usual=1.0, up=True, flare_begins=True),
        FLARE + ONE: Morning(day=FLARE + ONE, pain=5, usual=1.0, up=True, flare_begins=False),
    }
    log = small_log(
        [squat(0, 1, 10.0, 0)],
        events=[
            {"client": "T-01", "date": "2026-06-05", "event": "flare"},
            {"client": "T-01", "date": "2026-06-06", "event": "away"},
            {"client": "T-02", "date": "2026-06-07", "event": "flare"},
            {"client": "T-01", "date": "2026-12-01", "event": "flare"},
        ],
    )
    assert flare_days(log, "T-01", seen, as_of=LAST) == (dt.date(2026, 6, 5), FLARE)


def test_days_of_an_exercise_in_any_variant() -> None:
    log = small_log([squat(0, 1, 10.0, 0), squat(2, 1, 8.0, 0, variant="on wedge"), squat(2, 2, 8.0, 0)])
    sets = log.sets.assign(works=log.sets["side"])
    assert trained_days(sets) == {("step-down", "left"): (dt.date(2026, 6, 1), dt.date(2026, 6, 3))}


def limits(*rows: dict[str, object], on: str = "2026-06-10", basis: str = "per hand", **client: object):  # type: ignore[no-untyped-def]
    log = small_log(
        [squat(0, 1, 10.0, 0)],
        limits=[{"client": "T-01"} | row for row in rows],
        ranges=[
            {"exercise": "step-down", "order": 1, "range_stop": "box 10 cm"},
            {"exercise": "step-down", "order": 2, "range_stop": "box 20 cm"},
        ],
    )
    found = limits_on(log, "T-01", day=dt.date.fromisoformat(on))
    return limit_in_force(found, log.ranges, replace(CLIENT, **client), "step-down", basis)  # type: ignore[arg-type]


def test_a_limit_holds_on_its_first_and_last_day_only() -> None:
    row = {
        "exercise": "step-down",
        "max_load": 12.0,
        "from": pd.Timestamp("2026-06-10"),
        "until": pd.Timestamp("2026-06-12"),
    }
    assert limits(row, on="2026-06-09") is None
    for inside in ("2026-06-10", "2026-06-12"):
        assert limits(row, on=inside).max_load_kg == 12.0
    assert limits(row, on="2026-06-13") is None


def test_the_strictest_limit_counts_whoever_set_it() -> None:
    found = limits(
        {"max_load": 14.0, "by": "coach"},
        {"exercise": "step-down", "max_load": 10.0, "by": "physiotherapist", "max_range_stop": "box 20 cm"},
        {"exercise": "box squat", "max_load": 2.0},
        {"exercise": "step-down", "max_range_stop": "box 10 cm"},
    )
    assert (found.max_load_kg, found.by, found.max_range_stop) == (10.0, "physiotherapist", "box 10 cm")
    assert not found.leave_out


def test_a_limit_in_pounds_and_on_top_of_bodyweight() -> None:
    assert limits({"max_load": 20.0, "unit": "lb"}).max_load_kg == pytest.approx(20 * KG_PER_LB)
    assert limits({"max_load": 20.0}, unit="lb").max_load_kg == pytest.approx(20 * KG_PER_LB)
    assert limits({"max_load": 5.0}, basis="bodyweight", bodyweight_kg=70.0).max_load_kg == 75.0


def test_left_out_stands_beside_a_load() -> None:
    found = limits({"max_load": 5.0, "by": "coach"}, {"leave_out": True, "by": "surgeon"})
    assert (found.leave_out, found.by) == (True, "surgeon")
