"""Drafts: what is being entered, kept at every edit through reload, crash and restart (layer: store)."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, delete, select

from dashboard.store.changes import insert_into, now
from dashboard.store.engine import Store
from dashboard.store.tables import drafts


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftMark:
    """A state of a draft.

    Attributes
    ----------
    name : str
        Made once by the form, such as the id of the session that is entered.
    number : int
        Counted up by the form at every edit; a late arrival does not undo a later edit.
    """

    name: str
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What was entered and not saved yet.

    Attributes
    ----------
    mark : DraftMark
    client : str
    content : str
        As the form wrote it.
    written_at : str
        Moment in UTC.
    """

    mark: DraftMark
    client: str
    content: str
    written_at: str


def put_draft(store: Store, owner: str, mark: DraftMark, *, client: str, content: str) -> None:
    """Keep a draft in place of its earlier states; a state that is not later than the kept one is passed over.

    Raises
    ------
    StoreError
        If the store cannot be written.
    """
    with store.write() as connection:
        values = {"client": client, "number": mark.number, "content": content, "written_at": now()}
        statement = insert_into(connection, drafts).values(owner=owner, name=mark.name, **values)
        connection.execute(
            statement.on_conflict_do_update(
                index_elements=["owner", "name"], set_=values, where=drafts.c.number < mark.number
            )
        )


def read_drafts(store: Store, owner: str, *, client: str | None = None) -> tuple[Draft, ...]:
    """Drafts of an owner, or of one client, the last written first."""
    query = select(drafts).where(drafts.c.owner == owner)
    if client is not None:
        query = query.where(drafts.c.client == client)
    with store.read() as connection:
        found = [
            Draft(
                mark=DraftMark(name=row.name, number=row.number),
                client=row.client,
                content=row.content,
                written_at=row.written_at,
            )
            for row in connection.execute(query)
        ]
    return tuple(sorted(found, key=lambda draft: (draft.written_at, draft.mark.name), reverse=True))


def drop_draft(store: Store, owner: str, mark: DraftMark) -> None:
    """Throw a draft away, unless it was written on since."""
    with store.write() as connection:
        drop_draft_in(connection, owner, mark)


def drop_draft_in(connection: Connection, owner: str, mark: DraftMark) -> None:
    """The same within a write."""
    connection.execute(
        delete(drafts).where(
            drafts.c.owner == owner, drafts.c.name == mark.name, drafts.c.number <= mark.number
        )
    )


def drop_drafts_before(store: Store, owner: str, moment: str) -> int:
    """Throw away drafts nobody wrote on since a moment in UTC, such as ``2026-03-02``; their number comes back."""
    with store.write() as connection:
        result = connection.execute(
            delete(drafts).where(drafts.c.owner == owner, drafts.c.written_at < moment)
        )
        return int(result.rowcount)
