"""What the store says when it does not do what was asked; nothing was changed then (layer: store)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from analysis.errors import EbblineError

Cells = Mapping[str, str]
"""Canonical cell of every column by name; '' is blank."""


class StoreError(EbblineError):
    """The store could not be opened, read or written; the message says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredRow:
    """One row as it is in the store.

    Attributes
    ----------
    table : str
        Name of the file of the log, such as ``sets``.
    id : str
        Made by whoever entered the row, and never reused for another.
    revision : int
        Number of the change that wrote this content. The same number is always the same content, so a row
        that an undo brings back has its earlier revision again.
    cells : mapping of str to str
    log : str
        Log the row belongs to where it belongs to no client; '' otherwise.
    """

    table: str
    id: str
    revision: int
    cells: Cells
    log: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """One row that two people wrote.

    Attributes
    ----------
    table, id : str
        The row that was to be saved.
    seen : int or None
        Revision it was based on; None for a new row.
    mine : mapping of str to str or None
        What was to be saved; None for a deletion.
    theirs : StoredRow or None
        What is stored instead, perhaps under another id; None when the row was deleted.
    """

    table: str
    id: str
    seen: int | None
    mine: Cells | None
    theirs: StoredRow | None


class Conflict(StoreError):
    """Somebody else was faster; nothing was overwritten and both versions are here.

    Parameters
    ----------
    clashes : sequence of Clash
        Every row concerned. Never empty.
    """

    def __init__(self, clashes: Sequence[Clash]) -> None:
        self.clashes = tuple(clashes)
        rows = "1 row was" if len(self.clashes) == 1 else f"{len(self.clashes)} rows were"
        super().__init__(
            f"Also entered elsewhere: {rows} changed meanwhile, and nothing of this was saved."
            " Keep theirs, or save yours over it."
        )


class ChangeIdTaken(StoreError):
    """The id of a change was used before for something else; the content is not saved under it."""
