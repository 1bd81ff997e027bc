"""Saving what was entered: new rows, edits and deletions, all of them or none (layer: store)."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analysis.errors import OptionError
from analysis.results import Problem
from analysis.schema import TABLES
from dashboard.store.changes import Change, Done, carry_out, done_before, line_up
from dashboard.store.drafts import DraftMark, drop_draft_in
from dashboard.store.engine import Store
from dashboard.store.refusals import Cells, Clash, Conflict, StoredRow
from dashboard.store.rows import canonical_rows, client_of, refuse, rows_by_id, select_rows
from dashboard.store.rules import RowChange
from dashboard.store.stored_logs import canonical_order
from dashboard.store.tables import CLIENT_TABLES, LOG_TABLES


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One row as it shall be.

    Attributes
    ----------
    table : str
        File of the log, such as ``sets``.
    id : str
        Id of the row, made once by the form that enters it.
    cells : mapping of str to object, or None
        Texts or values by column, what is left out is blank; None deletes the row.
    seen : int or None
        Revision of the row this is based on; None for a row that is new.
    log : str
        Log of a new row that belongs to no client, and of a new client; a client that is in no log yet gets
        one of its own if it is ''.
    """

    table: str
    id: str
    cells: Mapping[str, object] | None
    seen: int | None = None
    log: str = ""


def save(
    store: Store,
    owner: str,
    edits: Sequence[Edit],
    *,
    change_id: str,
    label: str = "",
    made_by: str = "",
    draft: DraftMark | None = None,
) -> Done:
    """Save rows in one transaction.

    Parameters
    ----------
    store : Store
    owner : str
    edits : sequence of Edit
        Each row at most once.
    change_id : str
        Made once for this change by whoever asks, so that asking again does nothing.
    label : str, default ""
        What was done, for the history.
    made_by : str, default ""
        Who did it.
    draft : DraftMark, optional
        Draft that is saved by this; dropped with it unless it was written on since.

    Returns
    -------
    Done
        With the rows as they are now; a row that was already as asked is left alone.

    Raises
    ------
    LogError
        If cells, or rows together, break a rule of the log; holds every problem.
    Conflict
        If a row was changed, deleted or entered elsewhere since it was seen; holds both versions.
    ChangeIdTaken
        If `change_id` was used for other content.
    OptionError
        If a file or column is unknown, an id blank or given twice, a row without client without log, or
        a row to change its client.
    StoreError
        If the store cannot be written.
    """
    wanted = _canonical(edits)
    change = Change(
        change_id=change_id,
        digest=_digest(edits, wanted),
        action="save",
        label=label,
        made_by=made_by,
    )
    with store.write() as connection:
        line_up(connection, owner)
        if (before := done_before(connection, owner, change)) is not None:
            return before
        rows, clashes = list[RowChange](), list[Clash]()
        for name in TABLES:
            of_file = [edit for edit in edits if edit.table == name]
            there = rows_by_id(connection, owner, name, [edit.id for edit in of_file])
            for edit in of_file:
                stored, cells = there.get(edit.id), wanted[name, edit.id]
                if (stored.revision if stored else None) != edit.seen and not _is_same(stored, cells):
                    clashes.append(Clash(table=name, id=edit.id, seen=edit.seen, mine=cells, theirs=stored))
                elif not _is_same(stored, cells):
                    rows.append(_row_change(edit, stored, cells))
        if clashes:
            raise Conflict(clashes)
        done = carry_out(connection, owner, change, rows, new_homes=_new_homes(edits, wanted))
        if draft is not None:
            drop_draft_in(connection, owner, draft)
        return done


def stored_rows(store: Store, owner: str, name: str, *, client: str, **cells: str) -> tuple[StoredRow, ...]:
    """Rows of a client in one file, with their ids and revisions, for a form that edits them.

    Parameters
    ----------
    store : Store
    owner : str
    name : str
        File of the log.
    client : str
    **cells : str
        Canonical cells to look for, such as ``date="2026-03-02"``.
    """
    columns = LOG_TABLES[name].c
    with store.read() as connection:
        conditions = (columns[column] == cell for column, cell in cells.items())
        found = list(select_rows(connection, owner, name, columns.client == client, *conditions))
    order = canonical_order(TABLES[name])
    return tuple(sorted(found, key=lambda row: order(tuple(row.cells.values()))))


def _canonical(edits: Sequence[Edit]) -> dict[tuple[str, str], Cells | None]:
    """Canonical cells of every edit; LogError with the problems of all of them."""
    wanted: dict[tuple[str, str], Cells | None] = {}
    problems = list[Problem]()
    for edit in edits:
        if edit.table not in TABLES:
            raise OptionError(f"There is no file {edit.table!r} in a log; there are: {', '.join(TABLES)}.")
        if not edit.id or (edit.table, edit.id) in wanted:
            raise OptionError(f"The id {edit.id!r} is blank or given twice; make one for every row.")
        wanted[edit.table, edit.id] = None
    for name in TABLES:
        of_file = [edit for edit in edits if edit.table == name and edit.cells is not None]
        cells, found = canonical_rows(name, [edit.cells for edit in of_file if edit.cells is not None])
        problems += found
        wanted |= {(name, edit.id): row for edit, row in zip(of_file, cells, strict=True)}
    refuse(problems)
    return wanted


def _digest(edits: Sequence[Edit], wanted: Mapping[tuple[str, str], Cells | None]) -> str:
    said = sorted(
        (edit.table, edit.id, edit.seen or 0, _filled(wanted[edit.table, edit.id])) for edit in edits
    )
    return hashlib.sha256(json.dumps(said, ensure_ascii=False).encode()).hexdigest()


def _filled(cells: Cells | None) -> list[tuple[str, str]]:
    return [("", "")] if cells is None else sorted((name, cell) for name, cell in cells.items() if cell)


def _is_same(stored: StoredRow | None, cells: Cells | None) -> bool:
    return (stored.cells if stored else None) == cells


def _row_change(edit: Edit, stored: StoredRow | None, cells: Cells | None) -> RowChange:
    after = None
    if cells is not None:
        is_shared = edit.table not in CLIENT_TABLES
        log = (stored.log if stored else edit.log) if is_shared else ""
        if is_shared and not log:
            raise OptionError(f"A row of {edit.table} belongs to no client; say which log it is for.")
        after = StoredRow(table=edit.table, id=edit.id, revision=0, cells=cells, log=log)
        if stored is not None and client_of(stored.cells) != client_of(cells):
            raise OptionError("A row stays with its client; delete it and enter it for the other one.")
    return RowChange(table=edit.table, id=edit.id, before=stored, after=after)


def _new_homes(edits: Sequence[Edit], wanted: Mapping[tuple[str, str], Cells | None]) -> dict[str, str]:
    named = ((wanted[edit.table, edit.id], edit.log) for edit in edits if edit.table in CLIENT_TABLES)
    return {client_of(cells): log for cells, log in named if cells is not None and log}
