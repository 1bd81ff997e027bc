"""What goes wrong around a store: a full disk, a lock held by another program, a server that goes away."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from threading import Event, Thread

import pytest
from sqlalchemy import make_url, text
from sqlalchemy.exc import IntegrityError

from dashboard.store.backup import back_up
from dashboard.store.engine import Store
from dashboard.store.history import undo
from dashboard.store.import_plan import plan_import
from dashboard.store.imports import carry_out_import
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.refusals import StoreError
from dashboard.store.schema_version import open_store
from tests.small_logs import small_log, squat
from tests.store.entries import OWNER, a_set, contents, new_id, put
from tests.store.servers import HOW_TO_GET_ONE, Server, server_programs


def test_a_full_disk_is_told_and_nothing_is_half_written(sqlite_url: str) -> None:
    store = open_store(sqlite_url)
    put(store, "sets", a_set())
    before = contents(store)
    plan = plan_import(
        store, OWNER, [("hill", small_log([squat(i // 9, i % 9 + 1, 10, 0) for i in range(900)]))]
    )
    with store.engine.connect() as connection:  # the only one there is, so the next write gets it
        n_pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        assert n_pages is not None
        connection.exec_driver_sql(f"PRAGMA max_page_count={n_pages + 4}")
    with pytest.raises(StoreError, match=r"the disk is full. Nothing of this was saved"):
        carry_out_import(store, OWNER, plan, change_id="the import")
    assert contents(store) == before
    with store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count=1000000")
    assert carry_out_import(store, OWNER, plan, change_id="the import") is not None
    assert len(contents(store)) == 901
    store.close()


def test_no_word_of_a_client_reaches_a_log_of_errors(store: Store) -> None:
    statement = text("INSERT INTO drafts (owner, name, client) VALUES (:owner, :name, :client)")
    with pytest.raises(IntegrityError) as failed, store.write() as connection:
        connection.execute(statement, {"owner": OWNER, "name": "n", "client": "Zebra-77"})
    assert "Zebra-77" not in str(failed.value).replace(str(failed.value.orig), "")


def locked_by_another(path: str, held: Event, free: Event) -> None:
    """Hold the store's lock as another program would."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        held.set()
        free.wait(30)
        connection.execute("ROLLBACK")


@pytest.fixture
def lock(sqlite_url: str) -> Iterator[tuple[str, Event]]:
    """A store that another program writes to until it is told to end."""
    held, free = Event(), Event()
    thread = Thread(target=locked_by_another, args=(make_url(sqlite_url).database, held, free))
    thread.start()
    held.wait(30)
    yield sqlite_url, free
    free.set()
    thread.join()


def test_a_lock_of_another_program_is_waited_for(lock: tuple[str, Event]) -> None:
    url, free = lock
    store = open_store(url)
    with ThreadPoolExecutor(1) as pool:
        saving = pool.submit(put, store, "sets", a_set())
        assert stored_rows(store, OWNER, "sets", client="K-1") == ()  # reading goes on
        assert not saving.done()
        free.set()
        assert not saving.result(30).repeated
    assert len(stored_rows(store, OWNER, "sets", client="K-1")) == 1
    store.close()


def test_a_lock_that_is_never_given_back_is_told(lock: tuple[str, Event], tmp_path: Path) -> None:
    url, free = lock
    store = open_store(url, longest_wait_s=0.2)
    edit, change_id = Edit(table="sets", id=new_id(), cells=a_set()), new_id()
    with pytest.raises(
        StoreError, match=r"another program has been using it for too long. Nothing of this was saved"
    ):
        save(store, OWNER, [edit], change_id=change_id)
    back_up(store, tmp_path / "copy.sqlite")  # a copy needs no lock
    free.set()
    store.close()
    store = open_store(url)
    assert not save(store, OWNER, [edit], change_id=change_id).repeated
    store.close()


def test_writers_of_one_client_lose_nothing(store: Store) -> None:
    n_writers, n_each = 4, 6

    def write(writer: int) -> None:
        for number in range(n_each):
            put(store, "sets", a_set(writer * n_each + number + 1))

    with ThreadPoolExecutor(n_writers) as pool:
        list(pool.map(write, range(n_writers)))
    assert len(stored_rows(store, OWNER, "sets", client="K-1")) == n_writers * n_each
    for _ in range(n_writers * n_each):
        undo(store, OWNER, change_id=new_id())
    assert contents(store) == []


def test_a_server_that_stops_in_the_middle_is_told_and_comes_back() -> None:
    programs = server_programs()
    if programs is None:
        pytest.skip(HOW_TO_GET_ONE)
    with Server(programs) as server:
        store = open_store(server.url("postgres"))
        put(store, "sets", a_set(1))
        server.stop()
        edit, change_id = Edit(table="sets", id=new_id(), cells=a_set(2)), new_id()
        with pytest.raises(StoreError, match=r"could not be written.*Nothing of this was saved"):
            save(store, OWNER, [edit], change_id=change_id)
        server.start()
        assert not save(store, OWNER, [edit], change_id=change_id).repeated
        assert save(store, OWNER, [edit], change_id=change_id).repeated
        assert len(stored_rows(store, OWNER, "sets", client="K-1")) == 2
        store.close()
