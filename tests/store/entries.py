"""Rows to save in the tests of the store."""

from __future__ import annotations

from itertools import count

from analysis.log import log_fingerprint
from analysis.schema import TABLES
from analysis.training_log import TrainingLog
from dashboard.store.changes import Done
from dashboard.store.engine import Store
from dashboard.store.import_plan import OnChanged, plan_import
from dashboard.store.imports import carry_out_import
from dashboard.store.records import Edit, save
from dashboard.store.rows import select_rows
from dashboard.store.stored_logs import homes_of, logs_of, stored_log

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


def add(
    store: Store, *logs: tuple[str, TrainingLog], on_changed: OnChanged = "ask", owner: str = OWNER
) -> Done | None:
    """Plan and carry out an import."""
    plan = plan_import(store, owner, logs, on_changed=on_changed)
    return carry_out_import(store, owner, plan, change_id=new_id())


def contents(store: Store, owner: str = OWNER) -> list[tuple[str, ...]]:
    """Every row of every file: its log, its file, its cells."""
    with store.read() as connection:
        homes = homes_of(connection, owner)
        return sorted(
            (row.log or homes[row.cells["client"]], name, *row.cells.values())
            for name in TABLES
            for row in select_rows(connection, owner, name)
        )


def log_names(store: Store) -> list[str]:
    """Names of the logs that hold anything."""
    return sorted({row[0] for row in contents(store)})


def fingerprints(store: Store) -> dict[str, str]:
    """Fingerprint of every log of the store."""
    with store.read() as connection:
        return {
            name: log_fingerprint(stored_log(connection, OWNER, name, clients))
            for name, clients in logs_of(connection, OWNER).items()
        }
