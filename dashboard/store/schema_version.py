"""Brings a store up to date: refuses a newer one, keeps a copy of an older one (layer: store)."""

from __future__ import annotations

import datetime as dt
from functools import cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

from dashboard.store.backup import copy_tables
from dashboard.store.engine import LONGEST_WAIT_S, Store, connect, store_url
from dashboard.store.folder_place import data_folder
from dashboard.store.refusals import StoreError

KEPT_COPY = "before-schema"
"""In the name of each copy that is made before a migration."""
_MIGRATING = 0x656262  # number of the lock that PostgreSQL keeps while one program migrates


def open_store(given: str | None = None, *, longest_wait_s: float = LONGEST_WAIT_S) -> Store:
    """The store, made or brought up to date if need be.

    Parameters
    ----------
    given : str, optional
        Address, see `engine.store_url`.
    longest_wait_s : float, default 15
        Seconds a write waits for its turn.

    Raises
    ------
    StoreError
        If it cannot be opened, is no store, or was made by a newer Ebbline.
    """
    store = connect(store_url(given), longest_wait_s=longest_wait_s)
    try:
        with store.read() as connection:
            current = _is_current(connection, store)
        if not current:
            bring_up_to_date(store)
    except BaseException:
        store.close()
        raise
    return store


def bring_up_to_date(store: Store, *, target: str = "head") -> Path | None:
    """Migrate, all steps or none.

    Parameters
    ----------
    store : Store
    target : str, default "head"
        Schema to stop at.

    Returns
    -------
    Path or None
        The copy of what was there before; None when there was nothing.

    Raises
    ------
    StoreError
        If the store is newer than this program, or something else altogether.
    """
    kept = None
    with store.write() as connection:
        if not store.is_sqlite:
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": _MIGRATING})
        if _is_current(connection, store):  # another program was faster
            return None
        if (there := _version(connection)) is not None:
            kept = _place_of_copy(store, there)
            copy_tables(store, kept)
        settings = Config()
        settings.set_main_option("script_location", str(_scripts_folder()).replace("%", "%%"))
        settings.set_main_option("path_separator", "os")
        settings.attributes["connection"] = connection
        command.upgrade(settings, target)
    return kept


def kept_copies(store: Store) -> tuple[Path, ...]:
    """Copies that migrations of this store made."""
    folder, stem = _copies_folder(store)
    return tuple(sorted(folder.glob(f"{stem}.{KEPT_COPY}-*.sqlite"))) if folder.is_dir() else ()


def _scripts_folder() -> Path:
    return Path(__file__).parent / "migrations"


def _version(connection: Connection) -> str | None:
    return MigrationContext.configure(connection).get_current_revision()


def _is_current(connection: Connection, store: Store) -> bool:
    """Whether the schema is the one this program knows; refuses what it does not know."""
    head, known = _known_versions()
    there = _version(connection)
    if there is None:
        if inspect(connection).get_table_names():
            raise StoreError(
                f"{store.name} holds other tables; it is no store of Ebbline. Name another place."
            )
        return False
    if there not in known:
        raise StoreError(
            f"The store {store.name} was written by a newer Ebbline (schema {there}, here"
            f" {head}). Update Ebbline; nothing was changed."
        )
    return there == head


@cache
def _known_versions() -> tuple[str | None, frozenset[str]]:
    """The newest schema this program knows, and all of them."""
    scripts = ScriptDirectory(str(_scripts_folder()))
    return scripts.get_current_head(), frozenset(script.revision for script in scripts.walk_revisions())


def _copies_folder(store: Store) -> tuple[Path, str]:
    file = store.file
    return (data_folder(), "postgresql") if file is None else (file.parent, file.stem)


def _place_of_copy(store: Store, version: str) -> Path:
    folder, stem = _copies_folder(store)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    moment = dt.datetime.now(dt.UTC).strftime("%Y%m%dT%H%M%S%f")
    return folder / f"{stem}.{KEPT_COPY}-{version}-{moment}.sqlite"
