"""A program killed at any moment leaves a store that opens, with all of what it was writing or nothing of it.

`tests/benchmarks/store_kills.py` does the same hundreds of times.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import make_url, text

from dashboard.store.engine import connect
from tests.store.conftest import EMPTY
from tests.store.kills import Kills, during_backup, during_import, during_migration, during_saves

TIMES = 20
TIMES_ON_A_SERVER = 5


@pytest.fixture
def fresh_file(quick_folder: Path, sqlite_url: str) -> Callable[[], None]:
    """Puts an empty store where the file is, with nothing beside it."""
    path = Path(make_url(sqlite_url).database or "")

    def fresh() -> None:
        shutil.rmtree(path.parent)
        path.parent.mkdir()
        shutil.copy(quick_folder / "migrated.sqlite", path)

    return fresh


@pytest.fixture
def fresh_database(postgresql_url: str) -> Callable[[], None]:
    """Empties the database."""

    def fresh() -> None:
        store = connect(make_url(postgresql_url))
        with store.write() as connection:
            connection.execute(text(EMPTY))
        store.close()

    return fresh


def half_were_in_time(kills: Kills) -> bool:
    return 2 * kills.n_before_commit >= kills.n


def test_killed_while_a_log_is_brought_in(sqlite_url: str, fresh_file: Callable[[], None]) -> None:
    assert half_were_in_time(during_import(sqlite_url, fresh_file, TIMES))


def test_killed_while_sets_are_saved(sqlite_url: str, fresh_file: Callable[[], None]) -> None:
    assert half_were_in_time(during_saves(sqlite_url, fresh_file, TIMES))


def test_killed_while_it_is_brought_up_to_date(quick_folder: Path) -> None:
    folder = quick_folder / "migrations"
    folder.mkdir()
    assert half_were_in_time(during_migration(folder, TIMES))


def test_killed_while_it_is_copied(sqlite_url: str, fresh_file: Callable[[], None], tmp_path: Path) -> None:
    assert half_were_in_time(during_backup(sqlite_url, fresh_file, tmp_path, TIMES))


def test_killed_while_a_server_is_written_to(postgresql_url: str, fresh_database: Callable[[], None]) -> None:
    assert half_were_in_time(during_import(postgresql_url, fresh_database, TIMES_ON_A_SERVER))
    assert half_were_in_time(during_saves(postgresql_url, fresh_database, TIMES_ON_A_SERVER))
