"""The store as a source of logs for screens and commands (layer: store)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, func, select

from analysis.errors import LogError, OptionError
from analysis.log import log_fingerprint
from analysis.results import Problem
from analysis.training_log import TrainingLog
from dashboard.store.engine import Store
from dashboard.store.source import BrokenLog, ClientRef
from dashboard.store.stored_logs import homes_of, stored_log
from dashboard.store.tables import LOG_TABLES, shared_part, touched


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Known:
    """A client's log as it was when the store had these revisions."""

    revisions: tuple[int, int]
    log: TrainingLog | None
    fingerprint: str
    problems: tuple[Problem, ...]


class StoreSource:
    """Logs of the store, one a client, read again when something about the client was written.

    Parameters
    ----------
    store : Store
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        self._known: dict[tuple[str, str], _Known] = {}
        self._lock = Lock()
        self._reading: dict[tuple[str, str], Lock] = {}

    def clients(self, owner: str) -> tuple[ClientRef, ...]:
        """Clients of the owner, by code."""
        with self._store.read() as connection:
            return _clients(connection, owner)

    def log(self, owner: str, client: str) -> tuple[TrainingLog, str]:
        """Log of the client, and its revision.

        Raises
        ------
        OptionError
            If the owner has no such client; the message lists those there are.
        LogError
            If what is stored of the client breaks a rule of this version.
        """
        with self._store.read() as connection:
            there = {ref.client: ref for ref in _clients(connection, owner)}
            if client not in there:
                listed = ", ".join(there) or "none yet"
                raise OptionError(
                    f"There is no client {client!r} in {self._store.name}; there are: {listed}."
                )
            known = self._log(connection, owner, there[client], _revisions(connection, owner))
        if known.log is None:
            raise LogError(known.problems)
        return known.log, known.fingerprint

    def every_log(self, owner: str) -> tuple[tuple[ClientRef, TrainingLog, str], ...]:
        """Every client with the log and its revision, by code; all of one moment."""
        with self._store.read() as connection:
            revisions = _revisions(connection, owner)
            return tuple(
                (ref, known.log, known.fingerprint)
                for ref in _clients(connection, owner)
                if (known := self._log(connection, owner, ref, revisions)).log is not None
            )

    def problems(self, owner: str) -> tuple[BrokenLog, ...]:
        """Clients whose stored rows break a rule of this version."""
        with self._store.read() as connection:
            revisions = _revisions(connection, owner)
            read = [
                (ref.client, self._log(connection, owner, ref, revisions))
                for ref in _clients(connection, owner)
            ]
        return tuple(
            BrokenLog(path=Path(self._store.name) / client, problems=known.problems)
            for client, known in read
            if known.problems
        )

    def _log(self, connection: Connection, owner: str, ref: ClientRef, revisions: dict[str, int]) -> _Known:
        client = ref.client
        now = (revisions.get(client, 0), revisions.get(shared_part(ref.log_name), 0))
        with self._lock:
            reading = self._reading.setdefault((owner, client), Lock())
        with reading:  # whoever else asks for this client waits for the one who reads
            known = self._known.get((owner, client))
            if known is None or known.revisions != now:
                known = self._known[owner, client] = _read(connection, owner, ref, now)
        return known


def _read(connection: Connection, owner: str, ref: ClientRef, revisions: tuple[int, int]) -> _Known:
    try:
        log = stored_log(connection, owner, ref.log_name, [ref.client])
    except LogError as error:
        return _Known(revisions=revisions, log=None, fingerprint="", problems=error.problems)
    return _Known(revisions=revisions, log=log, fingerprint=log_fingerprint(log), problems=())


def _clients(connection: Connection, owner: str) -> tuple[ClientRef, ...]:
    sets, listed = LOG_TABLES["sets"].c, LOG_TABLES["clients"].c
    counted = select(sets.client, func.count(), func.max(sets.date)).where(sets.owner == owner)
    found = {client: (n, last) for client, n, last in connection.execute(counted.group_by(sets.client))}
    without = connection.execute(select(listed.client).where(listed.owner == owner)).scalars()
    found |= {client: (0, None) for client in without if client not in found}
    home = homes_of(connection, owner)
    return tuple(
        ClientRef(
            client=client,
            log_name=home[client],
            n_sets=n_sets,
            last_date=None if last is None else dt.date.fromisoformat(last),
        )
        for client, (n_sets, last) in sorted(found.items())
    )


def _revisions(connection: Connection, owner: str) -> dict[str, int]:
    query = select(touched.c.part, touched.c.revision).where(touched.c.owner == owner)
    return {row.part: row.revision for row in connection.execute(query)}
