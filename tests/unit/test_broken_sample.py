"""The broken sample: every kind of problem, found in the right place by the command, with its remedy."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from analysis.log import PROBLEM_CODES
from dashboard.command import run

BROKEN = Path(__file__).parents[2] / "sample_logs" / "broken"

# Read off the files by eye: code, file, row as a spreadsheet counts, column, beginning of the remedy.
EXPECTED = [
    ("duplicate_set", "between_cells/sets.csv", 3, "set", "Number the sets of"),
    ("mixed_load_bases", "between_cells/sets.csv", 4, "load_basis", "Use one basis for"),
    ("negative_load", "between_cells/sets.csv", 5, "load", "Write the load as"),
    ("band_without_name", "between_cells/sets.csv", 6, "band", "Name the band, such"),
    ("band_with_load", "between_cells/sets.csv", 7, "load", "Leave the load blank;"),
    ("duplicate_row", "between_cells/clients.csv", 3, "client", "Keep one of the"),
    ("two_main_sites", "between_cells/sites.csv", 3, "main", "Write yes for one"),
    ("unknown_set", "between_cells/pains.csv", 3, "set", "Correct the date, session"),
    ("unknown_client", "between_cells/days.csv", 3, "client", "Correct the code, or"),
    ("unknown_site", "between_cells/days.csv", 4, "site", "Spell it as in"),
    ("duplicate_order", "between_cells/variants.csv", 3, "order", "Give the rows of"),
    ("dates_reversed", "between_cells/limits.csv", 2, "until", "Exchange the two dates,"),
    ("not_a_number", "cells/sets.csv", 3, "load", "Write digits only, such"),
    ("not_whole", "cells/sets.csv", 4, "reps", "Write the whole number"),
    ("out_of_range", "cells/sets.csv", 5, "pain_left", "Use the 0-10 scale,"),
    ("not_a_choice", "cells/sets.csv", 6, "side", "Write one of: left,"),
    ("not_a_tempo", "cells/sets.csv", 7, "tempo", "Write seconds of lowering,"),
    ("not_yes_no", "cells/sets.csv", 8, "test_set", "Write yes or no,"),
    ("not_a_code", "cells/sets.csv", 9, "client", "Write 1 to 32"),
    ("not_a_date", "cells/sets.csv", 10, "date", "Write the date year"),
    ("blank_required", "cells/sets.csv", 11, "exercise", "Fill it in, or"),
    ("text_too_long", "cells/sets.csv", 12, "exercise", "Shorten it to 80"),
    ("control_character", "cells/sets.csv", 13, "variant", "Delete it and type"),
    ("no_reps_or_hold", "cells/sets.csv", 14, "reps", "Write the repetitions done,"),
    ("nul_bytes", "damaged/sets.csv", 3, None, "Export it again as"),
    ("ambiguous_date", "dates/sets.csv", 2, "date", "Write dates year first,"),
    ("ambiguous_date", "dates/sets.csv", 3, "date", "Write dates year first,"),
    ("empty_file", "empty/sets.csv", None, None, "Write the headings in"),
    ("formula_without_value", "formula.xlsx [sets]", 3, "load", "Open and save the"),
    ("unknown_column", "headings/sets.csv", 1, "loads", "Rename it to a"),
    ("duplicate_column", "headings/sets.csv", 1, "reps", "Keep one of the"),
    ("unheaded_column", "headings/sets.csv", 3, None, "Write a heading above"),
    ("missing_column", "headings/days.csv", 1, "date", "Add it and fill"),
    ("missing_sets_file", "no_sets/sets.csv", None, None, "A log is a"),
    ("not_a_workbook", "not_a_workbook.xlsx", None, None, "Save it as .xlsx"),
    ("not_utf8", "old_encoding/sets.csv", 2, None, "Save it again as"),
    ("own_headings", "own_headings/sets.csv", 1, None, "Rename them to the"),
    ("broken_quotes", "quotes/sets.csv", 3, None, "Put the whole cell"),
    ("row_too_long", "rows/sets.csv", 2, None, "Put cells that hold"),
    ("row_too_short", "rows/sets.csv", 3, None, "Add the missing cells;"),
]


def test_the_command_finds_every_problem_in_its_place(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(BROKEN), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    found = [(p["code"], p["file"], p["row"], p["column"]) for p in told["problems"]]
    assert sorted(found, key=str) == sorted([case[:4] for case in EXPECTED], key=str)
    assert {code for code, *_ in found} == set(PROBLEM_CODES)
    remedies = {(p["code"], p["file"], p["row"]): p["mend"] for p in told["problems"]}
    for code, file, row, _, remedy in EXPECTED:
        assert remedies[code, file, row].startswith(remedy)
