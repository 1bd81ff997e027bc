"""Sentences and numbers of the screens: every status of a line, decimals, equipment, escaping."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from analysis.results import ConditionChance, LineKey, PainLine, Setting
from dashboard.wording.clients import client_sentence, leading_line
from dashboard.wording.escape import esc
from dashboard.wording.line_names import line_name, setting_words
from dashboard.wording.line_table import line_table
from dashboard.wording.numbers import (
    between_words,
    counted_as,
    equipment_above,
    equipment_below,
    estimate_words,
    half_up,
    load_words,
    of_ten,
    of_ten_range,
    ordinal,
)
from dashboard.wording.pain_line import (
    HEADING_LENGTH,
    answer_words,
    chance_sentences,
    evidence_words,
    pain_line_heading,
    seen_around,
    stale_words,
)
from tests.unit.made_lines import AS_OF, SEEN, line, tried, withheld

QUIET = tuple((load, n, 0) for load, n, _ in SEEN)


def test_reached_heading_has_number_and_interval() -> None:
    assert pain_line_heading(line()) == "Step-down, left: 2 of 10 hurt at about 14 kg (13 to 16)"


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (
            line("above_tried", seen=tried(QUIET), load_kg=None, low_kg=15.7, high_kg=None),
            "Step-down, left: quiet up to 14 kg in each hand",
        ),
        (
            line("above_tried", load_kg=None, low_kg=16.0, high_kg=None),
            "Step-down, left: under 2 of 10 hurt up to 16 kg",
        ),
        (
            line("below_tried", load_kg=None, low_kg=None, high_kg=7.0),
            "Step-down, left: hurts at all tried, from 8 kg",
        ),
        (
            line("lower_only", load_kg=None, low_kg=11.9, high_kg=None),
            "Step-down, left: line above 10 kg, upper end not known",
        ),
        (withheld(), "Step-down, left: cannot say yet"),
    ],
)
def test_every_open_answer_has_its_heading(row: object, expected: str) -> None:
    assert pain_line_heading(row) == expected  # type: ignore[arg-type]


def test_no_load_speaks_of_the_condition() -> None:
    worst = ConditionChance(label="held 30 s", chance=0.31, low=0.12, high=0.44, n_asked=8, n_painful=2)
    mild = ConditionChance(label="held 20 s", chance=0.1, low=0.02, high=0.2, n_asked=8, n_painful=0)
    row = line("no_load", load_kg=None, low_kg=None, high_kg=None, conditions=(mild, worst))
    assert pain_line_heading(row) == "Step-down, left: held 30 s, 3 of 10 would hurt (1 to 5)"


@pytest.mark.parametrize(
    "exercise", ["step-down", "step-down over the kerb with the free foot hanging", "x" * 80]
)
@pytest.mark.parametrize("load", [2.25, 14.2, 117.25])
def test_heading_never_exceeds_its_length_and_keeps_the_number(exercise: str, load: float) -> None:
    key = LineKey(exercise=exercise, variant="heel on wedge", side="left", works="right")
    heading = pain_line_heading(line(key=key, load_kg=load, low_kg=load * 0.9, high_kg=load * 1.1))
    assert len(heading) <= HEADING_LENGTH
    assert estimate_words(load, load * 0.9, load * 1.1, "kg") in heading


def test_evidence_names_the_loads_around_the_line_and_the_equipment() -> None:
    assert evidence_words(line(load_kg=13.1)) == (
        "Quiet 8 of 8 at 12 kg, hurt 2 of 3 at 14 kg, counting all weeks and ways of doing it; the line is for now."
        " The line falls between the 12s and the 14s."
        " For 8 reps, lowering 3 s, 90 % of full range, 6th set of the session."
        " 28 sets asked in 14 sessions, 4 hurt at 2 or more."
    )


def test_withheld_says_why_and_what_would_tell() -> None:
    text = evidence_words(withheld())
    assert "Two sets at a second load would tell." in text
    assert "0 of 2 hurt at 10 kg" in text


def test_without_a_line_the_heaviest_quiet_load_is_told() -> None:
    assert seen_around(tried(QUIET), None) == "Quiet 2 of 2 at 16 kg"
    assert seen_around(tried(((10.0, 3, 1), (12.0, 2, 2))), None) == "Hurt 1 of 3 at 10 kg"


def test_chances_are_counts_of_ten() -> None:
    assert chance_sentences(line().answer) == (  # type: ignore[arg-type]
        "At the last load, 12 kg: of 10 sets like this one, about 1 would hurt (0 to 2).",
        "One step up, 14 kg: of 10 sets like this one, about 2 would hurt (1 to 4).",
    )


def test_small_and_large_chances_are_not_called_none_or_all() -> None:
    assert of_ten(0.03) == "fewer than 1"
    assert of_ten(0.97) == "nearly all"
    assert of_ten_range(0.001, 0.02) == "0 to 1"


def test_decimals_follow_the_interval() -> None:
    assert estimate_words(14.26, 13.1, 15.8, "kg") == "14 kg (13 to 16)"
    assert estimate_words(14.26, 13.9, 14.6, "kg") == "14.3 kg (13.9 to 14.6)"
    assert estimate_words(14.26, 14.22, 14.31, "kg") == "14.26 kg (14.22 to 14.31)"
    assert estimate_words(14.26, 13.1, None, "kg") == "14.3 kg (13.1 to open)"


def test_pounds_are_spoken_in_pounds() -> None:
    assert load_words(35 * 0.45359237, "lb") == "35 lb"
    assert estimate_words(20.0, 18.0, 23.0, "lb") == "44 lb (40 to 51)"


def test_half_is_rounded_up() -> None:
    assert [half_up(value) for value in (0.5, 1.5, 2.5, -0.4)] == ["1", "2", "3", "0"]


def test_equipment_is_rounded_down_from_the_loads_tried() -> None:
    assert equipment_below(13.9, [7.5, 10.0, 12.5], 2.5) == 12.5
    assert equipment_below(15.1, [7.5, 10.0, 12.5], 2.5) == 15.0
    assert equipment_below(13.9, [8.0, 12.0], None) == 12.0
    assert equipment_above(13.9, [8.0, 12.0], None) is None
    assert equipment_above(13.9, [8.0, 12.0], 4.0) == 16.0


def test_dumbbells_are_spoken_of_as_the_twelves() -> None:
    assert between_words(13.0, [10, 12, 14], 2.0, "kg", "per hand") == "between the 12s and the 14s"
    assert between_words(13.0, [10, 12, 14], 2.0, "kg", "stack") == "between 12 and 14 kg"
    assert between_words(12.0, [10, 12, 14], 2.0, "kg", "per hand") == "at the 12s"
    assert between_words(15.0, [10, 12, 14], None, "kg", "per hand") is None


def test_names_tell_which_side_works_when_it_is_another() -> None:
    rear = LineKey(exercise="split squat", variant="rear foot raised", side="left", works="right")
    assert line_name(rear) == "Split squat, rear foot raised, left, right works"


def test_setting_is_told_in_full() -> None:
    at = Setting(hold_s=30.0, pause_s=2.0, range_stop="box 45 cm", place=11.0, prepared=False, provoked=True)
    assert setting_words(at) == (
        "a hold of 30 s, pauses 2 s, down to box 45 cm, 11th set of the session, without preparation,"
        " already sore that day"
    )


def test_client_sentence_is_dated_and_names_the_line_that_hurts_most() -> None:
    quiet = line("above_tried", seen=tried(QUIET), load_kg=None, low_kg=16.0, high_kg=None)
    rows = (quiet, line(), line(chance=0.5), withheld())
    assert leading_line(rows) is rows[1]
    assert client_sentence(AS_OF, rows) == (
        "28 Sep 2026: step-down, left: 2 of 10 sets would hurt at about 14 kg in each hand (13 to 16)"
    )


def test_client_sentence_without_an_answer_says_what_would_tell() -> None:
    assert client_sentence(dt.date(2026, 1, 7), (withheld(),)) == (
        "7 Jan 2026: step-down, left: cannot say yet; two sets at a second load would tell"
    )
    assert client_sentence(dt.date(2026, 1, 7), ()) == "7 Jan 2026: no set was asked about pain yet"


def test_table_has_one_row_a_line() -> None:
    table = line_table((line(), withheld()))
    assert table[0]["answer"] == "2 of 10 hurt at about 14 kg (13 to 16)"
    assert table[0]["hurt"] == "4 of 28"
    assert table[1]["answer"] == "cannot say yet"


@pytest.mark.parametrize(
    "evil", ["![x](https://evil.example/p.png)", ":material/delete:", "# H", "<b>", "a_b", "$x$"]
)
def test_escaped_text_keeps_no_sign_that_markdown_reads(evil: str) -> None:
    assert not set(esc(evil)) - set("&#;") & set("![]()/:.<>$*_`\\-")
    assert "#" not in esc(evil).replace("&#", "")


def test_ordinals() -> None:
    assert [ordinal(number) for number in (1, 2, 3, 4, 11, 12, 13, 21, 112)] == [
        "1st",
        "2nd",
        "3rd",
        "4th",
        "11th",
        "12th",
        "13th",
        "21st",
        "112th",
    ]


def test_a_last_set_done_otherwise_is_said_and_its_chance_is_that_of_the_usual() -> None:
    plain = line(load_kg=13.1)
    assert isinstance(plain.answer, PainLine)
    slower = Setting(lowering_s=6, rom_pct=plain.answer.at.rom_pct)
    tried = replace(plain.answer.tried, last_setting=slower)
    answer = replace(plain.answer, tried=tried)
    row = replace(plain, tried=tried, answer=answer)
    assert "The last set was done with lowering 6 s: other than the usual" in evidence_words(row)
    assert all("of 10 sets done as usual" in sentence for sentence in chance_sentences(answer))
    as_usual = replace(answer, tried=replace(tried, last_setting=answer.at))
    assert "other than the usual" not in evidence_words(replace(row, tried=as_usual.tried, answer=as_usual))


def test_a_load_says_what_it_counts() -> None:
    assert [counted_as(basis) for basis in ("total", "per hand", "bodyweight", "stack", "band")] == [
        "",
        " in each hand",
        " with bodyweight",
        " on the stack",
        "",
    ]
    lifted = line(seen=tried(basis="bodyweight"), load_kg=76.8, low_kg=72.0, high_kg=80.4)
    assert "at about 77 kg with bodyweight" in answer_words(lifted)[0]


def test_a_line_not_done_for_weeks_is_said_to_be_old() -> None:
    seen = tried()
    assert stale_words(seen, AS_OF + dt.timedelta(days=21)) == ""
    assert stale_words(seen, AS_OF + dt.timedelta(days=56)) == (
        "Last done on 28 Sep 2026, 8 weeks before: it may have moved since."
    )


def test_a_line_within_a_tenth_of_a_step_lies_at_the_load() -> None:
    loads = (8.0, 10.0, 12.0)
    assert between_words(9.96, loads, 2.0, "kg", "per hand") == "at the 10s"
    assert between_words(10.1, loads, 2.0, "kg", "total") == "at 10 kg"
    assert between_words(9.7, loads, 2.0, "kg", "per hand") == "between the 8s and the 10s"
