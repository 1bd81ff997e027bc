"""The quick look at sets passes over nothing that the log's own check finds, and the cells are the log's own."""

from __future__ import annotations

import datetime as dt
from itertools import product

import pandas as pd
import pytest

from analysis.canonical import column_cells
from analysis.cells import Value
from analysis.checks import check_table
from analysis.schema import column
from dashboard.store.rows import canonical_rows, cell_text, typed_cells
from dashboard.store.rules import LOOKED_AT, may_break_rules
from tests.store.entries import a_set

KINDS = [
    dict(zip(("load_basis", "load", "band", "variant"), cells, strict=True))
    for cells in product(
        ["", "total", "per hand", "stack", "bodyweight", "band"],
        ["", "12", "-5"],
        ["", "green"],
        ["", "standard", "low"],
    )
]


def test_the_quick_look_misses_nothing() -> None:
    n_broken = n_passed = 0
    for first, second in product(KINDS[::13], KINDS):
        rows, problems = canonical_rows("sets", [a_set(1, **first), a_set(2, **second)])
        assert problems == []
        if may_break_rules(rows):
            continue
        n_passed += 1
        n_broken += (
            bool(check_table(typed_cells("sets", rows, LOOKED_AT["sets"]))) if n_passed % 7 == 0 else 0
        )
    assert n_broken == 0
    assert n_passed > 100


@pytest.mark.parametrize("kind", KINDS[::4])
def test_what_is_broken_by_itself_is_seen(kind: dict[str, str]) -> None:
    other = a_set(2, load_basis="total", load=20, variant="low")
    rows, _ = canonical_rows("sets", [a_set(1, **kind), other])
    if check_table(typed_cells("sets", rows, LOOKED_AT["sets"])):
        assert may_break_rules(rows)


@pytest.mark.parametrize(
    "value", [True, False, 12.0, -0.0, 0.1, 1e-7, 123456.789, 7, "text", "=1+1", dt.date(2026, 3, 2)]
)
def test_a_cell_is_written_as_in_a_file(value: Value) -> None:
    assert cell_text(value) == column_cells(pd.Series([value], dtype="object"))[0]


def test_parsing_by_row_is_parsing_by_column() -> None:
    assert column("sets", "session").default == "1"
    rows, problems = canonical_rows("sets", [a_set(1, tempo="31x0", load="12,50", test_set="Y")])
    assert problems == []
    assert (rows[0]["tempo"], rows[0]["load"], rows[0]["test_set"]) == ("3-1-X-0", "12.5", "yes")
