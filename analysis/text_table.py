"""A table as text cells with their row numbers, whatever file it came from (layer: log)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.cell_column import CellColumn, cell_columns
from analysis.cells import is_blank
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import Table


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TextTable:
    """One table as text.

    Attributes
    ----------
    table : Table
        What the table is meant to be.
    file : str
        File as the user knows it; a sheet is named behind the workbook.
    headings : tuple of str
        Headings as written.
    columns : tuple of CellColumn
        Cells, column by column; as many columns as headings, blank rows left out.
    rows : ndarray of int, shape (n_rows,)
        Row of each line of cells, as a spreadsheet counts.
    problems : tuple of Problem
        What was found while reading.
    """

    table: Table
    file: str
    headings: tuple[str, ...]
    columns: tuple[CellColumn, ...]
    rows: NDArray[np.int64]
    problems: tuple[Problem, ...]


def unreadable(table: Table, file: str, found: Problem) -> TextTable:
    """Table without headings of a file that cannot be read at all."""
    return TextTable(
        table=table, file=file, headings=(), columns=(), rows=np.zeros(0, dtype=np.int64), problems=(found,)
    )


def table_from_lines(
    lines: Iterable[list[str]], table: Table, file: str, problems: list[Problem]
) -> TextTable:
    """Table of the lines of a file: blank lines left out, rows that do not fit the headings refused.

    Parameters
    ----------
    lines : iterable of list of str
        Every line of the file, blank ones included, so that rows count as a spreadsheet counts.
    table : Table
        What the file is meant to be.
    file : str
        Name to use in messages.
    problems : list of Problem
        What was found so far, and what is found while the lines are read.

    Returns
    -------
    TextTable
    """
    numbered = enumerate(lines, start=1)
    headings = next((line for _, line in numbered if not _all_blank(line)), None)
    if headings is None:
        found = problem(
            "empty_file",
            file,
            "there is nothing in it.",
            f"Write the headings in its first row: {', '.join(_needed(table))} and others.",
        )
        return unreadable(table, file, problems[0] if problems else found)
    width = len(headings)
    rows: list[int] = []

    def body() -> Iterator[list[str]]:
        for row, line in numbered:
            if _all_blank(line):
                continue
            if len(line) != width:
                line = _aligned(line, width, row, file, problems)
                if not line:
                    continue
            rows.append(row)
            yield line

    columns = cell_columns(body(), width)
    return TextTable(
        table=table,
        file=file,
        headings=tuple(headings),
        columns=columns,
        rows=np.asarray(rows, dtype=np.int64),
        problems=tuple(problems),
    )


def _all_blank(line: list[str]) -> bool:
    return not any(line) or all(is_blank(cell) for cell in line)


def _aligned(line: list[str], width: int, row: int, file: str, problems: list[Problem]) -> list[str]:
    """The row cut to the headings where only blanks stand beyond them; else nothing, and a problem."""
    if len(line) > width and _all_blank(line[width:]):
        return line[:width]
    too_long = len(line) > width
    problems.append(
        problem(
            "row_too_long" if too_long else "row_too_short",
            file,
            f"the row has {len(line)} cells, the headings are {width}.",
            "Put cells that hold the separator in quotes, and move cells back under their headings."
            if too_long
            else "Add the missing cells; blank ones count as well.",
            row=row,
            value=line[width] if too_long else None,
        )
    )
    return []


def _needed(table: Table) -> list[str]:
    return [column.name for column in table.columns if column.required]
