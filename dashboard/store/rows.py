"""Rows of the store: from what was entered to canonical cells, and in and out of the tables (layer: store)."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
from sqlalchemy import ColumnElement, Connection, RowMapping, delete, insert, select

from analysis.canonical import column_cells
from analysis.cell_column import cell_columns
from analysis.cells import Flaw, Value, date_order, parse_cell
from analysis.errors import LogError, OptionError
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import TABLES
from analysis.text_table import TextTable
from analysis.typed_table import TypedTable, typed_table
from dashboard.store.refusals import Cells, StoredRow
from dashboard.store.tables import CLIENT_TABLES, LOG_TABLES

AT_ONCE = 400
"""Rows named in one statement; below what any SQLite takes."""
_BLANK = Flaw(code="blank_required", what="the cell is blank.", mend="Fill it in, or delete the row.")
Progress = Callable[[int, int], None]
"""Told rows done and rows in all; raising from it stops the work, and nothing of it is kept."""


def typed_cells(name: str, rows: Sequence[Cells], columns: Sequence[str]) -> TypedTable:
    """Some columns of some rows of one file as the log's checks take them.

    Parameters
    ----------
    name : str
        Name of the file, such as ``sets``.
    rows : sequence of mapping
        Canonical cells by column.
    columns : sequence of str
        Columns the checks look at; the fewer, the faster.
    """
    file = TABLES[name]
    table = replace(file, columns=tuple(file.column(column) for column in columns), one_of=())
    lines = ([row[column] for column in columns] for row in rows)
    return typed_table(
        TextTable(
            table=table,
            file=file.file,
            headings=tuple(columns),
            columns=cell_columns(lines, len(columns)),
            rows=np.arange(1, len(rows) + 1, dtype=np.int64),
            problems=(),
        )
    )


def canonical_rows(name: str, rows: Sequence[Mapping[str, object]]) -> tuple[list[Cells], list[Problem]]:
    """Canonical cells of rows as entered, and everything that is wrong with them.

    Parameters
    ----------
    name : str
        Name of the file.
    rows : sequence of mapping of str to object
        Texts or values by column; None is blank.

    Returns
    -------
    list of mapping, list of Problem
        Rows of the problems count from 1.

    Raises
    ------
    OptionError
        If there is no such column.
    """
    file = TABLES[name]
    if unknown := sorted({column for row in rows for column in row} - set(file.column_names)):
        raise OptionError(f"{name} has no column {unknown[0]!r}; it has: {', '.join(file.column_names)}.")
    dates = [column.name for column in file.columns if column.kind == "date"]
    order = date_order(_written(row.get(column)) for row in rows for column in dates)
    found, problems = list[Cells](), list[Problem]()
    for number, row in enumerate(rows, start=1):
        cells = dict[str, str]()
        for column in file.columns:
            written = _written(row.get(column.name))
            value = parse_cell(column, written if written.strip() else column.default or "", order)
            if column.required and value is None:
                value = _BLANK
            if isinstance(value, Flaw):
                problems.append(
                    problem(
                        value.code,
                        file.file,
                        value.what,
                        value.mend,
                        row=number,
                        column=column.name,
                        value=written or None,
                    )
                )
                value = None
            cells[column.name] = cell_text(value)
        if file.one_of and not any(_written(row.get(name)).strip() for name in file.one_of):
            what, mend = f"{' and '.join(file.one_of)} are both blank.", "Write one of them."
            problems.append(
                problem("no_reps_or_hold", file.file, what, mend, row=number, column=file.one_of[0])
            )
        found.append(cells)
    return found, problems


def cell_text(value: Value | None) -> str:
    """Canonical cell of a value, as `analysis.canonical` writes it."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            return np.format_float_positional(value + 0.0, trim="-")
        case dt.date():
            return value.isoformat()
        case _:
            return str(value)


def frame_rows(name: str, frame: pd.DataFrame) -> list[Cells]:
    """Canonical cells of a frame of a log, row by row; a blank is its column's default where it has one."""
    names = TABLES[name].column_names
    columns = [
        [cell or column.default for cell in cells] if column.default else cells
        for column in TABLES[name].columns
        for cells in [column_cells(frame[column.name])]
    ]
    return [dict(zip(names, cells, strict=True)) for cells in zip(*columns, strict=True)]


def refuse(problems: Sequence[Problem]) -> None:
    """LogError when there are problems."""
    if problems:
        raise LogError(problems)


def client_of(cells: Cells) -> str:
    """Code of the client a row belongs to; '' for a row that belongs to none."""
    return cells.get("client", "")


def select_rows(
    connection: Connection, owner: str, name: str, *conditions: ColumnElement[bool]
) -> Iterator[StoredRow]:
    """Rows of one file of an owner."""
    table = LOG_TABLES[name]
    query = select(table).where(table.c.owner == owner, *conditions)
    for row in connection.execute(query).mappings():
        yield _stored(name, row)


def rows_by_id(connection: Connection, owner: str, name: str, ids: Sequence[str]) -> dict[str, StoredRow]:
    """Rows with these ids, as far as they are there."""
    table = LOG_TABLES[name]
    return {
        row.id: row
        for start in range(0, len(ids), AT_ONCE)
        for row in select_rows(connection, owner, name, table.c.id.in_(ids[start : start + AT_ONCE]))
    }


def rows_at(connection: Connection, owner: str, row: StoredRow) -> list[StoredRow]:
    """Rows that stand in the same place: all columns of the file's key are equal, and the log."""
    columns = LOG_TABLES[row.table].c
    place = [columns[column] == row.cells[column] for column in TABLES[row.table].key]
    if "log" in columns:
        place.append(columns.log == row.log)
    return list(select_rows(connection, owner, row.table, *place))


def insert_rows(
    connection: Connection, owner: str, rows: Sequence[StoredRow], progress: Progress | None = None
) -> None:
    """Put rows in; those of a file in one statement each few thousand."""
    done = 0
    for name in TABLES:
        of_file = [row for row in rows if row.table == name]
        for start in range(0, len(of_file), 2000):
            some = of_file[start : start + 2000]
            values = [{"owner": owner, "id": row.id, "revision": row.revision, **row.cells} for row in some]
            if name not in CLIENT_TABLES:
                values = [{**value, "log": row.log} for value, row in zip(values, some, strict=True)]
            connection.execute(insert(LOG_TABLES[name]), values)
            done += len(some)
            if progress is not None:
                progress(done, len(rows))


def delete_rows(connection: Connection, owner: str, rows: Sequence[StoredRow]) -> None:
    """Take rows out."""
    for name, table in LOG_TABLES.items():
        ids = [row.id for row in rows if row.table == name]
        for start in range(0, len(ids), AT_ONCE):
            some = ids[start : start + AT_ONCE]
            connection.execute(delete(table).where(table.c.owner == owner, table.c.id.in_(some)))


def row_to_text(row: StoredRow | None) -> str | None:
    """A row for the history: its revision and what is not blank."""
    if row is None:
        return None
    filled = {name: cell for name, cell in row.cells.items() if cell}
    held = {"revision": row.revision, "log": row.log, "cells": filled}
    return json.dumps(held, ensure_ascii=False, separators=(",", ":"))


def row_from_text(name: str, row_id: str, text: str | None) -> StoredRow | None:
    """The row as the history has it."""
    if text is None:
        return None
    held = json.loads(text)
    cells = {column: held["cells"].get(column, "") for column in TABLES[name].column_names}
    return StoredRow(table=name, id=row_id, revision=held["revision"], cells=cells, log=held["log"])


def _stored(name: str, row: RowMapping) -> StoredRow:
    cells = {column: row[column] for column in TABLES[name].column_names}
    return StoredRow(table=name, id=row["id"], revision=row["revision"], cells=cells, log=row.get("log", ""))


def _written(value: object) -> str:
    """What was entered, as text; what a grid has in its empty cells is blank."""
    match value:
        case str():
            return value
        case bool() | float() | dt.date() if not pd.isna(value):
            return cell_text(value)
        case _:
            return "" if pd.isna(value) else str(value)
