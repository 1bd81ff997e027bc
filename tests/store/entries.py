"""Rows to save in the tests of the store."""

from __future__ import annotations

from itertools import count

from dashboard.store.changes import Done
from dashboard.store.engine import Store
from dashboard.store.records import Edit, save

OWNER = "ana"
_IDS = count(1)


def new_id() -> str:
    """An id that no other row or change of the tests has."""
    return f"id-{next(_IDS)}"


def a_set(number: int = 1, **cells: object) -> dict[str, object]:
    """Cells of one sound set."""
    return {
        "client": "K-1",
        "date": "2026-03-02",
        "set": number,
        "exercise": "step-down",
        "side": "left",
        "load": 12,
        "reps": 8,
        "pain_left": 1,
        **cells,
    }


def put(store: Store, table: str, cells: dict[str, object], owner: str = OWNER) -> Done:
    """Save one new row."""
    return save(store, owner, [Edit(table=table, id=new_id(), cells=cells)], change_id=new_id())
