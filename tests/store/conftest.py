"""Fixtures of the store: the same tests on an SQLite file and on a PostgreSQL server."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import make_url, text

from dashboard.store.engine import Store, connect
from dashboard.store.schema_version import open_store
from dashboard.store.tables import metadata
from tests.store.servers import HOW_TO_GET_ONE, MEMORY, Server, server_programs

_NUMBERS = count(1)
EMPTY = f"TRUNCATE {', '.join(name for name in metadata.tables)}"


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL server, started once; without one its tests are skipped and say so."""
    programs = server_programs()
    if programs is None:
        pytest.skip(HOW_TO_GET_ONE)
    with Server(programs) as running:
        running.sql("CREATE DATABASE migrated")
        open_store(running.url("migrated")).close()
        yield running


@pytest.fixture(scope="session")
def quick_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder in memory where there is such a place, with an empty store ``migrated.sqlite``."""
    there = os.access(MEMORY, os.W_OK)
    folder = Path(tempfile.mkdtemp(dir=MEMORY)) if there else tmp_path_factory.mktemp("stores")
    open_store(str(folder / "migrated.sqlite")).close()
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def sqlite_url(quick_folder: Path) -> str:
    """Address of an empty store in a file of its own."""
    path = quick_folder / f"store{next(_NUMBERS)}" / "store.sqlite"
    path.parent.mkdir()
    shutil.copy(quick_folder / "migrated.sqlite", path)
    return f"sqlite:///{path}"


@pytest.fixture
def postgresql_url(server: Server) -> str:
    """Address of an empty store on a server."""
    store = connect(make_url(server.url("migrated")))
    with store.write() as connection:
        connection.execute(text(EMPTY))
    store.close()
    return server.url("migrated")


@pytest.fixture
def new_database(server: Server) -> str:
    """Address of a database without anything."""
    name = f"new_{next(_NUMBERS)}"
    server.sql(f"CREATE DATABASE {name}")
    return server.url(name)


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest) -> str:
    """Address of an empty store, on one database and the other."""
    address: str = request.getfixturevalue(f"{request.param}_url")
    return address


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    """An empty store, on one database and the other."""
    opened = open_store(url)
    yield opened
    opened.close()


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is kept beside a store stays in the test."""
    monkeypatch.setenv("EBBLINE_DATA", str(tmp_path / "own"))
    monkeypatch.delenv("EBBLINE_STORE", raising=False)
