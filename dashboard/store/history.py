"""The history of a log: what was changed, undo and redo, earlier versions of a row (layer: store)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sqlalchemy import ColumnElement, Connection, and_, exists, func, select, update

from analysis.errors import OptionError
from dashboard.store.changes import Change, Done, carry_out, done_before, line_up
from dashboard.store.engine import Store
from dashboard.store.refusals import Clash, Conflict, StoredRow
from dashboard.store.rows import row_from_text, rows_by_id
from dashboard.store.rules import RowChange
from dashboard.store.tables import changed_rows, changes

_OWN_ACTIONS = ("save", "import")
"""What can be undone; an undo itself is taken back by a redo."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One change in the history.

    Attributes
    ----------
    revision : int
        Its number.
    change_id, action, label, made_by, made_at : str
        See `changes.Change`; the moment is in UTC.
    client : str
        '' when it is about several clients, or none.
    n_rows : int
        Rows it changed.
    undone : bool
        Whether it was taken back, and not done again.
    """

    revision: int
    change_id: str
    action: str
    client: str
    label: str
    made_by: str
    made_at: str
    n_rows: int
    undone: bool


def history(store: Store, owner: str, *, client: str | None = None, limit: int = 100) -> tuple[Entry, ...]:
    """Changes of an owner that changed anything, the last first; those that touched one client if it is named."""
    touches = changed_rows.c.part == client if client is not None else None
    n_rows = select(func.count()).where(_of_change()).scalar_subquery()
    query = (
        select(changes, n_rows.label("n_rows"))
        .where(changes.c.owner == owner, _has_rows(touches))
        .order_by(changes.c.revision.desc())
        .limit(limit)
    )
    with store.read() as connection:
        return tuple(
            Entry(
                revision=row.revision,
                change_id=row.change_id,
                action=row.action,
                client=row.client,
                label=row.label,
                made_by=row.made_by,
                made_at=row.made_at,
                n_rows=row.n_rows,
                undone=row.undone_by is not None,
            )
            for row in connection.execute(query)
        )


def row_versions(store: Store, owner: str, table: str, row_id: str) -> tuple[StoredRow | None, ...]:
    """Every state of a row, the first one first; None while it was not there."""
    query = (
        select(changed_rows.c.before)
        .where(
            changed_rows.c.owner == owner,
            changed_rows.c.table_name == table,
            changed_rows.c.row_id == row_id,
        )
        .order_by(changed_rows.c.revision)
    )
    with store.read() as connection:
        earlier = [row_from_text(table, row_id, text) for text in connection.execute(query).scalars()]
        return (*earlier, rows_by_id(connection, owner, table, [row_id]).get(row_id))


def undo(
    store: Store,
    owner: str,
    *,
    change_id: str,
    client: str | None = None,
    revision: int | None = None,
    made_by: str = "",
) -> Done:
    """Take back the last change, or a certain one; the store is as before it.

    Parameters
    ----------
    store : Store
    owner : str
    change_id : str
        Made once for this undo, so that asking again does nothing.
    client : str, optional
        Looks among the changes of this client alone.
    revision : int, optional
        Number of the change to take back; the last one that is not undone if None.
    made_by : str, default ""

    Returns
    -------
    Done

    Raises
    ------
    OptionError
        If there is nothing to undo.
    Conflict
        If rows of it were changed since; nothing is overwritten.
    LogError
        If a rule of the log would be broken without it.
    """
    return _reverse(store, owner, "undo", change_id, client, revision, made_by)


def redo(
    store: Store,
    owner: str,
    *,
    change_id: str,
    client: str | None = None,
    revision: int | None = None,
    made_by: str = "",
) -> Done:
    """Do again what was undone last and not followed by another change, or a certain undone change.

    Parameters and what is raised are those of `undo`; `revision` is the number of the change that was
    undone.
    """
    return _reverse(store, owner, "redo", change_id, client, revision, made_by)


def _reverse(
    store: Store,
    owner: str,
    action: Literal["undo", "redo"],
    change_id: str,
    client: str | None,
    revision: int | None,
    made_by: str,
) -> Done:
    digest = f"{action} {'last' if revision is None else revision} {client or ''}".strip()
    with store.write() as connection:
        line_up(connection, owner)
        asked = Change(change_id=change_id, digest=digest, action=action, made_by=made_by)
        if (before := done_before(connection, owner, asked)) is not None:
            return before
        find = _last_done if action == "undo" else _last_undone
        found = find(connection, owner, client, revision)
        if found is None:
            which = "" if revision is None else f" in change {revision}"
            raise OptionError(f"There is nothing to {action}{which}.")
        original, label, undone_by = found
        reversed_one = original if undone_by is None else undone_by
        change = Change(
            change_id=change_id,
            digest=digest,
            action=action,
            label=label,
            made_by=made_by,
            reverses=reversed_one,
        )
        done = carry_out(connection, owner, change, _rows_back(connection, owner, reversed_one))
        connection.execute(
            update(changes)
            .where(changes.c.owner == owner, changes.c.revision == original)
            .values(undone_by=done.revision if action == "undo" else None)
        )
        return done


def _last_done(
    connection: Connection, owner: str, client: str | None, revision: int | None
) -> tuple[int, str, None] | None:
    query = (
        select(changes.c.revision, changes.c.label)
        .where(*_scope(owner, client, revision), changes.c.undone_by.is_(None))
        .order_by(changes.c.revision.desc())
        .limit(1)
    )
    found = connection.execute(query).one_or_none()
    return None if found is None else (found.revision, found.label, None)


def _last_undone(
    connection: Connection, owner: str, client: str | None, revision: int | None
) -> tuple[int, str, int] | None:
    query = (
        select(changes.c.revision, changes.c.label, changes.c.undone_by)
        .where(*_scope(owner, client, revision), changes.c.undone_by.is_not(None))
        .order_by(changes.c.undone_by.desc())
        .limit(1)
    )
    found = connection.execute(query).one_or_none()
    if found is None:
        return None
    if revision is None:
        newest = select(func.max(changes.c.revision)).where(*_scope(owner, client, None))
        if (connection.execute(newest).scalar() or 0) > found.undone_by:
            return None  # something else was done since
    return found.revision, found.label, found.undone_by


def _scope(owner: str, client: str | None, revision: int | None) -> Sequence[ColumnElement[bool]]:
    """Changes of one's own that changed something."""
    conditions = [changes.c.owner == owner, changes.c.action.in_(_OWN_ACTIONS), _has_rows()]
    if client is not None:
        conditions.append(changes.c.client == client)
    if revision is not None:
        conditions.append(changes.c.revision == revision)
    return conditions


def _of_change() -> ColumnElement[bool]:
    return and_(changed_rows.c.owner == changes.c.owner, changed_rows.c.revision == changes.c.revision)


def _has_rows(condition: ColumnElement[bool] | None = None) -> ColumnElement[bool]:
    rows = exists().where(_of_change())
    return rows if condition is None else rows.where(condition)


def _rows_back(connection: Connection, owner: str, revision: int) -> list[RowChange]:
    """What takes a change back, row by row; Conflict where a row is no longer as the change left it."""
    query = select(changed_rows).where(changed_rows.c.owner == owner, changed_rows.c.revision == revision)
    by_file: dict[str, list[tuple[str, str | None, int | None]]] = {}
    for row in connection.execute(query):
        by_file.setdefault(row.table_name, []).append((row.row_id, row.before, row.left_revision))
    back, clashes = list[RowChange](), list[Clash]()
    for name, rows in by_file.items():
        there = rows_by_id(connection, owner, name, [row_id for row_id, _, _ in rows])
        for row_id, before, left in rows:
            stored, wanted = there.get(row_id), row_from_text(name, row_id, before)
            if (None if stored is None else stored.revision) != left:
                mine = None if wanted is None else wanted.cells
                clashes.append(Clash(table=name, id=row_id, seen=left, mine=mine, theirs=stored))
            else:
                back.append(RowChange(table=name, id=row_id, before=stored, after=wanted))
    if clashes:
        raise Conflict(clashes)
    return back
