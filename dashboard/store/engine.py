"""Opens the store and gives out transactions: a snapshot to read, or the one place in line to write (layer: store)."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, DBAPIError, IntegrityError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.pool import ConnectionPoolEntry

from dashboard.store.folder_place import data_folder
from dashboard.store.refusals import StoreError

FROM_ENVIRONMENT = "EBBLINE_STORE"
FILE_NAME = "ebbline.sqlite"
LONGEST_WAIT_S = 15
_BEGIN = "ebbline_begin"

_REASONS = {
    "locked": "another program has been using it for too long",
    "full": "the disk is full",
    "readonly": "it may only be read",
    "unable to open": "it cannot be opened; is the folder there, and may it be read and written?",
    "malformed": "the file is damaged",
    "not a database": "the file is no store",
    "disk i/o": "the disk does not answer as it should",
}
"""What SQLite says, in the order looked for, and what that means."""


class Store:
    """An open store.

    Parameters
    ----------
    engine : Engine
        Of SQLite or PostgreSQL.
    longest_wait_s : float, default 15
        Seconds a write waits for its turn.
    """

    def __init__(self, engine: Engine, *, longest_wait_s: float = LONGEST_WAIT_S) -> None:
        self.engine = engine
        self._longest_wait_s = longest_wait_s
        self._turn = Lock()  # threads of one process line up here, which is fairer than SQLite's waiting

    @property
    def is_sqlite(self) -> bool:
        """Whether the store is one file of this machine."""
        return self.engine.dialect.name == "sqlite"

    @property
    def file(self) -> Path | None:
        """The file of an SQLite store."""
        name = self.engine.url.database
        return Path(name) if self.is_sqlite and name else None

    @property
    def name(self) -> str:
        """What the store is called in sentences; never with a password."""
        return str(self.file) if self.is_sqlite else self.engine.url.render_as_string(hide_password=True)

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A transaction that sees one state throughout and waits for nobody."""
        with self.telling("read"), self.engine.connect() as connection:
            if not self.is_sqlite:
                connection = connection.execution_options(
                    isolation_level="REPEATABLE READ", postgresql_readonly=True
                )
            with connection.begin():
                yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A transaction that writes; all of it happens at its end, or nothing when anything is raised."""
        waited = self._turn.acquire(timeout=self._longest_wait_s) if self.is_sqlite else True
        if not waited:
            raise self._refusal("written", _REASONS["locked"])
        try:
            with self.telling("written"), self.engine.connect() as connection:
                connection = connection.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})
                with connection.begin():
                    yield connection
        finally:
            if self.is_sqlite:
                self._turn.release()

    @contextmanager
    def outside_transactions(self) -> Iterator[Connection]:
        """A connection for the few statements that refuse to run in a transaction."""
        with self.telling("tidied up"), self.engine.connect() as connection:
            if self.is_sqlite:
                yield connection.execution_options(**{_BEGIN: ""})
            else:
                yield connection.execution_options(isolation_level="AUTOCOMMIT")

    def close(self) -> None:
        """Give every connection back."""
        self.engine.dispose()

    @contextmanager
    def telling(self, deed: str) -> Iterator[None]:
        """Turn what the database says into a sentence; a broken rule of uniqueness is left to the caller."""
        try:
            yield
        except IntegrityError:
            raise
        except (DBAPIError, PoolTimeout) as error:
            raise self._refusal(deed, _reason(error)) from error

    def _refusal(self, deed: str, reason: str) -> StoreError:
        rest = "Nothing of this was saved. Try again." if deed == "written" else "Try again."
        return StoreError(f"The store {self.name} could not be {deed}: {reason}. {rest}")


def store_url(given: str | None = None) -> URL:
    """Where the store is: as given, else as the environment says, else a file of this person's own.

    Parameters
    ----------
    given : str, optional
        A path, ``sqlite:///path`` or ``postgresql+psycopg://user@host/name``.

    Raises
    ------
    StoreError
        If it is none of these.
    """
    written = given or os.environ.get(FROM_ENVIRONMENT) or str(data_folder() / FILE_NAME)
    if "://" not in written:
        return URL.create("sqlite", database=str(Path(written).expanduser()))
    try:
        url = make_url(written)
    except ArgumentError:
        url = URL.create("unknown")
    if url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    if url.drivername not in ("sqlite", "postgresql+psycopg") or not url.database:
        raise StoreError(
            f"A store cannot be at {url.render_as_string(hide_password=True)}; give a file, sqlite:///FILE or"
            " postgresql+psycopg://USER@HOST/NAME."
        )
    return url


def connect(url: URL, *, longest_wait_s: float = LONGEST_WAIT_S) -> Store:
    """The store at an address, as it is there; see `schema_version.open_store` for one that is up to date.

    Parameters
    ----------
    url : URL
    longest_wait_s : float, default 15
        Seconds a write waits for its turn.

    Raises
    ------
    StoreError
        If the file cannot be made, or the driver of PostgreSQL is not installed.
    """
    if url.get_backend_name() == "sqlite":
        _private_file(Path(url.database or ""))
        engine = create_engine(url, hide_parameters=True, connect_args={"timeout": longest_wait_s})
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    else:
        try:
            engine = create_engine(
                url, hide_parameters=True, pool_pre_ping=True, connect_args={"connect_timeout": 10}
            )
        except ModuleNotFoundError as error:
            raise StoreError(
                "The driver of PostgreSQL is not installed: pip install 'ebbline[postgresql]'."
            ) from error
    return Store(engine, longest_wait_s=longest_wait_s)


def _private_file(path: Path) -> None:
    """Make the file, and its folder, for this person's eyes only; SQLite gives its helpers the same rights."""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    except OSError as error:
        raise StoreError(f"The store {path} cannot be made: {error.strerror or error}.") from error


def _set_up_sqlite(connection: DBAPIConnection, entry: ConnectionPoolEntry) -> None:
    connection.isolation_level = None  # the driver begins nothing by itself; see _begin_sqlite
    cursor = connection.cursor()
    for pragma in ("foreign_keys=ON", "secure_delete=ON", "journal_mode=WAL", "synchronous=FULL"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    """A write takes its place in line at once: what it reads first is then still so when it writes."""
    if begin := connection.get_execution_options().get(_BEGIN, "BEGIN"):
        connection.exec_driver_sql(begin)


def _reason(error: Exception) -> str:
    said = str(getattr(error, "orig", None) or error).strip()
    for words, reason in _REASONS.items():
        if words in said.casefold():
            return reason
    return f"the database says: {said.splitlines()[0] if said else type(error).__name__}".rstrip(".")
