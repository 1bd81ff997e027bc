"""The one way anything in a log is changed: checked, written and remembered in one transaction (layer: store)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace

from sqlalchemy import Connection, Table, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import IntegrityError

from analysis.schema import TABLES
from dashboard.store.refusals import ChangeIdTaken, Clash, Conflict, StoredRow
from dashboard.store.rows import (
    Progress,
    client_of,
    delete_rows,
    insert_rows,
    refuse,
    row_to_text,
    rows_at,
)
from dashboard.store.rules import RowChange, broken_rules, doubled_rows
from dashboard.store.tables import changed_rows, changes, homes, owners, shared_part, touched


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a change is called in the history.

    Attributes
    ----------
    change_id : str
        Made by whoever asks, once for each change; a repeated one does nothing.
    digest : str
        Hash of what was asked, so that an id is not taken for another change.
    action : str
        ``save``, ``import``, ``undo`` or ``redo``.
    label : str
        What was done, for people.
    made_by : str
    reverses : int or None
        Revision of the change that this one takes back.
    """

    change_id: str
    digest: str
    action: str
    label: str = ""
    made_by: str = ""
    reverses: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A change that is in the store.

    Attributes
    ----------
    change_id : str
    revision : int
        Its number among the changes of the owner.
    repeated : bool
        Whether it had been done before and nothing happened now.
    rows : tuple of StoredRow
        The rows that were written, as they are now; empty when repeated.
    """

    change_id: str
    revision: int
    repeated: bool
    rows: tuple[StoredRow, ...] = ()


def line_up(connection: Connection, owner: str) -> int:
    """Wait for one's turn to write for an owner, and learn the number of their last change."""
    connection.execute(
        insert_into(connection, owners).values(owner=owner, revision=0).on_conflict_do_nothing()
    )
    query = select(owners.c.revision).where(owners.c.owner == owner).with_for_update()
    revision: int = connection.execute(query).scalar_one()
    return revision


def done_before(connection: Connection, owner: str, change: Change) -> Done | None:
    """The change, if one with its id is in the store already.

    Raises
    ------
    ChangeIdTaken
        If the id stands for something else.
    """
    query = select(changes.c.revision, changes.c.digest).where(
        changes.c.owner == owner, changes.c.change_id == change.change_id
    )
    found = connection.execute(query).one_or_none()
    if found is None:
        return None
    revision, digest = found
    if digest != change.digest:
        raise ChangeIdTaken(
            f"The change {change.change_id} was saved before with other content. Save this under a new id."
        )
    return Done(change_id=change.change_id, revision=revision, repeated=True)


def carry_out(
    connection: Connection,
    owner: str,
    change: Change,
    rows: Sequence[RowChange],
    *,
    new_homes: Mapping[str, str] | None = None,
    checked: bool = False,
    progress: Progress | None = None,
) -> Done:
    """Write rows and remember what they were.

    Parameters
    ----------
    connection : Connection
        In a write that has lined up.
    owner : str
    change : Change
    rows : sequence of RowChange
        At most one for each row. A row that comes from the history keeps its revision; a new content has
        revision 0 and gets the number of this change.
    new_homes : mapping of str to str, optional
        Log of each client that has none yet; one of its own if it is not named.
    checked : bool, default False
        Whether the rules between rows are known to hold afterwards.
    progress : callable, optional
        Told how far it is.

    Raises
    ------
    Conflict
        If another row stands where one of these is to be.
    LogError
        If a rule between rows would be broken.
    """
    revision = line_up(connection, owner) + 1
    numbered = [_numbered(one, revision) for one in rows]
    _put(connection, owner, numbered, progress)
    _settle(connection, owner, numbered, new_homes or {})
    if not checked:
        refuse(broken_rules(connection, owner, numbered))
    _remember(connection, owner, change, numbered, revision)
    return Done(
        change_id=change.change_id,
        revision=revision,
        repeated=False,
        rows=tuple(one.after for one in numbered if one.after is not None),
    )


def insert_into(connection: Connection, table: Table) -> sqlite.Insert | postgresql.Insert:
    """An insert that may say what to do about a row that is there, in the database's own words."""
    return sqlite.insert(table) if connection.dialect.name == "sqlite" else postgresql.insert(table)


def now() -> str:
    """The moment, in UTC, as it is kept."""
    return dt.datetime.now(dt.UTC).isoformat(timespec="milliseconds")


def _numbered(one: RowChange, revision: int) -> RowChange:
    if one.after is None or one.after.revision:
        return one
    return replace(one, after=replace(one.after, revision=revision))


def _put(
    connection: Connection, owner: str, rows: Sequence[RowChange], progress: Progress | None = None
) -> None:
    """All rows out, then in: so that two sets can change places without standing in one for a moment."""
    delete_rows(connection, owner, [one.before for one in rows if one.before is not None])
    after = [one.after for one in rows if one.after is not None]
    # PostgreSQL goes on after an error only from a savepoint; SQLite drops savepoints itself when a disk is full.
    savepoint = nullcontext() if connection.dialect.name == "sqlite" else connection.begin_nested()
    try:
        with savepoint:
            insert_rows(connection, owner, after, progress)
    except IntegrityError:
        _refuse_taken_places(connection, owner, rows)
        raise


def _refuse_taken_places(connection: Connection, owner: str, rows: Sequence[RowChange]) -> None:
    """Say which rows stand in the way, or which of the new ones stand in each other's."""
    own = {(one.table, one.id) for one in rows}
    clashes = [
        Clash(
            table=one.table,
            id=one.id,
            seen=None if one.before is None else one.before.revision,
            mine=one.after.cells,
            theirs=other,
        )
        for one in rows
        if one.after is not None and TABLES[one.table].key
        for other in rows_at(connection, owner, one.after)
        if (other.table, other.id) not in own
    ]
    if clashes:
        raise Conflict(clashes)
    for name in TABLES:
        after = [row for one in rows if one.table == name and (row := one.after) is not None]
        for log in sorted({row.log for row in after}):
            refuse(doubled_rows(name, [row.cells for row in after if row.log == log]))


def _settle(
    connection: Connection, owner: str, rows: Sequence[RowChange], new_homes: Mapping[str, str]
) -> None:
    """Give each new client a log: the one that was asked for, else one of its own, called like the client."""
    clients = {client for one in rows if one.after is not None and (client := client_of(one.after.cells))}
    for client in sorted(clients):
        home = new_homes.get(client, client)
        statement = insert_into(connection, homes).values(owner=owner, client=client, log=home)
        connection.execute(statement.on_conflict_do_nothing())


def _part(one: RowChange) -> str:
    """Client of a row, or what the clients of its log share."""
    row = one.before or one.after
    return "" if row is None else client_of(row.cells) or shared_part(row.log)


def _remember(
    connection: Connection, owner: str, change: Change, rows: Sequence[RowChange], revision: int
) -> None:
    clients = {client_of(one.sides[0]) for one in rows} - {""}
    connection.execute(update(owners).where(owners.c.owner == owner).values(revision=revision))
    connection.execute(
        insert(changes),
        {
            "owner": owner,
            "revision": revision,
            "change_id": change.change_id,
            "digest": change.digest,
            "action": change.action,
            "client": clients.pop() if len(clients) == 1 else "",
            "label": change.label,
            "made_by": change.made_by,
            "made_at": now(),
            "reverses": change.reverses,
            "undone_by": None,
        },
    )
    remembered = [
        {
            "owner": owner,
            "revision": revision,
            "table_name": one.table,
            "row_id": one.id,
            "part": _part(one),
            "before": row_to_text(one.before),
            "left_revision": None if one.after is None else one.after.revision,
        }
        for one in rows
    ]
    if remembered:
        connection.execute(insert(changed_rows), remembered)
    for part in sorted({_part(one) for one in rows}):
        statement = insert_into(connection, touched).values(owner=owner, part=part, revision=revision)
        connection.execute(
            statement.on_conflict_do_update(index_elements=["owner", "part"], set_={"revision": revision})
        )
