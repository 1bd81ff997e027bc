"""Has it moved, am I better: the sentences, on answers made by hand."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace

import pytest

from analysis.results import LineKey, Withheld
from analysis.results_trend import (
    ChangeRow,
    LineChange,
    LineFacts,
    MorningsThenNow,
    PainTrend,
    SameSet,
    Stretches,
    TaskThenNow,
    TrendReview,
    TrendWeek,
    WorkThenNow,
)
from dashboard.wording.trend import change_sentence, client_sentences, moved_sentences, work_sentence

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
BEGAN, ENDED = dt.date(2026, 7, 9), dt.date(2026, 9, 28)
STRETCHES = Stretches(
    first_from=BEGAN, first_to=dt.date(2026, 8, 5), last_from=dt.date(2026, 9, 1), last_to=ENDED
)
YOUNG = Withheld(reason="First done 9 days before the last session.", remedy="From 28 days on it is.")


def change(*, claim: str | None = "up", up: float = 0.97, start: dt.date = BEGAN) -> LineChange:
    return LineChange(
        key=KEY,
        start=start,
        end=ENDED,
        log2_change=math.log2(1.25),
        low=math.log2(1.1),
        high=math.log2(1.4),
        confidence_level=0.8,
        low95=0.0,
        high95=0.6,
        probability_up=up,
        from_kg=8.0,
        to_kg=10.0,
        claim=claim,  # type: ignore[arg-type]
    )


def reviewed(since_first: LineChange | Withheld, *, then: float, now: float, enough: bool) -> TrendReview:
    same = SameSet(
        load_kg=8.0,
        then=then,
        now=now,
        n_days_then=5,
        n_days_now=7,
        detectable=0.8,
        is_more_than_error=enough,
    )
    week = TrendWeek(week=BEGAN, points=1.4, low=1.0, high=1.8, raw_points=2.0, raw_load_kg=8.0, n_asked=3)
    return TrendReview(
        changes=(ChangeRow(key=KEY, since_first=since_first, since_28_days=since_first),),
        trend=PainTrend(
            key=KEY,
            load_kg=8.0,
            per_week_log_odds=-0.1,
            low=-0.2,
            high=0.0,
            confidence_level=0.8,
            probability_falling=0.93,
            weeks=(week, week),
            begins_at_its_worst=True,
            n_sets=60,
            n_sessions=20,
        ),
        lines=(
            LineFacts(
                key=KEY, stretches=STRETCHES, work=None, same_set=same, quiet_then_kg=8.0, quiet_now_kg=None
            ),
        ),
        mornings=MorningsThenNow(
            stretches=STRETCHES, n_up_then=5, n_then=26, n_up_now=1, n_now=20, median_then=3.0, median_now=1.5
        ),
        tasks=(TaskThenNow(task="stairs", first_day=BEGAN, first=6, last_day=ENDED, last=2, n_ratings=4),),
        tests=(),
        rating_std_error=1.02,
        rating_std_error_source="published",
    )


def test_a_sure_change_is_called_one_and_an_unsure_one_is_not() -> None:
    assert change_sentence(change(), "kg") == (
        "Since 9 Jul the line rose, from 8 to 10 kg: +25 % (+10 to +40); probability that it is higher now: 97 %."
    )
    unsure = change_sentence(change(claim=None, up=0.9), "kg")
    assert unsure.endswith("90 %, too little to call it a change.")
    assert "rose" not in unsure
    assert " fell" in change_sentence(change(claim="down", up=0.01), "kg")


@pytest.mark.parametrize(
    ("now", "enough", "words"),
    [
        (0.9, True, "logged 1.9, now 0.9 (5 days then, 7 now); more than the 0.8 points"),
        (1.5, False, "within the 0.8 points that ratings differ by themselves"),
        (1.9, False, "(5 days then, 7 now); the same."),
    ],
)
def test_the_same_load_is_held_against_the_error_of_ratings(now: float, enough: bool, words: str) -> None:
    told = moved_sentences(reviewed(change(), then=1.9, now=now, enough=enough), KEY, "kg")
    assert words in told[0]


def work(**changed: object) -> WorkThenNow:
    usual = WorkThenNow(
        load_then_kg=10.0,
        load_now_kg=14.0,
        pain_then=1.2,
        pain_now=1.0,
        n_days_then=9,
        n_days_now=11,
        detectable=0.9,
        pain_moved=False,
    )
    return replace(usual, **changed)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, "Pain the same, load up 40 %:"),
        ({"load_now_kg": 7.5}, "Pain the same, load down 25 %:"),
        ({"load_now_kg": 10.3}, "Pain and load about the same:"),
        ({"pain_now": 3.2, "pain_moved": True}, "Pain up, load up 40 %:"),
        ({"pain_now": 0.1, "pain_moved": True, "load_now_kg": 10.0}, "Pain down at about the same load:"),
    ],
)
def test_pain_never_stands_without_the_load_it_was_at(changed: dict[str, object], words: str) -> None:
    told = work_sentence(work(**changed), STRETCHES, "kg")
    assert told.startswith(words)


def test_work_is_told_with_its_days_and_the_error_of_ratings() -> None:
    assert work_sentence(work(), STRETCHES, "kg") == (
        "Pain the same, load up 40 %: the day's heaviest load 10 kg, now 14 kg; its worst pain 1.2, now 1 of 10"
        " (9 days up to 5 Aug, 11 from 1 Sep on; ratings differ by 0.9 by themselves)."
    )


def test_facts_come_first_then_the_line_then_the_worst_week() -> None:
    told = moved_sentences(reviewed(change(), then=1.9, now=0.9, enough=True), KEY, "kg")
    assert told[0].startswith("The same load, 8 kg")
    assert told[1] == "Heaviest load quiet on two days: 8 kg up to 5 Aug, none from 1 Sep on."
    assert told[2].startswith("Since 9 Jul the line rose")
    assert len(told) == 4  # since 28 days ago is the same day and is not said twice
    assert "worst week" in told[3]


def test_a_withheld_change_says_why() -> None:
    told = moved_sentences(reviewed(YOUNG, then=1.9, now=0.9, enough=True), KEY, "kg")
    assert "The line itself: First done 9 days before the last session. From 28 days on it is." in told


def test_the_client_as_a_whole() -> None:
    told = client_sentences(reviewed(change(), then=1.9, now=0.9, enough=True), "kg")
    assert told[0] == (
        "Step-down, left at 8 kg, done as usual with nothing sore yet, as the model reads all sets: expected pain 1.4"
        " in the week of 9 Jul, 1.4 (1 to 1.8) now; probability that it is falling: 93 %."
    )
    assert told[1] == (
        "Mornings at least 2 above usual: 5 of 26 up to 5 Aug, 1 of 20 from 1 Sep on;"
        " median morning pain 3, then 1.5."
    )
    assert told[2] == "Stairs: difficulty 6 of 10 on 9 Jul, 2 on 28 Sep."
