"""CSV files with a line that names the separator, and with cells of any length."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.log import check_log, read_log
from tests.unit.log_texts import HEADINGS, ROW, SETS, problems_of, write_files

LONGEST_OF_CSV = 131_072
"""Longest cell Python's csv module reads unless it is told otherwise."""


@pytest.mark.parametrize(
    ("first", "separator"),
    [("sep=;\n", ";"), ("sep=,\r\n", ","), ("SEP=\t\n", "\t"), ('"sep=|"\n', "|"), ("\ufeffsep=;\n", ";")],
)
def test_a_first_line_that_names_the_separator_is_no_row(tmp_path: Path, first: str, separator: str) -> None:
    sets = SETS.replace(",", separator)
    log = read_log(write_files(tmp_path, {"sets.csv": first + sets}))
    assert log.sets["exercise"].tolist() == ["step-down"]
    assert log.sets["source_row"].tolist() == [2]


def test_rows_count_without_that_line_as_a_spreadsheet_shows_them(tmp_path: Path) -> None:
    wrong = "sep=;\n" + f"{HEADINGS}\n{ROW.replace('left', 'port')}\n".replace(",", ";")
    (found,) = problems_of(tmp_path, {"sets.csv": wrong})
    assert (found.row, found.column, found.value) == (2, "side", "port")


def test_the_headings_decide_where_that_line_is_wrong(tmp_path: Path) -> None:
    assert problems_of(tmp_path, {"sets.csv": f"sep=;\n{SETS}"}) == ()


def test_a_cell_of_any_length_is_refused_at_its_place(tmp_path: Path) -> None:
    note = "a" * (LONGEST_OF_CSV + 1)
    rows = f"{HEADINGS},note\n{ROW},{note}\n{ROW.replace(',1,', ',2,')},short\n"
    (found,) = problems_of(tmp_path, {"sets.csv": rows})
    assert (found.code, found.row, found.column) == ("text_too_long", 2, "note")
    assert str(len(note)) in found.what


def test_a_quote_never_closed_is_still_broken_quotes_in_a_long_file(tmp_path: Path) -> None:
    rows = f'{HEADINGS},note\n{ROW},"open\n' + f"{ROW},\n" * 5_000
    found = check_log(write_files(tmp_path, {"sets.csv": rows})).problems
    assert [one.code for one in found] == ["broken_quotes"]
    assert found[0].row == 2
