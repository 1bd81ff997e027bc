"""From text cells to a typed frame, column by column, with every cell that cannot be read (layer: log)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.cell_column import CellColumn
from analysis.cells import DateOrder, Flaw, Value, date_order, parse_cell
from analysis.headings import match_headings
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import DTYPES, Column, Table
from analysis.text_table import TextTable

_BLANK = Flaw(code="blank_required", what="the cell is blank.", mend="Fill it in, or delete the row.")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TypedTable:
    """A table whose cells are values.

    Attributes
    ----------
    table : Table
        What the table is.
    file : str
        File as the user knows it.
    frame : DataFrame
        Every column of the schema, typed; cells that could not be read are blank.
    rows : ndarray of int, shape (n_rows,)
        Row of each line, as a spreadsheet counts.
    problems : tuple of Problem
        Everything found so far.
    """

    table: Table
    file: str
    frame: pd.DataFrame
    rows: NDArray[np.int64]
    problems: tuple[Problem, ...]


def typed_table(text: TextTable) -> TypedTable:
    """Values of all cells, and everything that is wrong with them.

    Every different cell of a column is parsed once, so that a long log costs little more than a short one.

    Parameters
    ----------
    text : TextTable
        A table as read.

    Returns
    -------
    TypedTable
    """
    table, problems = text.table, list(text.problems)
    places: dict[str, int] = {}
    if text.headings:
        headings = match_headings(text)
        places.update(headings.places)
        problems += headings.problems
    cells = {name: text.columns[place] for name, place in places.items()}
    order = date_order(
        cell for name, found in cells.items() if table.column(name).kind == "date" for cell in found.distinct
    )
    series: dict[str, pd.Series] = {}
    filled = np.zeros(len(text.rows), dtype=bool)
    for column in table.columns:
        found = cells.get(column.name)
        if found is None:
            value = [column.default and int(column.default) if column.kind == "whole" else column.default]
            series[column.name] = pd.Series(value * len(text.rows), dtype=DTYPES[column.kind])
            continue
        values = [parse_cell(column, cell, order) for cell in found.distinct]
        problems += _flaws(column, values, found, text)
        series[column.name] = _series(column, values, found.codes, order)
        if column.name in table.one_of:
            filled |= np.array([value is not None for value in values], dtype=bool)[found.codes]
    if table.one_of:
        problems += _neither(table, filled, text, places)
    return TypedTable(
        table=table,
        file=text.file,
        frame=pd.DataFrame(series),
        rows=text.rows,
        problems=tuple(problems),
    )


def _flaws(
    column: Column, values: list[Value | Flaw | None], found: CellColumn, text: TextTable
) -> list[Problem]:
    flawed = np.array(
        [isinstance(value, Flaw) or (column.required and value is None) for value in values], dtype=bool
    )
    problems = []
    for line in np.flatnonzero(flawed[found.codes]) if flawed.any() else ():
        code = found.codes[line]
        value = values[code]
        flaw = value if isinstance(value, Flaw) else _BLANK
        problems.append(
            problem(
                flaw.code,
                text.file,
                flaw.what,
                flaw.mend,
                row=int(text.rows[line]),
                column=column.name,
                value=found.distinct[code] or None,
            )
        )
    return problems


def _series(
    column: Column, values: list[Value | Flaw | None], codes: NDArray[np.int64], order: DateOrder
) -> pd.Series:
    default = None if column.default is None else parse_cell(column, column.default, order)
    known = [None if isinstance(value, Flaw) else default if value is None else value for value in values]
    dtype = DTYPES[column.kind]
    if dtype == "float64":
        return pd.Series(np.array(known, dtype="float64")[codes])
    if dtype == "datetime64[us]":
        return pd.Series(np.array(known, dtype="datetime64[D]").astype(dtype)[codes])
    return pd.Series(known, dtype=dtype).take(codes).reset_index(drop=True)


def _neither(
    table: Table, filled: NDArray[np.bool_], text: TextTable, places: dict[str, int]
) -> list[Problem]:
    """Rows that fill none of the columns of which one is needed."""
    if not any(name in places for name in table.one_of):
        return []  # the missing columns are a problem already
    names = " and ".join(table.one_of)
    return [
        problem(
            "no_reps_or_hold",
            text.file,
            f"{names} are both blank.",
            "Write the repetitions done, or the seconds held; 0 repetitions means tried and stopped.",
            row=int(row),
            column=table.one_of[0],
        )
        for row in text.rows[~filled]
    ]
