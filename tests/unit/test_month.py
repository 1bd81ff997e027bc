"""The month: counts by hand from a small made log, mornings against the usual, changes, sentences, the chart."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace

import pandas as pd
import pytest
import vl_convert

from analysis.errors import OptionError
from analysis.log import log_from_frames
from analysis.questions.month import Month, month_summary
from analysis.questions.mornings import mornings
from analysis.results_month import MedianOf
from analysis.tables import plain
from analysis.training_log import TrainingLog
from dashboard.charts.month_chart import month_chart
from dashboard.wording.month import event_label, month_evidence, month_heading, month_sentences
from tests.small_logs import small_log, squat

# date, load, lowering, pains of the sets; one exercise, left side works and is asked
SESSIONS = (
    ("2026-08-24", 10.0, 2, (0, 0)),
    ("2026-09-01", 10.0, 2, (0, 1)),
    ("2026-09-08", 12.0, 2, (0, 0)),
    ("2026-09-15", 14.0, 4, (1, 3, None)),
    ("2026-09-28", 12.0, 4, (0, 2)),
)
MORNINGS = (1, 1, 1, 1, 1, 4, 4, 1, 3, 1)


def made_log(sessions: tuple[tuple, ...] = SESSIONS) -> TrainingLog:
    rows = [
        {
            "client": "M-01",
            "date": pd.Timestamp(day),
            "set": order + 1,
            "exercise": "step-down",
            "side": "left",
            "load": load,
            "unit": "kg",
            "load_basis": "per hand",
            "reps": 8,
            "tempo": f"{lowering}-0-1-0",
            "pain_left": pain,
        }
        for day, load, lowering, pains in sessions
        for order, pain in enumerate(pains)
    ]
    sets = pd.DataFrame(rows).astype({"pain_left": "Int64"})
    days = pd.DataFrame(
        {
            "client": "M-01",
            "date": pd.date_range("2026-09-01", periods=len(MORNINGS)),
            "pain_morning": pd.array(MORNINGS, dtype="Int64"),
        }
    )
    events = pd.DataFrame({"client": ["M-01"], "date": [pd.Timestamp("2026-09-20")], "event": ["away"]})
    return log_from_frames(sets=sets, days=days, events=events)


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    return made_log()


@pytest.fixture(scope="module")
def month(log: TrainingLog) -> Month:
    return month_summary(log, "M-01")


def test_month_counts_are_those_of_the_log(month: Month) -> None:
    assert month.month == "2026-09"
    assert month.months == ("2026-08", "2026-09")
    assert (month.n_sessions, month.n_sets, month.n_asked, month.n_painful) == (4, 9, 8, 2)
    assert month.last_day == dt.date(2026, 9, 28)


def test_each_session_has_worst_median_and_load(month: Month) -> None:
    third = month.sessions[2]
    assert (third.day, third.worst, third.median, third.load_kg) == (dt.date(2026, 9, 15), 3, 2.0, 14.0)
    assert (third.n_asked, third.n_painful) == (2, 1)


def test_heaviest_load_quiet_on_two_days_is_compared_with_the_month_before() -> None:
    more = (
        ("2026-08-27", 10.0, 2, (0,)),
        ("2026-09-03", 10.0, 2, (1,)),
        ("2026-09-10", 12.0, 2, (0,)),
        ("2026-09-17", 14.0, 2, (0,)),
    )
    month = month_summary(made_log(tuple(sorted(SESSIONS + more))), "M-01")
    # September: 12 kg was quiet on the 8th and the 10th (the 28th hurt), 14 kg on the 17th only
    assert (month.quiet_twice_kg, month.quiet_twice_before_kg) == (12.0, 10.0)


def test_two_quiet_sets_of_one_day_are_one_day(month: Month) -> None:
    assert (month.quiet_twice_kg, month.quiet_twice_before_kg) == (None, None)


def test_mornings_are_up_two_above_the_median_of_the_days_before(log: TrainingLog) -> None:
    found = mornings(log, "M-01")
    assert [one.up for one in found] == [False] * 5 + [True, True, False, True, False]
    assert [one.day.day for one in found if one.flare_begins] == [6]
    assert found[3].usual is None  # three mornings before it are too few
    assert found[4].usual == 1.0


def test_changes_and_events_stand_in_order(month: Month) -> None:
    assert [(one.day.day, one.kind) for one in month.events] == [
        (15, "heaviest"),
        (15, "lowering"),
        (20, "logged"),
    ]
    assert [event_label(one, "kg") for one in month.events] == ["first at 14 kg", "lowering 2 to 4 s", "away"]


def test_earlier_month_knows_nothing_of_later_ones(log: TrainingLog) -> None:
    august = month_summary(log, "M-01", month="2026-08")
    assert (august.n_sessions, august.n_sets, august.quiet_twice_before_kg) == (1, 2, None)
    assert august.mornings == ()


def test_as_of_is_inclusive(log: TrainingLog) -> None:
    early = month_summary(log, "M-01", as_of=dt.date(2026, 9, 15))
    assert (early.n_sets, early.last_day) == (7, dt.date(2026, 9, 15))


def test_a_month_without_sets_is_said_to_be_empty(log: TrainingLog) -> None:
    empty = month_summary(log, "M-01", month="2026-05")
    assert (empty.n_sets, empty.key, empty.sessions) == (0, None, ())
    assert month_sentences(empty)[0] == "No set was asked about pain in this month."
    assert month_chart(empty, description="x") is None


@pytest.mark.parametrize("wrong", ["2026-13", "September", "2026-9", "2026-09-01"])
def test_month_must_be_written_as_a_month(log: TrainingLog, wrong: str) -> None:
    with pytest.raises(OptionError, match="YYYY-MM"):
        month_summary(log, "M-01", month=wrong)


def test_sentences_are_computed(month: Month) -> None:
    assert month_heading(month) == "September 2026: 4 sessions, 2 of 8 sets hurt"
    assert month_sentences(month) == (
        "Step-down, left: from 10 kg to 12 kg; too few days of it in August to compare with.",
        "2 of 8 sets hurt, at 12 to 14 kg, worst 3; in August none of 2, at 10 kg, all 0."
        " Heaviest load quiet on two days: none, none in August.",
        "Mornings: 3 of 6 at least 2 above usual, worst 4 on 6 Sep. A flare began on 6 Sep.",
    )


def test_without_mornings_nothing_is_made_up(month: Month) -> None:
    bare = replace(month, mornings=(), flares=())
    assert month_sentences(bare)[2].startswith("Mornings were not logged")


@pytest.mark.parametrize(("width", "label"), [(1120, "lowering 2 to 4 s"), (358, ">3<")])
def test_chart_labels_events_in_words_or_by_number(month: Month, width: int, label: str) -> None:
    chart = month_chart(month, description="September")
    assert chart is not None
    spec = chart.to_dict()
    spec["width"] = width
    spec["config"]["font"] = "Liberation Sans"
    assert label in vl_convert.vegalite_to_svg(spec)


def test_a_gap_is_ten_days_or_more_without_a_session(month: Month, log: TrainingLog) -> None:
    assert [(gap.first, gap.last, gap.n_days) for gap in month.gaps] == [
        (dt.date(2026, 9, 16), dt.date(2026, 9, 27), 12)
    ]
    assert "No session for 12 days, 16 Sep to 27 Sep, away." in month_evidence(month)
    assert month_summary(log, "M-01", month="2026-08").gaps == ()


def test_a_gap_that_lasts_is_counted_to_the_last_day(log: TrainingLog) -> None:
    still = month_summary(log, "M-01", as_of=dt.date(2026, 9, 26)).gaps
    assert [(gap.first, gap.n_days) for gap in still] == [(dt.date(2026, 9, 16), 11)]


def test_share_of_zeros_is_of_the_answers_given(month: Month) -> None:
    assert month.share_of_zeros == pytest.approx(4 / 8)
    # the day's heaviest asked or not: August 10, September 10, 12, 14, 12, mean 12
    assert "50 % of the scores are 0, at loads 20 % above those of August." in month_evidence(month)


def test_zeros_are_not_told_without_the_loads_they_were_at(log: TrainingLog) -> None:
    assert "scores are 0" not in month_evidence(month_summary(log, "M-01", month="2026-08"))


def test_a_month_can_be_written_as_json(month: Month) -> None:
    told = json.loads(json.dumps(plain(month)))
    assert told["first_day"] == "2026-09-01"
    assert told["sessions"][2]["worst"] == 3
    assert told["key"] == {"exercise": "step-down", "variant": "standard", "side": "left", "works": "left"}


def test_the_order_of_rows_does_not_matter() -> None:
    rows = [
        squat(
            2 * day,
            number,
            10.0,
            day % 3,
            rir=(day + number) % 4,
            rpe=8 if number == 2 else None,
            burn=day % 5,
        )
        for day in range(20)
        for number in (1, 2)
    ]
    day = dt.date(2026, 7, 5)
    forward, back = (month_summary(small_log(some), "T-01", as_of=day) for some in (rows, rows[::-1]))
    assert forward == back
    assert forward.beside.line is not None
    # 1, 3 and 5 July, each with two sets: days 15, 16 and 17 of the loop
    assert forward.beside.line.rir == MedianOf(median=1.5, n_logged=6)  # 0 1, 1 2, 2 3
