"""What happened next: each deed by hand from a few sets, the counts, and intervals against published ones."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from analysis.errors import OptionError
from analysis.questions.shares import share_of
from analysis.questions.what_next import what_next
from analysis.results import Estimate, Withheld
from analysis.results_what_next import PainfulSet, WhatNext
from analysis.tables import plain
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

# Share, counted: 95 % Wilson score interval without continuity correction.
# First three: statsmodels proportion_confint(method="wilson"), and by hand with z = 1.959964, z * z = 3.841459.
# Last three: Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3 (from memory).
WILSON_95 = (
    (3, 10, 0.10779, 0.60322),
    (0, 20, 0.0, 0.16113),
    (7, 20, 0.18119, 0.56715),
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (1, 29, 0.0061, 0.1718),
)


def only(log: TrainingLog) -> PainfulSet:
    (event,) = what_next(log, "T-01")[0].events
    return event


def after_pain(**second: object) -> PainfulSet:
    """A quiet session, then a set at 12 kg that hurt and a second one as told."""
    load = second.pop("load", 12.0)
    sets = [
        *(squat(0, number, 10.0, 0, rest_s=90) for number in (1, 2)),
        squat(2, 1, 12.0, 4, tempo="2-0-1-0", rom_pct=100, target_reps=8),
        squat(2, 2, load, 1, **({"tempo": "2-0-1-0", "rom_pct": 100, "target_reps": 8} | second)),
    ]
    variants = [
        {"exercise": "step-down", "order": order, "variant": name}
        for order, name in ((1, "hand on rail"), (2, "standard"), (3, "heel on wedge"))
    ]
    return only(small_log(sets, variants=variants))


@pytest.mark.parametrize(
    ("second", "deed"),
    [
        ({}, "same"),
        ({"load": 10.0}, "lighter"),
        ({"load": 14.0}, "heavier"),
        ({"load": None}, "same"),  # not logged is not lighter
        ({"tempo": "4-0-1-0"}, "slower"),
        ({"tempo": "1-0-1-0"}, "faster"),
        ({"rom_pct": 80}, "shorter range"),
        ({"rom_pct": 97}, "same"),  # within 5 points
        ({"variant": "hand on rail"}, "easier variant"),
        ({"variant": "heel on wedge", "load": 8.0}, "harder variant"),  # loads of two variants do not compare
        ({"variant": "sideways"}, "other variant"),
        ({"hold_s": 30, "reps": None}, "hold"),
        ({"target_reps": 6}, "fewer reps"),
        ({"load": 10.0, "tempo": "4-0-1-0"}, "several"),
        ({"rest_s": 150}, "waited"),
        ({"rest_s": 149}, "same"),
    ],
)
def test_a_deed_is_read_from_the_next_set(second: dict[str, object], deed: str) -> None:
    event = after_pain(**second)
    assert (event.deed, event.told) == (deed, False)
    assert [(one.pain, one.hurt) for one in event.following] == [(1, False)]


def test_several_changes_are_all_named() -> None:
    assert after_pain(load=10.0, tempo="4-0-1-0").changes == ("lighter", "slower")


def test_the_logged_response_wins() -> None:
    sets = [squat(0, 1, 12.0, 4, response="slower"), squat(0, 2, 10.0, 0)]
    event = only(small_log(sets))
    assert (event.deed, event.told, event.changes) == ("slower", True, ("lighter",))


def test_named_stops_are_compared_by_their_order() -> None:
    sets = [
        squat(0, number, 12.0, pain, range_stop=stop)
        for number, (pain, stop) in enumerate([(3, "parallel"), (0, "box")], 1)
    ]
    ranges = [
        {"exercise": "step-down", "order": order, "range_stop": stop}
        for order, stop in enumerate(("box", "parallel"), 1)
    ]
    assert only(small_log(sets, ranges=ranges)).deed == "shorter range"
    assert only(small_log(sets)).deed == "other range"  # without an order only "other" can be said


def alternating(pains: list[int], *, between: bool) -> list[dict[str, object]]:
    """Left sets of one day, with a right one after each where `between`."""
    sets = []
    for pain in pains:
        sets.append({"pain_left": pain, "side": "left"})
        if between:
            sets.append({"pain_left": None, "pain_right": 0, "side": "right"})
    return [squat(0, number, 12.0, None, **more) for number, more in enumerate(sets, 1)]


def test_the_usual_order_of_sides_is_no_response() -> None:
    event = only(small_log(alternating([0, 0, 0, 3, 0], between=True)))
    assert (event.deed, event.n_between) == ("same", 1)


def test_away_to_the_other_side_or_to_unloaded_work_and_back() -> None:
    quiet = alternating([0, 0, 0, 0, 3], between=False)
    other_side = squat(0, 6, 12.0, None, side="right", pain_right=0)
    unloaded = squat(0, 7, None, None, exercise="bridge", side="both")
    back = squat(0, 8, 12.0, 0)
    assert only(small_log([*quiet, other_side, back])).deed == "other side"
    assert only(small_log([*quiet, unloaded, back])).deed == "unloaded work"
    assert only(small_log([*quiet, other_side, unloaded, back])).changes == ("other side", "unloaded work")


def test_a_superset_is_not_away() -> None:
    quiet = alternating([0, 0, 0, 0], between=False)
    round_ = [
        squat(0, 5, 12.0, 3, superset="A"),
        squat(0, 6, None, None, exercise="bridge", side="both", superset="A"),
        squat(0, 7, 12.0, 0, superset="A"),
    ]
    assert only(small_log([*quiet, *round_])).deed == "same"


def test_left_it_needs_a_usual_number_of_sets() -> None:
    usual = [squat(day, number, 10.0, 0) for day in (0, 2, 4) for number in (1, 2, 3)]
    assert only(small_log([*usual, squat(6, 1, 12.0, 4)])).deed == "left it"  # median of 3, 3, 3, 1 is 3
    whole = [squat(6, number, 12.0, 4 if number == 3 else 0) for number in (1, 2, 3)]
    assert only(small_log([*usual, *whole])).deed == "last set"
    assert only(small_log([*usual[:3], squat(6, 1, 12.0, 4)])).deed == "last set"  # too few sessions to know


def test_next_time_and_the_rest_of_the_session() -> None:
    sets = [
        squat(0, 1, 12.0, 4),
        squat(0, 2, 40.0, 3, exercise="box squat", side="both"),
        squat(0, 3, 40.0, None, exercise="box squat", side="both"),
        squat(5, 1, 10.0, 1, pain_before=2),
    ]
    event = what_next(small_log(sets), "T-01")[0].events[0]
    assert (event.following, event.n_later_asked, event.n_later_painful) == ((), 1, 1)
    assert event.next_time is not None
    assert (event.next_time.day, event.next_time.changes) == (dt.date(2026, 6, 6), ("lighter",))
    assert (event.next_time.pain, event.next_time.pain_before) == (1, 2)


def test_stopped_for_pain_counts_at_any_score_and_without_one() -> None:
    unscored = squat(0, 1, 12.0, None, stopped_for="pain")
    low = squat(1, 1, 12.0, 1, stopped_for="pain")
    events = what_next(small_log([unscored, low]), "T-01")[0].events
    assert [(one.pain, one.at_least, one.stopped_for_pain) for one in events] == [
        (2, True, True),
        (1, False, True),
    ]


def test_each_side_that_hurts_is_an_event_and_has_its_own_next_score() -> None:
    both = {"exercise": "box squat", "side": "both"}
    sets = [
        squat(0, 1, 40.0, 3, pain_right=2, **both),
        squat(0, 2, 40.0, 0, pain_right=2, **both),
        squat(0, 3, 40.0, None, **both),
    ]
    found = what_next(small_log(sets), "T-01")
    assert [(one.key.side, one.pain, one.following[0].pain) for one in found[0].events] == [
        ("left", 3, 0),
        ("right", 2, 2),
        ("right", 2, None),
    ]
    assert found[0].events[2].following[0].hurt is None
    assert [(one.exercise, one.side, one.works, len(one.events)) for one in found[1:]] == [
        ("box squat", "right", "both", 2),
        ("box squat", "left", "both", 1),
    ]


@pytest.fixture(scope="module")
def counted() -> WhatNext:
    """Six lighter next sets, five of them quiet; a seventh on a painkiller day; two sets that hurt on one day."""
    sets, days = [], []
    for day in range(6):
        sets += [squat(3 * day, 1, 12.0, 4), squat(3 * day, 2, 10.0, 2 if day == 5 else 0)]
    sets += [squat(20, 1, 12.0, 4), squat(20, 2, 10.0, 0)]
    days += [
        {"client": "T-01", "date": f"2026-06-{day:02d}", "pain_morning": 4 if day in (8, 17) else 1}
        for day in range(1, 18)
    ]
    days += [{"client": "T-01", "date": "2026-06-21", "painkiller": True}]
    return what_next(small_log(sets, days=days), "T-01")[0]


def test_counts_by_hand(counted: WhatNext) -> None:
    lighter = counted.deeds[0]
    assert (lighter.deed, lighter.n_events, lighter.n_told) == ("lighter", 6, 0)
    assert (lighter.n_asked_next, lighter.n_quiet_next) == (6, 5)
    assert isinstance(lighter.quiet_next, Estimate)
    assert lighter.quiet_next.value == pytest.approx(5 / 6)
    # Days that hurt: 1, 4, 7, 10, 13 and 16 June. Mornings after: 2 (no usual yet), 5, 8, 11, 14 and 17 June.
    assert (lighter.n_mornings, lighter.n_mornings_up) == (5, 2)
    assert isinstance(lighter.morning_up, Withheld)


def test_the_last_painful_set_of_a_day_is_counted_apart(counted: WhatNext) -> None:
    last = counted.deeds[-1]
    assert (last.deed, last.n_events, last.n_asked_next) == ("last set", 1, 0)
    assert isinstance(last.quiet_next, Withheld)
    # all together: seven events, but 16 June, which has two of them, is one morning
    assert (counted.total.n_events, counted.total.n_mornings, counted.total.n_mornings_up) == (7, 5, 2)


def test_painkiller_days_are_shown_but_not_counted(counted: WhatNext) -> None:
    assert [one.painkiller for one in counted.events] == [False] * 7 + [True]
    assert counted.total.n_events == 7


@pytest.mark.parametrize(("n_yes", "n_counted", "low", "high"), WILSON_95)
def test_wilson_against_published_values(n_yes: int, n_counted: int, low: float, high: float) -> None:
    found = share_of(n_yes, n_counted, what="sets", n_sessions=4, confidence_level=0.95)
    assert isinstance(found, Estimate)
    digits = 1e-5 if n_counted <= 20 else 1e-4
    assert (found.low, found.high) == (pytest.approx(low, abs=digits), pytest.approx(high, abs=digits))
    assert found.value == n_yes / n_counted


def test_a_share_is_stated_from_six_on() -> None:
    assert isinstance(share_of(5, 5, what="sets", n_sessions=2), Withheld)
    assert isinstance(share_of(6, 6, what="sets", n_sessions=2), Estimate)


def test_nothing_hurt_is_an_answer() -> None:
    found = what_next(small_log([squat(0, 1, 12.0, 1)]), "T-01")
    assert len(found) == 1
    assert (found[0].events, found[0].deeds, found[0].total.n_events) == ((), (), 0)


def test_the_level_is_a_choice_and_the_day_is_inclusive() -> None:
    log = small_log([squat(0, 1, 12.0, 1), squat(3, 1, 12.0, 1)])
    assert len(what_next(log, "T-01", level=1)[0].events) == 2
    assert len(what_next(log, "T-01", level=1, as_of=dt.date(2026, 6, 1))[0].events) == 1
    with pytest.raises(OptionError, match="1 to 5"):
        what_next(log, "T-01", level=6)


def test_it_can_be_written_as_json(counted: WhatNext) -> None:
    told = json.loads(json.dumps(plain(counted), allow_nan=False))
    assert told["events"][0]["following"][0]["changes"] == ["lighter"]
