"""Kills a program with SIGKILL at random moments while it writes, and looks at what it left behind."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import text

from dashboard.store.backup import back_up
from dashboard.store.drafts import DraftMark, put_draft, read_drafts
from dashboard.store.engine import Store, connect, store_url
from dashboard.store.history import history
from dashboard.store.import_plan import ImportPlan, plan_import
from dashboard.store.imports import carry_out_import
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.schema_version import bring_up_to_date, kept_copies, open_store
from tests.small_logs import small_log, squat
from tests.store.entries import OWNER, a_set, contents, put

N_ROWS = 200
N_SAVES = 6
LATEST = 0.8
"""Moments are spread over this part of the time that the whole deed takes."""
SOONER = 0.9
"""After a kill that came too late the rest come by this much sooner: machines are not always as fast."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kills:
    """How often a deed was cut short.

    Attributes
    ----------
    n : int
        Kills, of which every one left a sound store.
    n_before_commit : int
        Those after which what was being written was not there.
    """

    n: int
    n_before_commit: int


def kill_during(deed: Callable[[int], None], look: Callable[[bytes], bool], moment_s: float | None) -> float:
    """Do a deed in a process of its own and kill it; the seconds it ran come back.

    Parameters
    ----------
    deed : callable
        Gets a handle to write to: what is written there was acknowledged.
    look : callable
        Gets what was acknowledged.
    moment_s : float or None
        Seconds after the beginning; None lets it finish.
    """
    reader, writer = os.pipe()
    begun = time.perf_counter()
    child = os.fork()
    if child == 0:
        try:
            os.close(reader)
            deed(writer)
        finally:
            os._exit(0)
    os.close(writer)
    if moment_s is not None:
        time.sleep(moment_s)
        os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    ran = time.perf_counter() - begun
    with os.fdopen(reader, "rb") as handle:
        look(handle.read())
    return ran


def kill_often(
    deed: Callable[[int], None], look: Callable[[bytes], bool], fresh: Callable[[], object], n: int, seed: int
) -> Kills:
    """Kill a deed at many moments, each time from the same state; `look` says whether it was all there."""
    chance = random.Random(seed)
    finished: list[bool] = []

    def count(acknowledged: bytes) -> bool:
        finished.append(look(acknowledged))
        return finished[-1]

    fresh()
    whole = kill_during(deed, count, None)
    assert finished.pop(), "undisturbed, it does not get done"
    latest_s = LATEST * whole
    for _ in range(n):
        fresh()
        kill_during(deed, count, chance.uniform(0, latest_s))
        latest_s *= SOONER if finished[-1] else 1
    return Kills(n=n, n_before_commit=finished.count(False))


def during_import(address: str, fresh: Callable[[], object], n: int) -> Kills:
    """All rows of the import are there, or none."""
    fresh()
    store = open_store(address)
    plan = plan_import(
        store, OWNER, [("hill", small_log([squat(i // 9, i % 9 + 1, 10, 0) for i in range(N_ROWS)]))]
    )
    before = contents(store)
    store.close()

    def look(acknowledged: bytes) -> bool:
        return in_order(address, lambda store: _all_or_nothing(store, plan, before, acknowledged))

    return kill_often(lambda writer: _import(address, plan, writer), look, fresh, n, seed=1)


def _import(address: str, plan: ImportPlan, writer: int) -> None:
    carry_out_import(open_store(address), OWNER, plan, change_id="the import")
    os.write(writer, b"1")


def _all_or_nothing(
    store: Store, plan: ImportPlan, before: list[tuple[str, ...]], acknowledged: bytes
) -> bool:
    n_new = len(contents(store)) - len(before)
    assert n_new in (0, len(plan.new))
    assert len(history(store, OWNER)) == (n_new > 0)
    assert n_new > 0 or not acknowledged
    return n_new > 0


def during_saves(address: str, fresh: Callable[[], object], n: int) -> Kills:
    """Each set that was acknowledged is there, and the draft of the one after it; no half of any."""

    def deed(writer: int) -> None:
        store = open_store(address)
        for number in range(1, N_SAVES + 1):
            mark = DraftMark(name="session", number=number)
            put_draft(store, OWNER, mark, client="K-1", content=f"set {number}")
            os.write(writer, b"d")
            edits = [
                Edit(table="sets", id=f"s{number}", cells=a_set(number)),
                Edit(
                    table="tasks",
                    id=f"t{number}",
                    cells={
                        "client": "K-1",
                        "date": "2026-03-02",
                        "task": f"stairs {number}",
                        "difficulty": 3,
                    },
                ),
            ]
            save(store, OWNER, edits, change_id=f"c{number}", draft=mark)
            os.write(writer, b"s")

    def sound(store: Store, acknowledged: bytes) -> bool:
        n_sets = len(stored_rows(store, OWNER, "sets", client="K-1"))
        n_drafted, n_saved = acknowledged.count(b"d"), acknowledged.count(b"s")
        assert len(stored_rows(store, OWNER, "tasks", client="K-1")) == n_sets == len(history(store, OWNER))
        assert n_saved <= n_sets <= n_saved + 1
        drafts = [draft.mark.number for draft in read_drafts(store, OWNER)]
        assert drafts in ([], [n_sets + 1])
        assert n_drafted <= n_sets or drafts, "a draft that was acknowledged is gone"
        return n_sets == N_SAVES

    return kill_often(
        deed,
        lambda acknowledged: in_order(address, lambda store: sound(store, acknowledged)),
        fresh,
        n,
        seed=2,
    )


def during_migration(folder: Path, n: int) -> Kills:
    """The schema is the older or the newer one, every row is there, and opening it again finishes the work."""
    older, path = folder / "older.sqlite", folder / "killed" / "store.sqlite"
    store = connect(store_url(str(older)))
    bring_up_to_date(store, target="0001")
    for number in range(1, 9):
        put(store, "sets", a_set(number))
    store.close()

    def fresh() -> None:
        shutil.rmtree(path.parent, ignore_errors=True)
        path.parent.mkdir()
        shutil.copy(older, path)

    def look(acknowledged: bytes) -> bool:
        store = connect(store_url(str(path)))
        with store.read() as connection:
            version = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
            names = connection.execute(text("SELECT name FROM sqlite_master WHERE name = 'drafts'")).all()
        store.close()
        assert (version, len(names)) in (("0001", 0), ("0002", 1))
        assert version == "0002" or not acknowledged
        in_order(
            str(path), lambda store: len(stored_rows(store, OWNER, "sets", client="K-1")) == 8 or _lost()
        )
        copies = kept_copies(connect(store_url(str(path))))
        assert copies, "migrated without a copy"
        for copy in copies:
            kept = connect(store_url(str(copy)))
            assert len(stored_rows(kept, OWNER, "sets", client="K-1")) == 8
            kept.close()
        return version == "0002"

    def deed(writer: int) -> None:
        open_store(str(path))
        os.write(writer, b"1")

    return kill_often(deed, look, fresh, n, seed=3)


def during_backup(address: str, fresh: Callable[[], object], folder: Path, n: int) -> Kills:
    """The copy is not there, or whole; the store is as it was, and the next backup works."""
    path = folder / "copy.sqlite"
    fresh()
    store = open_store(address)
    plan = plan_import(
        store, OWNER, [("hill", small_log([squat(i // 9, i % 9 + 1, 10, 0) for i in range(N_ROWS)]))]
    )
    carry_out_import(store, OWNER, plan, change_id="the import")
    expected = contents(store)
    store.close()

    def deed(writer: int) -> None:
        back_up(open_store(address), path)
        os.write(writer, b"1")

    def look(acknowledged: bytes) -> bool:
        is_there = path.exists()
        assert is_there or not acknowledged
        in_order(address, lambda store: contents(store) == expected or _lost())
        if not is_there:
            store = open_store(address)
            back_up(store, path)
            store.close()
        in_order(str(path), lambda store: contents(store) == expected or _lost())
        left = [one.name for one in folder.iterdir() if one.name.startswith(".copy")]
        assert left == []
        for ending in ("", "-wal", "-shm"):
            path.with_name(path.name + ending).unlink(missing_ok=True)
        return is_there

    return kill_often(deed, look, lambda: None, n, seed=4)


def in_order(address: str, look: Callable[[Store], bool]) -> bool:
    """Open a store as a program would after a crash; its file is whole, and then `look`."""
    store = open_store(address)
    try:
        if store.is_sqlite:
            with store.read() as connection:
                assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
                assert connection.exec_driver_sql("PRAGMA foreign_key_check").first() is None
        return look(store)
    finally:
        store.close()


def _lost() -> bool:
    raise AssertionError("rows are lost")
