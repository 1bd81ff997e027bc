"""Opening a store: made for one person, brought up to date with a copy kept, refused when newer or no store."""

from __future__ import annotations

import os
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import text

from dashboard.store.engine import Store, connect, store_url
from dashboard.store.forget import forget
from dashboard.store.history import undo
from dashboard.store.records import stored_rows
from dashboard.store.refusals import StoreError
from dashboard.store.schema_version import bring_up_to_date, kept_copies, open_store
from dashboard.store.tables import metadata
from tests.store.entries import OWNER, a_set, new_id, put


def test_the_tables_are_those_the_program_uses(store: Store) -> None:
    with store.read() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_a_new_store_is_a_file_of_ones_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("EBBLINE_DATA", str(tmp_path / "mine"))
    store = open_store()
    put(store, "sets", a_set())
    assert store.file == tmp_path / "mine" / "ebbline.sqlite"
    rights = [stat.S_IMODE(path.stat().st_mode) for path in (store.file.parent, *store.file.parent.iterdir())]
    store.close()
    assert rights[0] == 0o700
    assert set(rights[1:]) == {0o600}


def test_an_address_is_found_in_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("EBBLINE_STORE", f"sqlite:///{tmp_path}/there.sqlite")
    assert store_url().database == f"{tmp_path}/there.sqlite"
    assert store_url("postgresql://ana@db/logs").drivername == "postgresql+psycopg"
    with pytest.raises(StoreError, match="give a file, sqlite"):
        store_url("mysql://ana:secret@db/logs")
    with pytest.raises(StoreError) as refused:
        store_url("mysql://ana:secret@db/logs")
    assert "secret" not in str(refused.value)


@pytest.fixture(params=["sqlite", "postgresql"])
def older(request: pytest.FixtureRequest, tmp_path: Path) -> Store:
    """A store as the first schema had it, with a set in it."""
    is_file = request.param == "sqlite"
    address = str(tmp_path / "older.sqlite") if is_file else request.getfixturevalue("new_database")
    store = connect(store_url(address))
    bring_up_to_date(store, target="0001")
    put(store, "sets", a_set())
    yield store
    store.close()


def address_of(store: Store) -> str:
    return store.engine.url.render_as_string(hide_password=False)


def test_an_older_store_is_brought_up_to_date_and_a_copy_kept(older: Store) -> None:
    store = open_store(address_of(older))
    assert len(stored_rows(store, OWNER, "sets", client="K-1")) == 1
    (copy,) = kept_copies(store)
    kept = connect(store_url(str(copy)))
    with kept.read() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).scalar() == "0001"
    assert len(stored_rows(kept, OWNER, "sets", client="K-1")) == 1
    kept.close()
    undo(store, OWNER, change_id=new_id())
    assert bring_up_to_date(store) is None
    store.close()


def test_forgetting_a_client_takes_the_kept_copies_that_have_it(older: Store) -> None:
    store = open_store(address_of(older))
    (copy,) = kept_copies(store)
    assert forget(store, OWNER, "K-1").copies == (copy,)
    assert not copy.exists()
    store.close()


def test_a_newer_store_is_refused_and_left_alone(store: Store) -> None:
    with store.write() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(StoreError, match="newer Ebbline"):
        open_store(address_of(store))
    with store.write() as connection:
        assert connection.execute(text("SELECT version_num FROM alembic_version")).scalar() == "9999"
        connection.execute(text("UPDATE alembic_version SET version_num = '0002'"))


def test_a_file_that_is_no_store_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text(
        "not a database, but long enough to look like one " * 40, encoding="utf-8"
    )
    with pytest.raises(StoreError, match="no store"):
        open_store(str(tmp_path / "notes.txt"))
    with closing(sqlite3.connect(tmp_path / "other.sqlite")) as connection:
        connection.execute("CREATE TABLE photos (id)")
    with pytest.raises(StoreError, match="holds other tables"):
        open_store(str(tmp_path / "other.sqlite"))


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(StoreError, match="cannot be made"):
        open_store(str(tmp_path / "file" / "store.sqlite"))
    with pytest.raises(StoreError, match="could not be read"):
        open_store(f"postgresql+psycopg://nobody@/none?host={tmp_path}")


def test_every_write_takes_its_turn_at_once(sqlite_url: str) -> None:
    store = open_store(sqlite_url)
    said = []
    store_events = []
    with store.engine.connect() as connection:
        raw = connection.connection.dbapi_connection
        assert raw is not None
        raw.set_trace_callback(said.append)
    with store.write() as connection:
        connection.execute(text("SELECT 1"))
    with store.read() as connection:
        connection.execute(text("SELECT 2"))
        for pragma, value in {
            "journal_mode": "wal",
            "foreign_keys": 1,
            "secure_delete": 1,
            "synchronous": 2,
        }.items():
            assert connection.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value
    store.close()
    assert store_events == []
    assert said[:2] == ["BEGIN IMMEDIATE", "SELECT 1"]
    assert said[3:5] == ["BEGIN", "SELECT 2"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everything")
def test_a_file_that_may_only_be_read_is_told(sqlite_url: str) -> None:
    store = open_store(sqlite_url)
    assert store.file is not None
    store.file.chmod(0o400)
    with pytest.raises(StoreError, match="may only be read"):
        put(store, "sets", a_set())
    store.close()
