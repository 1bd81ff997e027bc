"""Holds the rows of logs against those that are stored: new, stored already, stored otherwise (layer: store)."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import uuid4

import pandas as pd

from analysis.errors import LogError
from analysis.log import log_from_frames
from analysis.results import Problem
from analysis.schema import TABLES
from analysis.training_log import TrainingLog
from dashboard.store.refusals import Cells, StoredRow
from dashboard.store.rows import client_of, frame_rows
from dashboard.store.rules import RowChange
from dashboard.store.tables import CLIENT_TABLES

_At = tuple[str, str]
"""File and id of a row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Origin:
    """Where a row came from; the row number is known for sets."""

    file: str
    number: int | None


class Merge:
    """One state of the store, and logs that are put into it.

    A row is the same row when the columns of its file's key are equal, and the log of a row that belongs to
    no client; rows of a file without a key are counted. A column without any value in a log says nothing
    about the rows that are stored.

    Parameters
    ----------
    stored : sequence of StoredRow
        Every row the logs may concern.
    keep : bool
        Whether rows that are stored otherwise stay as they are.
    """

    def __init__(self, stored: Sequence[StoredRow], *, keep: bool) -> None:
        self._keep = keep
        self._before: dict[_At, StoredRow] = {(row.table, row.id): row for row in stored}
        self._rows = dict(self._before)
        self._places = {_place(row): at for at, row in self._rows.items() if TABLES[row.table].key}
        self._wanted: dict[_At, StoredRow] = {}
        self._origins: dict[_At, _Origin] = {}
        self.n_same = 0
        self._digest = hashlib.sha256()

    @property
    def digest(self) -> str:
        """Hash of everything that was put in."""
        return self._digest.hexdigest()

    @property
    def new(self) -> tuple[RowChange, ...]:
        """Rows that are not stored yet."""
        return tuple(
            RowChange(table=row.table, id=row.id, before=None, after=row)
            for at, row in self._rows.items()
            if at not in self._before
        )

    @property
    def changed(self) -> tuple[RowChange, ...]:
        """Rows that are stored otherwise."""
        return tuple(
            RowChange(table=row.table, id=row.id, before=self._before[at], after=row)
            for at, row in self._wanted.items()
        )

    def add(self, name: str, log: TrainingLog, home: str) -> None:
        """Put a log in; rows that belong to no client belong to the log `home`."""
        for table in TABLES:
            frame = log.frame(table)
            if frame.empty:
                continue
            origin = _Origin(file=f"{name}/{TABLES[table].file}", number=None)
            numbers = frame["source_row"].tolist() if "source_row" in frame else [None] * len(frame)
            origins = [replace(origin, number=number) for number in numbers]
            shared = "" if table in CLIENT_TABLES else home
            rows = [
                StoredRow(table=table, id=uuid4().hex, revision=0, cells=cells, log=shared)
                for cells in frame_rows(table, frame)
            ]
            self._digest.update(
                "".join(f"{table}|{cells}" for cells in sorted(_content(row) for row in rows)).encode()
            )
            put = self._put_by_key if TABLES[table].key else self._put_by_count
            put(table, list(zip(rows, origins, strict=True)))

    def problems(self, logs: Iterable[str], homes: Mapping[str, str]) -> list[Problem]:
        """What the log's own reader finds wrong with all rows of a log together, each with its place in its file.

        Parameters
        ----------
        logs : iterable of str
            Logs of the store to look at.
        homes : mapping of str to str
            Log of each client.
        """
        problems = list[Problem]()
        for log in dict.fromkeys(logs):
            rows = [row for row in self._rows.values() if (row.log or homes[client_of(row.cells)]) == log]
            by_file = {name: [row for row in rows if row.table == name] for name in TABLES}
            frames = {name: _frame(name, some) for name, some in by_file.items() if some}
            try:
                log_from_frames(**frames)
            except LogError as error:
                problems += [self._placed(found, by_file) for found in error.problems]
        return problems

    def _put_by_key(self, table: str, rows: Sequence[tuple[StoredRow, _Origin]]) -> None:
        silent = _without_value(table, (row.cells for row, _ in rows))
        for row, origin in rows:
            at = self._places.get(_place(row))
            if at is None:
                self._put(row, origin)
                self._places[_place(row)] = (table, row.id)
                continue
            there = self._rows[at]
            cells = {**row.cells, **{column: there.cells[column] for column in silent}}
            if cells == there.cells:
                self.n_same += 1
                continue
            row = StoredRow(table=table, id=there.id, revision=0, cells=cells, log=there.log)
            if at in self._before:
                self._wanted[at] = row
            if not (self._keep and at in self._before):
                self._put(row, origin)

    def _put_by_count(self, table: str, rows: Sequence[tuple[StoredRow, _Origin]]) -> None:
        left = Counter(_content(row) for row in self._rows.values() if row.table == table)
        for row, origin in rows:
            content = _content(row)
            if left[content] > 0:
                left[content] -= 1
                self.n_same += 1
            else:
                self._put(row, origin)

    def _put(self, row: StoredRow, origin: _Origin) -> None:
        self._rows[row.table, row.id] = row
        self._origins[row.table, row.id] = origin

    def _placed(self, found: Problem, by_file: dict[str, list[StoredRow]]) -> Problem:
        name = Path(found.file).stem
        row = None if found.row is None else by_file[name][found.row - 2]
        origin = None if row is None else self._origins.get((name, row.id))
        if origin is None:
            return replace(found, file=f"stored {found.file}", row=None)
        return replace(found, file=origin.file, row=origin.number)


def _content(row: StoredRow) -> tuple[str, ...]:
    return tuple(row.cells.values())


def _place(row: StoredRow) -> tuple[str, ...]:
    return (row.table, row.log, *(row.cells[column] for column in TABLES[row.table].key))


def _without_value(table: str, rows: Iterable[Cells]) -> list[str]:
    """Columns of a file that no row fills."""
    filled = {column for cells in rows for column, cell in cells.items() if cell}
    return [column for column in TABLES[table].column_names if column not in filled]


def _frame(name: str, rows: Sequence[StoredRow]) -> pd.DataFrame:
    cells = [_content(row) for row in rows]
    return pd.DataFrame(cells, columns=list(TABLES[name].column_names), dtype="object")
