"""Kills a program hundreds of times while it writes to a store, and counts: python tests/benchmarks/store_kills.py."""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import text

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dashboard.store.engine import connect, store_url
from dashboard.store.schema_version import open_store
from dashboard.store.tables import metadata
from tests.store.kills import Kills, during_backup, during_import, during_migration, during_saves
from tests.store.servers import HOW_TO_GET_ONE, Server, server_programs

EMPTY = f"TRUNCATE {', '.join(metadata.tables)}"


def main() -> None:
    """Print how often each deed was cut short; a store that is not sound after it ends the run with its trace."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200, help="of each deed on each database")
    n = parser.parse_args().kills
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        file = folder / "stores" / "store.sqlite"
        open_store(str(folder / "empty.sqlite")).close()

        def fresh() -> None:
            shutil.rmtree(file.parent, ignore_errors=True)
            file.parent.mkdir()
            shutil.copy(folder / "empty.sqlite", file)

        for part in ("migrations", "copies"):
            (folder / part).mkdir()
        tell("SQLite, import", lambda: during_import(str(file), fresh, n))
        tell("SQLite, saves", lambda: during_saves(str(file), fresh, n))
        tell("SQLite, migration", lambda: during_migration(folder / "migrations", n))
        tell("SQLite, backup", lambda: during_backup(str(file), fresh, folder / "copies", n))
        programs = server_programs()
        if programs is None:
            print(HOW_TO_GET_ONE)
            return
        with Server(programs) as server:
            url = server.url("postgres")
            open_store(url).close()

            def emptied() -> None:
                store = connect(store_url(url))
                with store.write() as connection:
                    connection.execute(text(EMPTY))
                store.close()

            tell("PostgreSQL, import", lambda: during_import(url, emptied, n))
            tell("PostgreSQL, saves", lambda: during_saves(url, emptied, n))
            tell("PostgreSQL, backup", lambda: during_backup(url, emptied, folder / "copies", n))


def tell(what: str, run: Callable[[], Kills]) -> None:
    """Run one deed and print its line."""
    kills = run()
    print(f"{what:20s} {kills.n} kills, {kills.n_before_commit} before the commit, 0 unsound", flush=True)


if __name__ == "__main__":
    main()
