"""Erases a client everywhere in the store, and proves it by searching for the code (layer: store)."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from sqlalchemy import Connection, Table, Text, delete, select, text, update

from analysis.errors import OptionError
from dashboard.store.changes import line_up
from dashboard.store.engine import Store
from dashboard.store.refusals import StoreError
from dashboard.store.schema_version import kept_copies
from dashboard.store.stored_logs import homes_of
from dashboard.store.tables import (
    CLIENT_TABLES,
    LOG_TABLES,
    changed_rows,
    changes,
    drafts,
    homes,
    metadata,
    shared_part,
    touched,
)

SHORTEST_SOUGHT = 4
"""Letters from which on a code is not found in a file by chance."""
_SHARED = tuple(table for name, table in LOG_TABLES.items() if name not in CLIENT_TABLES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Forgotten:
    """What was erased, and where the code was looked for afterwards.

    Attributes
    ----------
    client : str
    n_rows : int
        Rows of the log, those that other clients of it do not share.
    n_changes : int
        Entries of the history.
    n_drafts : int
    copies : tuple of Path
        Copies from before a migration, deleted with all that was in them.
    searched : tuple of Path
        Files searched byte by byte; none of a server's.
    mentions : tuple of str
        Where the code still stands in what others entered, such as a note.
    """

    client: str
    n_rows: int
    n_changes: int
    n_drafts: int
    copies: tuple[Path, ...]
    searched: tuple[Path, ...]
    mentions: tuple[str, ...]


def forget(store: Store, owner: str, client: str) -> Forgotten:
    """Erase rows, history and drafts of a client, and what is left of them in free pages.

    Parameters
    ----------
    store : Store
    owner : str
    client : str
        Code of the client.

    Returns
    -------
    Forgotten

    Raises
    ------
    OptionError
        If nothing is stored of such a client.
    StoreError
        If the code can still be found where nothing that is stored has it, or the file could not be tidied
        up because it is in use; what is stored is erased all the same, and asking again goes on.
    """
    with store.write() as connection:
        line_up(connection, owner)
        n_rows, n_changes, n_drafts = _erase(connection, owner, client)
    copies = tuple(copy for copy in kept_copies(store) if client.encode() in copy.read_bytes())
    if not (n_rows or n_changes or n_drafts or copies or _search(store, client)[1]):
        raise OptionError(f"Nothing is stored of a client {client!r}.")
    for copy in copies:
        copy.unlink(missing_ok=True)
    _tidy_up(store)
    searched, is_found = _search(store, client)
    with store.read() as connection:
        places = list(_places(connection, client))
    if is_found and not places:
        raise StoreError(
            f"{client} was deleted, but its code can still be found in {store.file}. Close every program that"
            " uses the store and ask again."
        )
    return Forgotten(
        client=client,
        n_rows=n_rows,
        n_changes=n_changes,
        n_drafts=n_drafts,
        copies=copies,
        searched=searched,
        mentions=tuple(sorted({place for place, said in places if _is_told_apart(client, said)})),
    )


def _erase(connection: Connection, owner: str, client: str) -> tuple[int, int, int]:
    """Delete and count rows, entries of the history and drafts."""
    home = homes_of(connection, owner).get(client, client)
    n_rows = sum(_delete(connection, LOG_TABLES[name], owner, "client", client) for name in CLIENT_TABLES)
    n_changes = _delete(connection, changed_rows, owner, "part", client)
    n_drafts = _delete(connection, drafts, owner, "client", client)
    _delete(connection, homes, owner, "client", client)
    _delete(connection, touched, owner, "part", client)
    others = [other for other, log in homes_of(connection, owner).items() if log == home]
    if not others:
        n_rows += sum(_delete(connection, table, owner, "log", home) for table in _SHARED)
        n_changes += _delete(connection, changed_rows, owner, "part", shared_part(home))
        _delete(connection, touched, owner, "part", shared_part(home))
    elif client in home:
        _rename(connection, owner, home)
    _delete(connection, changes, owner, "client", client)
    for row in connection.execute(select(changes).where(changes.c.owner == owner)).all():
        if client in row.label or client in row.change_id:
            unnamed = hashlib.sha256(row.change_id.encode()).hexdigest()
            values = {"label": "", "change_id": unnamed if client in row.change_id else row.change_id}
            here = (changes.c.owner == owner, changes.c.revision == row.revision)
            connection.execute(update(changes).where(*here).values(**values))
    return n_rows, n_changes, n_drafts


def _delete(connection: Connection, table: Table, owner: str, column: str, value: str) -> int:
    statement = delete(table).where(table.c.owner == owner, table.c[column] == value)
    return int(connection.execute(statement).rowcount)


def _rename(connection: Connection, owner: str, log: str) -> None:
    """Give a log that is called after one of its clients a name that says nothing."""
    taken = set(homes_of(connection, owner).values())
    name = next(free for number in count(1) if (free := f"log {number}") not in taken)
    for table in (homes, *_SHARED):
        connection.execute(update(table).where(table.c.owner == owner, table.c.log == log).values(log=name))
    for table in (touched, changed_rows):
        here = (table.c.owner == owner, table.c.part == shared_part(log))
        connection.execute(update(table).where(*here).values(part=shared_part(name)))
    of_log = (changed_rows.c.owner == owner, changed_rows.c.part == shared_part(name))
    for row in connection.execute(
        select(changed_rows).where(*of_log, changed_rows.c.before.is_not(None))
    ).all():
        held = json.dumps({**json.loads(row.before), "log": name}, ensure_ascii=False, separators=(",", ":"))
        here = (changed_rows.c.revision == row.revision, changed_rows.c.row_id == row.row_id)
        connection.execute(update(changed_rows).where(*of_log, *here).values(before=held))


def _tidy_up(store: Store) -> None:
    """Leave nothing of what was deleted in the files."""
    with store.outside_transactions() as connection:
        if not store.is_sqlite:
            for table in metadata.sorted_tables:
                connection.execute(text(f'VACUUM (FULL) "{table.name}"'))
            return
        connection.exec_driver_sql("VACUUM")
        is_busy = connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").scalar()
    if is_busy:
        raise StoreError(
            f"The client was deleted, but {store.name} is being read, so that its traces cannot be wiped yet."
            " Close what uses it and ask again."
        )


def _search(store: Store, client: str) -> tuple[tuple[Path, ...], bool]:
    """Files that were searched, and whether the code is in one of them."""
    file = store.file
    if file is None or len(client) < SHORTEST_SOUGHT:
        return (), False
    files = tuple(
        path for ending in ("", "-wal", "-journal") if (path := file.with_name(file.name + ending)).exists()
    )
    return files, any(client.encode() in path.read_bytes() for path in files)


def _places(connection: Connection, client: str) -> Iterator[tuple[str, str]]:
    """Every stored text that has the letters of the code, with its place."""
    for table in metadata.sorted_tables:
        for column in table.columns:
            if isinstance(column.type, Text):
                query = select(column).where(column.contains(client, autoescape=True))
                for said in connection.execute(query).scalars():
                    if client in said:
                        yield f"{table.name}.{column.name}", said


def _is_told_apart(client: str, said: str) -> bool:
    """Whether the code stands in a text by itself, not as a part of a longer one."""
    return re.search(rf"(?<![\w.-]){re.escape(client)}(?![\w-]|\.\w)", said) is not None
