"""Where screens and commands get a client's log from: one small interface, and folders behind it (layer: store)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Lock
from typing import Protocol

from analysis.errors import LogError, OptionError
from analysis.log import find_logs, log_fingerprint, read_log
from analysis.results import Problem
from analysis.training_log import TrainingLog

FileState = tuple[tuple[str, int, int], ...]
Told = Callable[[int, int], None]
"""Is told how many logs are read, and of how many, while some are read that were not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientRef:
    """A client that can be opened.

    Attributes
    ----------
    client : str
        Code, as in the log.
    log_name : str
        Name of the folder or file the client is in.
    n_sets : int
        Rows of sets of this client.
    last_date : date or None
        Day of the last logged set; None when no set is logged.
    """

    client: str
    log_name: str
    n_sets: int
    last_date: dt.date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenLog:
    """A log that could not be read, and everything that is wrong with it."""

    path: Path
    problems: tuple[Problem, ...]


class LogSource(Protocol):
    """What screens ask for; an owner sees their own clients only."""

    def clients(self, owner: str) -> tuple[ClientRef, ...]:
        """Clients of the owner, by code."""
        ...

    def log(self, owner: str, client: str) -> tuple[TrainingLog, str]:
        """Log that holds the client, and its revision, which changes whenever the content does."""
        ...

    def every_log(self, owner: str) -> tuple[tuple[ClientRef, TrainingLog, str], ...]:
        """Every client with the log and its revision, by code; asks the disk once, however many there are."""
        ...

    def problems(self, owner: str) -> tuple[BrokenLog, ...]:
        """Logs that could not be read."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _ReadLog:
    """One log as it was when its files had this state."""

    path: Path
    state: FileState
    log: TrainingLog | None
    revision: str
    clients: tuple[ClientRef, ...]
    problems: tuple[Problem, ...]


class FolderSource:
    """Logs in a folder of this machine, read again when a file changes; the same for every owner.

    Parameters
    ----------
    path : Path
        One log, or a folder of logs. A broken log does not hide the others.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._read: dict[Path, _ReadLog] = {}
        self._lock = Lock()

    def clients(self, owner: str) -> tuple[ClientRef, ...]:
        """Clients of all readable logs, by code."""
        homes = self._homes()
        return tuple(homes[client][1] for client in sorted(homes))

    def log(self, owner: str, client: str) -> tuple[TrainingLog, str]:
        """Log that holds the client, and its revision.

        Raises
        ------
        OptionError
            If no readable log has that client; the message lists those there are.
        """
        homes = self._homes()
        if client not in homes:
            there = ", ".join(sorted(homes)) or "none that can be read"
            raise OptionError(f"There is no client {client!r} in {self._path}; there are: {there}.")
        home, _ = homes[client]
        assert home.log is not None  # a log without content has no clients
        return home.log, home.revision

    def every_log(
        self, owner: str, *, told: Told | None = None
    ) -> tuple[tuple[ClientRef, TrainingLog, str], ...]:
        """Every client with the log and its revision, by code."""
        homes = self._homes(told)
        return tuple(
            (homes[client][1], home.log, home.revision)
            for client in sorted(homes)
            if (home := homes[client][0]).log is not None
        )

    def problems(self, owner: str) -> tuple[BrokenLog, ...]:
        """Logs that could not be read, and clients that are in more than one log."""
        return tuple(BrokenLog(path=one.path, problems=one.problems) for one in self._logs() if one.problems)

    def _homes(self, told: Told | None = None) -> dict[str, tuple[_ReadLog, ClientRef]]:
        """For every client the log that is used: the first by name."""
        homes: dict[str, tuple[_ReadLog, ClientRef]] = {}
        for one in self._logs(told):
            for ref in one.clients:
                homes.setdefault(ref.client, (one, ref))
        return homes

    def _logs(self, told: Told | None = None) -> tuple[_ReadLog, ...]:
        with self._lock:
            paths = find_logs(self._path)
            for gone in set(self._read) - set(paths):
                del self._read[gone]
            for number, path in enumerate(paths):
                state = _file_state(path)
                known = self._read.get(path)
                if known is None or known.state != state:
                    if told is not None:
                        told(number, len(paths))
                    self._read[path] = _read(path, state)
            return _with_doubles([self._read[path] for path in paths])


def _read(path: Path, state: FileState) -> _ReadLog:
    try:
        log = read_log(path)
    except LogError as error:
        return _ReadLog(path=path, state=state, log=None, revision="", clients=(), problems=error.problems)
    clients = tuple(_client_refs(log, path.name))
    return _ReadLog(
        path=path, state=state, log=log, revision=log_fingerprint(log), clients=clients, problems=()
    )


def _client_refs(log: TrainingLog, log_name: str) -> Iterable[ClientRef]:
    names = {str(client) for frame in (log.sets, log.clients) for client in frame["client"].dropna()}
    for client in sorted(names):
        sets = log.sets[log.sets["client"] == client]
        last_date = sets["date"].max().date() if len(sets) else None
        yield ClientRef(client=client, log_name=log_name, n_sets=len(sets), last_date=last_date)


def _with_doubles(logs: list[_ReadLog]) -> tuple[_ReadLog, ...]:
    """The logs, each client only in the first that has it; the others say so."""
    first: dict[str, str] = {}
    marked = []
    for one in logs:
        twice = [ref for ref in one.clients if ref.client in first]
        problems = tuple(_twice(one.path.name, ref.client, first[ref.client]) for ref in twice)
        first.update({ref.client: one.path.name for ref in one.clients if ref.client not in first})
        marked.append(replace(one, problems=one.problems + problems) if problems else one)
    return tuple(marked)


def _twice(log_name: str, client: str, first: str) -> Problem:
    return Problem(
        code="client_in_two_logs",
        file=log_name,
        row=None,
        column="client",
        value=client,
        what=f"{client!r} is also in the log {first}, which is the one used.",
        mend="Put all rows of a client into one log, or open one of the two alone.",
    )


def _file_state(path: Path) -> FileState:
    """Name, time and size of every file of a log, so that a mended file is read again."""
    files = sorted(child for child in path.iterdir() if child.is_file()) if path.is_dir() else [path]
    return tuple((file.name, file.stat().st_mtime_ns, file.stat().st_size) for file in files)
