"""Copies a whole store into one SQLite file while it is in use, and reads the copy back (layer: store)."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, MetaData, Table, create_engine

from analysis.errors import OptionError
from dashboard.store.engine import Store
from dashboard.store.refusals import StoreError

_CHUNK = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """A copy that was read back.

    Attributes
    ----------
    path : Path
        An SQLite file that can be opened as a store.
    n_rows : int
        Rows of all tables.
    digest : str
        SHA-256 of every row, the same for the store and the copy.
    """

    path: Path
    n_rows: int
    digest: str


def back_up(store: Store, path: Path) -> Backup:
    """Copy a store into a new file, whichever database it is on.

    Parameters
    ----------
    store : Store
        May be in use; the copy is its state at one moment.
    path : Path
        A file that is not there yet.

    Raises
    ------
    OptionError
        If there is something at `path`.
    StoreError
        If the copy cannot be written, or does not read back as it should; no file is left then.
    """
    if path.exists():
        raise OptionError(f"{path} is there already; choose another name.")
    return copy_tables(store, path)


def copy_tables(store: Store, path: Path) -> Backup:
    """The same for any state of the schema; the copy takes its name only when it was read back.

    Parameters
    ----------
    store : Store
    path : Path
        Replaced if it is there.

    Raises
    ------
    StoreError
        If the copy cannot be written or does not read back.
    """
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        for left in (unfinished, unfinished.with_name(f"{unfinished.name}-journal")):
            left.unlink(missing_ok=True)  # of a copy that was interrupted
        os.close(os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        with store.read() as connection:
            tables, n_rows, digest = _write(connection, unfinished)
        if _read_back(unfinished, tables) != (n_rows, digest):
            raise StoreError(f"The copy {path} does not read back as it was written; it was deleted.")
        os.replace(unfinished, path)
        _to_disk(path.parent)
    except (OSError, sqlite3.Error) as error:
        raise StoreError(f"The copy {path} cannot be written: {error}. No file was left.") from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
    return Backup(path=path, n_rows=n_rows, digest=digest)


def _write(source: Connection, path: Path) -> tuple[list[Table], int, str]:
    """Tables and number of rows copied, and their digest; one transaction, so a copy cut short holds nothing."""
    metadata = MetaData()
    metadata.reflect(source)
    tables = list(metadata.sorted_tables)
    engine = create_engine("sqlite://", creator=lambda: sqlite3.connect(path, isolation_level=None))
    try:
        with engine.connect() as target:
            target.exec_driver_sql("BEGIN")
            for table in tables:
                table.create(target)
            n_rows, digest = _digest(tables, (_copied(source, target, table) for table in tables))
            target.exec_driver_sql("COMMIT")
    finally:
        engine.dispose()
    return tables, n_rows, digest


def _copied(source: Connection, target: Connection, table: Table) -> Iterator[tuple[object, ...]]:
    for rows in _rows(source, table):
        marks = ", ".join("?" * len(table.columns))
        target.exec_driver_sql(f'INSERT INTO "{table.name}" VALUES ({marks})', rows)
        yield from rows


def _rows(connection: Connection, table: Table) -> Iterator[list[tuple[object, ...]]]:
    """Rows of a table, some at a time."""
    columns = ", ".join(f'"{name}"' for name in _names(table))
    query = f'SELECT {columns} FROM "{table.name}"'
    result = connection.exec_driver_sql(query, execution_options={"yield_per": _CHUNK})
    for rows in result.partitions():
        yield [tuple(row) for row in rows]


def _names(table: Table) -> list[str]:
    return [column.name for column in table.columns]


def _digest(tables: Sequence[Table], parts: Iterable[Iterable[tuple[object, ...]]]) -> tuple[int, str]:
    """Number of rows and a hash of them that does not depend on the order a database gives them in."""
    n_rows, total = 0, hashlib.sha256()
    for table, rows in zip(tables, parts, strict=True):
        sum_of_rows = 0
        for row in rows:
            n_rows += 1
            said = json.dumps(row, ensure_ascii=False, separators=(",", ":")).encode()
            sum_of_rows += int.from_bytes(hashlib.sha256(said).digest(), "big")
        total.update(f"{table.name}:{','.join(_names(table))}:{sum_of_rows:x};".encode())
    return n_rows, total.hexdigest()


def _read_back(path: Path, tables: Sequence[Table]) -> tuple[int, str]:
    """What the finished file says of itself; StoreError when it is not whole."""
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("PRAGMA integrity_check").fetchone()
        orphans = connection.execute("PRAGMA foreign_key_check").fetchone()
    if found != ("ok",) or orphans is not None:
        raise StoreError(f"The copy {path} is not whole; it was deleted.")
    engine = create_engine("sqlite://", creator=lambda: sqlite3.connect(path))
    try:
        with engine.connect() as copy:
            return _digest(tables, ((row for rows in _rows(copy, table) for row in rows) for table in tables))
    finally:
        engine.dispose()


def _to_disk(folder: Path) -> None:
    """Make the new name last through a power cut, where folders can be told to."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
