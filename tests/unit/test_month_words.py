"""The month in words: load and pain in one breath, the tables beside each other, cautions only where they bite."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.questions.month import Month, month_summary
from analysis.results import Withheld
from analysis.results_month import AskedSets, CompensationCounts, FeltCounts, LoadAndPain, LoadRange
from dashboard.wording.markdown_table import markdown_table
from dashboard.wording.month import hurt_words, month_evidence, month_sentences, verdict
from dashboard.wording.month_beside import (
    compensation_words,
    each_line_rows,
    everything_rows,
    felt_words,
    line_rows,
    month_cautions,
    month_columns,
    nothing_before,
)
from dashboard.wording.month_method import month_method
from tests.small_logs import small_log, squat

# June: 10 kg on four days, one of eight sets hurts. July: 14 kg on four days, one of eight hurts.
LOADS_AND_PAINS = (
    (0, 10.0),
    (5, 10.0),
    (10, 10.0),
    (15, 10.0),
    (31, 14.0),
    (36, 14.0),
    (41, 14.0),
    (46, 14.0),
)
HURT_ON = (5, 36)
EVEN = LoadAndPain(
    load_before_kg=10.0,
    load_now_kg=14.0,
    load_change=0.4,
    load_moved="up",
    pain_before=1.0,
    pain_now=1.1,
    n_days_before=4,
    n_days_now=4,
    detectable=1.4,
    pain_moved="same",
)


def made(**more: object) -> Month:
    rows = [
        squat(day, number, load, 3 if day in HURT_ON and number == 2 else 0, **more)
        for day, load in LOADS_AND_PAINS
        for number in (1, 2)
    ]
    return month_summary(small_log(rows), "T-01")


@pytest.fixture(scope="module")
def july() -> Month:
    return made()


def moved(july: Month, **changes: object) -> Month:
    """The month with another comparison of load and pain."""
    return replace(july, beside=replace(july.beside, load_and_pain=replace(EVEN, **changes)))


def test_the_same_pain_at_more_load_reads_as_progress(july: Month) -> None:
    progress, pain, mornings = month_sentences(july)
    assert progress == (
        "Step-down, left: more load at the same pain. On average the day's heaviest load was 10 kg in June, now"
        " 14 kg (up 40 %), the day's worst pain 0.8, now 0.8 of 10."
    )
    assert pain == (
        "1 of 8 sets hurt, at 14 kg, worst 3; in June 1 of 8, at 10 kg, worst 3."
        " Heaviest load quiet on two days: 14 kg, 10 kg in June."
    )
    assert mornings.startswith("Mornings were not logged")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"load_moved": "up", "pain_now": 3.0, "pain_moved": "up"}, "more load and more pain"),
        ({"load_moved": "up", "pain_now": 1.6}, "more load, pain not clearly changed"),
        (
            {"load_moved": "same", "pain_before": 3.0, "pain_moved": "down"},
            "less pain at about the same load",
        ),
        ({"load_moved": "down"}, "less load at the same pain"),
        ({"load_moved": None, "pain_now": 1.6}, "pain not clearly changed"),
        ({"load_moved": None}, "the same pain"),
    ],
)
def test_verdict_names_load_and_pain_together(changes: dict[str, object], expected: str) -> None:
    assert verdict(replace(EVEN, **changes)) == expected  # type: ignore[arg-type]


def test_a_change_of_pain_stands_beside_the_error_of_ratings(july: Month) -> None:
    told = month_sentences(moved(july, pain_now=1.6))[0]
    assert told.endswith("the day's worst pain 1, now 1.6 of 10; ratings differ by 1.4 by themselves.")


def test_quiet_sets_never_stand_without_their_load(july: Month) -> None:
    (quiet,) = [row for row in line_rows(july) if row[0] == "Quiet"]
    assert quiet == ("Quiet", "7 of 8, at 14 kg", "7 of 8, at 10 kg")
    assert not [row for row in everything_rows(july) if row[0] == "Quiet"]
    assert "at loads 40 % above those of June" in month_evidence(july)


def test_without_a_load_no_row_speaks_of_one() -> None:
    rows = [squat(day, 1, 0.0, 0, load_basis="band", band="green") | {"load": None} for day in (0, 31)]
    told = {row[0]: row[1:] for row in line_rows(month_summary(small_log(rows), "T-01"))}
    assert told["Quiet"] == ("1 of 1, no load", "1 of 1, no load")
    assert not [label for label in told if "oad" in label]


def test_none_hurt_is_told_with_the_loads_of_all() -> None:
    loads = LoadRange(low_kg=10.0, median_kg=12.0, high_kg=14.0)
    quiet = AskedSets(n_asked=4, n_painful=0, worst=1, loads=loads, painful_loads=None, quiet_loads=loads)
    assert hurt_words(quiet, "kg") == "none of 4 sets hurt, at 10 to 14 kg, worst 1"
    assert hurt_words(quiet, "kg", short=True) == "none of 4, at 10 to 14 kg, worst 1"


def test_blanks_are_told_as_not_logged(july: Month) -> None:
    assert felt_words(FeltCounts(target=34, elsewhere=6, not_logged=100)) == (
        "target 34 of 40, elsewhere 6, not logged 100"
    )
    assert felt_words(FeltCounts(target=0, elsewhere=0, not_logged=9)) == "not logged"
    assert compensation_words(CompensationCounts(none=3, slight=1, clear=0, not_logged=0)) == (
        "none 3, slight 1, clear 0"
    )
    assert compensation_words(CompensationCounts(none=0, slight=0, clear=0, not_logged=9)) == "not logged"
    rows = {row[0]: row[1:] for row in line_rows(july)}
    for label in ("Burn in the muscle, median", "Reps in reserve, median", "Work felt in", "Compensation"):
        assert rows[label] == ("not logged", "not logged")
    assert {row[0]: row[1:] for row in everything_rows(july)}["Mornings"] == ("not logged", "not logged")


def test_each_scale_of_effort_has_a_row_where_it_was_used() -> None:
    labels = {row[0]: row[1] for row in line_rows(made(rpe=8))}
    assert labels["RPE, 1 to 10, median"] == "8 (8 of 8 sets)"
    assert "Reps in reserve, median" not in labels


def test_days_covered_stand_over_the_numbers(july: Month) -> None:
    beside = july.beside
    assert beside.line is not None
    assert month_columns(july, beside.line, beside.line_before) == ("", "July, 1 to 17", "June, 1 to 30")


def test_pain_at_the_load_of_both_months_is_a_row() -> None:
    rows = [squat(day, 1, 10.0, pain) for day, pain in ((0, 2), (5, 3), (31, 1), (36, 0))]
    month = month_summary(small_log(rows), "T-01")
    assert ("Mean pain at 10 kg", "0.5 (2 days)", "2.5 (2 days)") in line_rows(month)


def test_a_month_that_stands_alone_says_so(july: Month) -> None:
    june = month_summary(small_log([squat(0, 1, 10.0, 0)]), "T-01")
    assert nothing_before(june) == "Nothing was logged in May 2026, so this month stands alone."
    assert all(len(row) == 2 for row in (*line_rows(june), *everything_rows(june)))
    assert nothing_before(july) is None
    other = replace(july, beside=replace(july.beside, line_before=None))
    assert nothing_before(other) == "Step-down, left was not done in June."


def test_no_caution_where_none_bites(july: Month) -> None:
    assert month_cautions(july) == ()


def test_a_fall_after_the_worst_month_and_at_less_load_is_no_progress(july: Month) -> None:
    fallen = moved(july, load_moved="down", pain_before=3.0, pain_moved="down")
    fallen = replace(fallen, beside=replace(fallen.beside, before_was_worst=True))
    assert month_cautions(fallen) == (
        "June was the line's worst month so far; after such a month part of a fall comes by itself.",
        "The load was lower as well: less pain at less load is not yet progress.",
    )


def test_several_changes_are_a_caution_only_where_pain_may_have_followed(july: Month) -> None:
    several = ("load", "lowering", "range")
    for changes, expected in (({}, 0), ({"pain_now": 3.0, "pain_moved": "up"}, 1)):
        month = moved(july, **changes)
        month = replace(month, beside=replace(month.beside, changed_together=several))
        assert len(month_cautions(month)) == expected
    assert month_cautions(month)[0].startswith("Load, lowering and range changed in the same month")


def test_a_comparison_that_is_withheld_is_a_sentence(july: Month) -> None:
    held = Withheld(reason="x", remedy="y")
    few = replace(july, beside=replace(july.beside, load_and_pain=held, loads=held))
    assert month_sentences(few)[0] == (
        "Step-down, left: 14 kg throughout; too few days of it in June to compare with."
    )
    assert "scores are 0" not in month_evidence(few)


def test_every_line_is_listed_with_both_months(july: Month) -> None:
    assert each_line_rows(july) == (
        ("Step-down, left", "1 of 8, at 14 kg, worst 3", "1 of 8, at 10 kg, worst 3"),
    )


def test_the_method_names_the_error_of_ratings_and_its_source(july: Month) -> None:
    told = " ".join(month_method(july))
    assert "the error is 1.02 points (Childs 2005, low back pain, one rating)" in told
    assert "within 5 % count as the same" in told


def test_cells_of_a_table_are_text_and_one_line() -> None:
    table = markdown_table(("", "a|b"), [("![x](y)", "one\ntwo")])
    assert table.splitlines() == [
        "|  | a&#124;b |",
        "| --- | --- |",
        "| &#33;&#91;x&#93;&#40;y&#41; | one two |",
    ]
