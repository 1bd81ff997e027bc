"""What was logged lately that asks for care: each kind by hand, its limit, its window, its words."""

from __future__ import annotations

import datetime as dt

import pandas as pd
import pytest

from analysis.questions.care import care_entries
from analysis.results_care import CareEntry
from analysis.training_log import TrainingLog
from dashboard.wording.care import asks_first, care_sentences, older_entries
from dashboard.wording.stop_signs import BY_REGION, GROUP_OF, stop_signs
from tests.small_logs import small_log, squat

LAST = dt.date(2026, 6, 30)


def entries(log: TrainingLog) -> list[tuple[str, str]]:
    return [(one.day.isoformat(), one.kind) for one in care_entries(log, "T-01", as_of=LAST)]


def with_limit(rows: list[dict[str, object]], **limits: int) -> TrainingLog:
    return small_log(rows, clients=[{"client": "T-01", **limits}])


@pytest.mark.parametrize("feel", ["catching", "giving way", "sharp"])
def test_a_feeling_is_told_whatever_the_score(feel: str) -> None:
    log = small_log([squat(29, 1, 8.0, 0, pain_feel=feel), squat(29, 2, 8.0, 1, pain_feel="ache")])
    assert entries(log) == [("2026-06-30", feel)]


def test_without_a_limit_more_than_five_is_high() -> None:
    log = small_log([squat(29, 1, 8.0, 5), squat(28, 1, 8.0, 6)])
    assert entries(log) == [("2026-06-29", "high in a set")]


def test_a_limit_on_file_decides() -> None:
    log = with_limit([squat(29, 1, 8.0, 3), squat(28, 1, 8.0, 4)], limit_during=3)
    (one,) = care_entries(log, "T-01", as_of=LAST)
    assert (one.day, one.pain, one.limit, one.n_sets) == (dt.date(2026, 6, 29), 4, 3, 1)


def test_the_worst_of_a_day_and_exercise_stands_for_it() -> None:
    log = small_log([squat(29, 1, 8.0, 7), squat(29, 2, 8.0, 9)])
    (one,) = care_entries(log, "T-01", as_of=LAST)
    assert (one.pain, one.n_sets) == (9, 2)


def test_two_weeks_and_no_more() -> None:
    log = small_log([squat(16, 1, 8.0, 8), squat(15, 1, 8.0, 8)])
    assert entries(log) == [("2026-06-17", "high in a set")]


def test_days_and_sessions() -> None:
    mornings = [(27, 6, None, None), (28, 5, True, None), (29, 0, False, "none"), (30, None, None, "slight")]
    days = [
        {
            "client": "T-01",
            "date": pd.Timestamp(2026, 6, day),
            "pain_morning": pain,
            "night_pain": woke,
            "swelling": seen,
        }
        for day, pain, woke, seen in mornings
    ]
    sessions = [{"client": "T-01", "date": pd.Timestamp(2026, 6, 26), "session": 1, "pain_after": 7}]
    log = small_log([squat(25, 1, 8.0, 0)], days=days, sessions=sessions)
    assert entries(log) == [
        ("2026-06-30", "swelling"),
        ("2026-06-28", "night pain"),
        ("2026-06-27", "high next morning"),
        ("2026-06-26", "high after"),
    ]


def test_quiet_weeks_ask_for_nothing() -> None:
    log = small_log([squat(29, 1, 8.0, 2), squat(28, 1, 8.0, None)])
    assert care_entries(log, "T-01", as_of=LAST) == ()
    assert care_sentences(()) == ()


def test_the_words_name_day_place_score_and_limit() -> None:
    day = dt.date(2026, 6, 30)
    told = care_sentences(
        [
            CareEntry(day=day, kind="high in a set", exercise="step-down", side="left", pain=5, limit=3),
            CareEntry(day=day, kind="high after", pain=6),
            CareEntry(day=day, kind="giving way", exercise="split squat", side="left"),
        ]
    )
    assert told == (
        "30 Jun: pain 5 of 10 in step-down, left, over the limit of 3 during a set.",
        "30 Jun: pain 6 of 10 after the session, and no limit after a session is on file.",
        "30 Jun: giving way in split squat, left.",
    )


def test_what_does_not_stand_open_is_counted() -> None:
    assert len(care_sentences([CareEntry(day=LAST, kind="swelling")] * 8)) == 8
    assert older_entries(4) == "4 older entries of the last two weeks"
    assert older_entries(1) == "1 older entry of the last two weeks"


def test_the_side_is_the_one_that_hurt_most() -> None:
    rows = [
        squat(29, 1, 40.0, 2, side="both", pain_right=7),
        squat(28, 1, 8.0, None, side="right", pain_feel="catching"),
    ]
    found = care_entries(small_log(rows), "T-01", as_of=LAST)
    assert [(one.kind, one.side, one.pain) for one in found] == [
        ("high in a set", "right", 7),
        ("catching", "right", None),
    ]


@pytest.mark.parametrize(
    ("kind", "expected"),
    [("swelling", True), ("sharp", True), ("high in a set", False), ("high after", False)],
)
def test_stop_signs_among_the_entries_ask_first(kind: str, expected: bool) -> None:
    assert asks_first([CareEntry(day=LAST, kind=kind)]) is expected  # type: ignore[arg-type]


def test_a_set_told_by_how_it_felt_is_not_told_again() -> None:
    places = {"exercise": "step-down", "side": "left", "pain": 5}
    told = care_sentences(
        [
            CareEntry(day=LAST, kind="sharp", **places),
            CareEntry(day=LAST, kind="high in a set", limit=3, **places),
        ]
    )
    assert told == ("30 Jun: sharp pain in step-down, left, pain 5 of 10.",)


def test_every_region_has_its_signs_after_those_for_anywhere() -> None:
    for region, groups in GROUP_OF.items():
        for group in groups:
            assert set(BY_REGION[group]) <= set(stop_signs(region))
    assert len(stop_signs("knee")) > len(stop_signs(None))
