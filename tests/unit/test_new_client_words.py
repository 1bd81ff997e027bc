"""What the page on which a client begins asks and says."""

from __future__ import annotations

import datetime as dt

import pytest

from analysis.results_first_look import LeftOut
from analysis.schema import TABLES
from dashboard.wording.clients import left_out_sentence
from dashboard.wording.new_client import (
    HEART,
    IRRITABILITY_WORDS,
    SIDE_WORDS,
    left_words,
    restart_words,
    saved_heading,
    screening,
    sign_words,
    where_words,
    written_words,
)
from dashboard.wording.stop_signs import ANYWHERE, BY_REGION

DAY = dt.date(2026, 9, 28)
SITES = {column.name: column.choices for column in TABLES["sites"].columns}
CLIENTS = {column.name: column.choices for column in TABLES["clients"].columns}


def test_heart_and_signs_anywhere_are_always_asked_first() -> None:
    assert screening([]) == screening([None]) == (HEART, *ANYWHERE)


@pytest.mark.parametrize("region", [one for one in SITES["region"] if one != "other"])
def test_every_region_has_signs_of_its_own(region: str) -> None:
    asked = screening([region])
    assert asked[: 1 + len(ANYWHERE)] == (HEART, *ANYWHERE)
    own = set(asked[1 + len(ANYWHERE) :])
    assert own
    assert own <= {sign for signs in BY_REGION.values() for sign in signs}


def test_signs_of_several_regions_are_asked_once_each() -> None:
    both = screening(["knee", "ankle", None, "low back"])
    assert len(set(both)) == len(both)
    assert set(both) == {*screening(["knee"]), *screening(["ankle"]), *screening(["low back"])}


def test_the_choices_are_those_of_the_log() -> None:
    assert tuple(SIDE_WORDS) == SITES["side"]
    assert tuple(IRRITABILITY_WORDS) == CLIENTS["irritability"]


def test_what_was_written_and_where() -> None:
    contents = {"clients.csv": b"client\nM-14\n", "sets.csv": b"client,date\n", "sites.csv": b"a\nb\nc\n"}
    assert written_words("/logs/M-14", contents) == (
        "Written to /logs/M-14: clients.csv (1 row), sets.csv (headings only), sites.csv (2 rows)."
    )
    assert (
        where_words("/logs", is_other=False, why="")
        == "The log goes into a new folder of that code in /logs."
    )
    assert where_words("/own", is_other=True, why="Why.").startswith(
        "Why. The new client goes into your own folder"
    )
    assert restart_words("/my logs") == (
        "Next time start with --logs '/my logs', or choose that folder on the Log page."
    )


def test_headings_and_counts() -> None:
    assert saved_heading("M-14", ()) == "M-14 is on file"
    assert saved_heading("x" * 32, ("a sign",)).endswith(": see a clinician first")
    assert len(saved_heading("x" * 32, ("a sign",))) <= 60
    assert left_words(1) == "1 answer to mend above. Nothing was written."
    assert left_words(9) == "9 answers to mend above. Nothing was written."
    assert "From 28 Sep 2026 on every exercise is left out (limits.csv)" in " ".join(sign_words(DAY))


@pytest.mark.parametrize(
    ("pause", "words"),
    [
        (
            LeftOut(since=DAY, by="see a clinician first"),
            "28 Sep 2026: every exercise is left out from this day on: see a clinician first",
        ),
        (LeftOut(since=DAY, by=None), "28 Sep 2026: every exercise is left out from this day on"),
        (LeftOut(since=None, by="physiotherapist"), "Every exercise is left out: physiotherapist"),
    ],
)
def test_that_every_exercise_is_left_out(pause: LeftOut, words: str) -> None:
    assert left_out_sentence(pause) == words
