"""Easier and harder on the screen: every reason in words, what is due, tables, the chart at both widths."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
import vl_convert

from analysis.questions.harder import harder
from analysis.questions.harder_settings import HarderSettings
from analysis.results import Withheld
from analysis.results_harder import Criterion, HarderRow, HarderStep
from dashboard.charts.ladder_chart import ladder_chart
from dashboard.wording.harder import (
    criteria_table,
    due_sentences,
    harder_evidence,
    harder_heading,
    method_words,
    not_yet_sentences,
    reason_words,
    trial_table,
    withheld_sentences,
)
from tests.small_logs import small_log, squat
from tests.unit.test_harder import GOOD, LINE, ORDER, changed, logged_mornings, trial, worked

DAY = dt.date(2026, 6, 4)


def rows(*, due: bool = True, trials: int = 0) -> tuple[HarderRow, ...]:
    sets = [*(worked() if due else changed(0, rir=1)), *(trial(5 + number, 0) for number in range(trials))]
    return harder(small_log(sets, variants=ORDER, days=logged_mornings()), "T-01", lines=[LINE])


def test_due_is_said_with_its_dose_and_never_more_than_that() -> None:
    assert harder_heading(rows()) == "1 harder variant is due for a trial"
    assert due_sentences(rows(), "kg") == (
        "Step-down, left: heel on wedge is due for a trial: one set, lightest used so far 12 kg.",
    )
    assert due_sentences(rows(trials=1), "kg") == (
        "Step-down, left: heel on wedge is due for a second trial; the first was quiet on 6 Jun.",
    )
    assert "whether it becomes the work is yours" in due_sentences(rows(trials=2), "kg")[0]


def test_not_yet_has_its_first_reason() -> None:
    assert harder_heading(rows(due=False)) == "No harder variant is due for a trial yet"
    assert not_yet_sentences(rows(due=False), "kg") == (
        "Step-down, left: heel on wedge not yet: 1 in reserve on 1 Jun, 2 are needed.",
    )


def test_a_harder_variant_worked_with_before_is_not_hidden() -> None:
    before = squat(-9, 1, 8.0, 0, variant="heel on wedge", **GOOD)
    sets = [before, squat(-6, 1, 12.0, 0, **GOOD), *changed(0, rir=1)]
    log = small_log(sets, variants=ORDER, days=logged_mornings())
    assert not_yet_sentences(harder(log, "T-01", lines=[LINE]), "kg")[0].endswith(
        "2 are needed; it was last worked with on 23 May."
    )


def test_headings_fit_the_page() -> None:
    assert harder_heading(rows() * 12) == "12 harder variants are due for a trial"
    assert len(harder_heading(rows() * 999)) <= 60


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (Criterion(name="limits", state="not met"), "the exercise is to be left out (limits.csv)"),
        (
            Criterion(name="reps", state="not met", value=1, bound=2),
            "target reps at the working load in 1 of 2 sessions running",
        ),
        (
            Criterion(name="reps", state="not logged", day=DAY),
            "whether the target was reached is not logged for 4 Jun",
        ),
        (
            Criterion(name="reserve", state="not logged", bound=2, day=DAY),
            "reps in reserve not logged for 4 Jun",
        ),
        (
            Criterion(name="pain during", state="not met", value=4, bound=2, day=DAY),
            "pain 4 on 4 Jun, 2 is the limit",
        ),
        (
            Criterion(name="pain during", state="not met", value=1, bound=2, day=DAY, detail="catching"),
            "catching on 4 Jun",
        ),
        (
            Criterion(name="pain during", state="not logged", bound=2, day=DAY),
            "pain not asked, or a painkiller taken, on 4 Jun",
        ),
        (
            Criterion(name="next morning", state="not met", value=4, bound=1.0, day=DAY, detail="usual"),
            "morning pain 4 on 4 Jun, 1 is usual",
        ),
        (
            Criterion(name="next morning", state="not logged", day=DAY),
            "the morning after 4 Jun is not logged or its usual not known",
        ),
        (
            Criterion(name="compensation", state="not met", day=DAY, detail="clear"),
            "clear compensation on 4 Jun",
        ),
        (
            Criterion(name="pain line", state="not met", value=11.04, bound=12.0),
            "the pain line, about 11.0 kg, is not above the working load, 12 kg",
        ),
        (
            Criterion(name="pain line", state="not met", value=0.31, bound=0.2, detail="chance"),
            "about 3 of 10 sets would hurt, 2 are the limit",
        ),
        (
            Criterion(name="pain line", state="not logged", detail="Only 3 sets with a pain answer so far."),
            "the pain line is not known: only 3 sets with a pain answer so far",
        ),
        (
            Criterion(name="last trial", state="not met", day=DAY, detail="morning up"),
            "the last trial left the next morning up on 4 Jun",
        ),
    ],
)
def test_every_reason_in_words(one: Criterion, words: str) -> None:
    assert reason_words(one, "kg") == words


def test_pounds() -> None:
    one = Criterion(name="pain line", state="not met", value=4.5359237, bound=9.0718474)
    assert reason_words(one, "lb") == "the pain line, about 10.0 lb, is not above the working load, 20 lb"


def test_evidence_names_the_limits_that_were_used() -> None:
    assert "pain during at most 2, next mornings usual, no" in harder_evidence(HarderSettings(), None, None)
    assert "at most 4, next mornings usual and at most 3, no" in harder_evidence(HarderSettings(), 4, 3)


def test_nothing_here_clears_anybody() -> None:
    every = (*rows(), *rows(due=False), *rows(trials=2))
    said = [
        *due_sentences(every, "kg"),
        *not_yet_sentences(every, "kg"),
        *method_words(HarderSettings()),
        harder_evidence(HarderSettings(), None, None),
        harder_heading(every),
    ]
    assert not [text for text in said if "safe" in text.lower() or "ready" in text.lower()]


def test_tables_hold_every_criterion_and_trial() -> None:
    (criteria,) = criteria_table(rows(due=False), "kg")
    assert (criteria["enough since a failed trial"], criteria["pain line"]) == ("none yet", "met")
    assert (criteria["in reserve"], criteria["target reps"], criteria["now"]) == (
        "not met",
        "met",
        "standard",
    )
    assert trial_table(rows(trials=1), "kg") == [
        {
            "date": "6 Jun 2026",
            "exercise and side": "Step-down, left",
            "variant": "heel on wedge",
            "dose": "8 reps, 4 kg",
            "pain": "0",
            "next morning": "1",
            "outcome": "quiet, usual morning",
        }
    ]


def test_reasons_without_a_next_variant_are_said_once() -> None:
    answer = Withheld(reason="No order.", remedy="List them.")
    three = [
        replace(rows()[0], exercise=name, works=side, answer=answer)
        for name, side in (("bridge", "left"), ("bridge", "right"), ("squat", "both"))
    ]
    assert withheld_sentences(three) == ("Bridge; squat: No order. List them.",)


@pytest.mark.parametrize(("width", "n_shown"), [(358, 2), (1120, 3)])
def test_the_ladder_shows_every_variant_or_on_a_phone_now_and_next(width: int, n_shown: int) -> None:
    chart = ladder_chart(rows(), unit="kg", description="Ladder")
    assert chart is not None
    spec = chart.to_dict()
    spec["width"] = width
    spec["config"]["font"] = "Liberation Sans"
    picture = vl_convert.vegalite_to_svg(spec)
    assert sum(f">{name['variant']}<" in picture for name in ORDER) == n_shown
    assert ">0 of 4 hurt, up to 12 kg<" in picture
    assert "stroke-dasharray" in picture  # due for a trial


def test_the_hardest_variant_on_file_is_framed_as_well() -> None:
    (row,) = harder(small_log(worked(), variants=ORDER[:2]), "T-01", lines=[])
    assert isinstance(row.answer, Withheld)
    chart = ladder_chart([row], unit="kg", description="x")
    assert chart is not None
    solid = [one for one in chart.to_dict()["layer"] if one["mark"].get("strokeDash") == [1, 0]]
    assert len(solid) == 2  # one for each width
    for layer in solid:
        assert [box["part"] for box in layer["data"]["values"]] == ["now"]


def test_without_an_order_there_is_no_chart() -> None:
    (row,) = rows()
    assert ladder_chart([replace(row, rungs=())], unit="kg", description="x") is None
    assert isinstance(row.answer, HarderStep)
