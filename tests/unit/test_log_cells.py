"""What a single cell is read as, and how it is refused (layer: tests)."""

from __future__ import annotations

import datetime as dt

import pytest

from analysis.cells import Flaw, date_order, parse_cell
from analysis.schema import column

READ = [
    ("sets", "client", " K-31 ", "K-31"),
    ("sets", "superset", "a", "A"),
    ("sets", "exercise", "  step-down\n  with  lantern ", "step-down with lantern"),
    ("sets", "exercise", "cafe\u0301 steps", "caf\u00e9 steps"),
    ("sets", "note", "windy\r\nand wet", "windy\nand wet"),
    ("sets", "load", "12.5", 12.5),
    ("sets", "load", "12,5", 12.5),
    ("sets", "load", ".5", 0.5),
    ("sets", "load", "-0", 0.0),
    ("sets", "load", "\N{MINUS SIGN}20", -20.0),
    ("sets", "load", "1000", 1000.0),
    ("sets", "reps", "8.0", 8),
    ("sets", "pain_left", "0", 0),
    ("sets", "pain_left", "10", 10),
    ("sets", "pain_left", "", None),
    ("sets", "pain_left", "  ", None),
    ("sets", "test_set", "Yes", True),
    ("sets", "test_set", "n", False),
    ("sets", "load_basis", "Per_Hand", "per hand"),
    ("sets", "kind", "warm up", "warm-up"),
    ("sets", "tempo", "4-1-1-0", "4-1-1-0"),
    ("sets", "tempo", "4/1/1/0", "4-1-1-0"),
    ("sets", "tempo", "4110", "4-1-1-0"),
    ("sets", "tempo", "31x0", "3-1-X-0"),
    ("sets", "tempo", "10-0-2-0", "10-0-2-0"),
    ("sets", "date", "2026-03-02", dt.date(2026, 3, 2)),
    ("sets", "date", "2026-03-02 00:00:00", dt.date(2026, 3, 2)),
    ("sets", "date", "25/03/2026", dt.date(2026, 3, 25)),
    ("sets", "date", "2.3.2026", dt.date(2026, 3, 2)),
    ("sets", "date", "04/04/2026", dt.date(2026, 4, 4)),
]

REFUSED = [
    ("sets", "client", "K 31", "not_a_code", "'K 31'", "without spaces"),
    ("sets", "client", "K" * 33, "not_a_code", "KKK", "1 to 32"),
    ("sets", "superset", "A1", "not_a_code", "'A1'", "one letter"),
    ("sets", "exercise", "x" * 81, "text_too_long", "81 characters", "80 or fewer"),
    ("sets", "note", "x" * 501, "text_too_long", "501 characters", "500 or fewer"),
    ("sets", "variant", "low\x07 box", "control_character", "U+0007", "Delete"),
    ("sets", "load", "1O", "not_a_number", "'1O'", "digits only"),
    ("sets", "load", "12 kg", "not_a_number", "'12 kg'", "without its unit"),
    ("sets", "load", "1,234.5", "not_a_number", "'1,234.5'", "thousands"),
    ("sets", "load", "1e3", "not_a_number", "'1e3'", "digits only"),
    ("sets", "load", "nan", "not_a_number", "'nan'", "leave the cell blank"),
    ("sets", "load", "inf", "not_a_number", "'inf'", "leave the cell blank"),
    ("sets", "load", "\u0661\u0662", "not_a_number", "\u0661\u0662", "digits only"),
    ("sets", "load", "1000.1", "out_of_range", "1000.1 is outside", "from -1000 to 1000"),
    ("sets", "reps", "8-10", "not_a_number", "'8-10'", "not a range"),
    ("sets", "reps", "8.5", "not_whole", "8.5", "whole number"),
    ("sets", "pain_left", "14", "out_of_range", "14 is outside 0 to 10", "0-10 scale"),
    ("sets", "pain_left", "-1", "out_of_range", "-1 is outside 0 to 10", "0-10 scale"),
    ("sets", "pain_left", "3.5", "not_whole", "3.5", "whole number"),
    ("sets", "pain_left", "2-3", "not_a_number", "'2-3'", "not a range"),
    ("sets", "rpe", "0", "out_of_range", "outside 1 to 10", "1 to 10"),
    ("sets", "set", "0", "out_of_range", "outside 1 to 500", "1 to 500"),
    ("sets", "rom_pct", "151", "out_of_range", "outside 0 to 150", "0 to 150 %"),
    ("clients", "pain_level", "6", "out_of_range", "outside 1 to 5", "from 1 to 5"),
    ("sets", "test_set", "maybe", "not_yes_no", "'maybe'", "yes or no"),
    ("sets", "side", "lefft", "not_a_choice", "'lefft'", "Did you mean left?"),
    ("sites", "region", "kneecap", "not_a_choice", "'kneecap'", "knee"),
    ("sets", "tempo", "411", "not_a_tempo", "'411'", "4-1-1-0"),
    ("sets", "tempo", "41100", "not_a_tempo", "'41100'", "4-1-1-0"),
    ("sets", "tempo", "X-1-1-0", "not_a_tempo", "'X-1-1-0'", "lifting as fast"),
    ("sets", "date", "3 March", "not_a_date", "'3 March'", "2026-03-25"),
    ("sets", "date", "2026-02-30", "not_a_date", "calendar", "2026-03-25"),
    ("sets", "date", "02/03/26", "not_a_date", "'02/03/26'", "2026-03-25"),
    ("sets", "date", "2026-03-02 14:30", "not_a_date", "14:30", "2026-03-25"),
    ("sets", "date", "46083", "not_a_date", "'46083'", "2026-03-25"),
    ("sets", "date", "0026-03-02", "out_of_range", "0026-03-02", "year"),
    ("sets", "date", "03/04/2026", "ambiguous_date", "3 April or 4 March", "year first"),
    ("sets", "date", "03/25/2026", "not_a_date", "calendar", "2026-03-25"),
]


@pytest.mark.parametrize(("table", "name", "cell", "value"), READ)
def test_a_sound_cell_is_read(table: str, name: str, cell: str, value: object) -> None:
    found = parse_cell(column(table, name), cell, "unknown")
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(("table", "name", "cell", "code", "what", "mend"), REFUSED)
def test_a_wrong_cell_is_refused_and_never_bent(
    table: str, name: str, cell: str, code: str, what: str, mend: str
) -> None:
    flaw = parse_cell(column(table, name), cell, "unknown")
    assert isinstance(flaw, Flaw)
    assert flaw.code == code
    assert what in flaw.what
    assert mend in flaw.mend


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["03/04/2026", "25/03/2026"], "day_first"),
        (["03/04/2026", "03/25/2026"], "unknown"),
        (["25/03/2026", "03/25/2026"], "unknown"),
        (["25.03.2026", "03/04/2026"], "unknown"),
        (["2026-03-25"], "unknown"),
        ([], "unknown"),
    ],
)
def test_one_clear_date_settles_the_order_of_a_file(cells: list[str], order: str) -> None:
    assert date_order(cells) == order


def test_a_settled_order_reads_the_other_dates_day_first() -> None:
    assert parse_cell(column("sets", "date"), "03/04/2026", "day_first") == dt.date(2026, 4, 3)
