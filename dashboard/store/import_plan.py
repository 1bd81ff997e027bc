"""What bringing logs in would do: rows that are new, rows that would change, and what is wrong (layer: store)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Literal

from sqlalchemy import Connection, select

from analysis.errors import LogError, OptionError
from analysis.log import find_logs, read_log
from analysis.results import Problem
from analysis.schema import TABLES
from analysis.training_log import TrainingLog
from dashboard.store.engine import Store
from dashboard.store.import_merge import Merge
from dashboard.store.refusals import StoredRow
from dashboard.store.rows import select_rows
from dashboard.store.rules import RowChange
from dashboard.store.stored_logs import homes_of, logs_of
from dashboard.store.tables import CLIENT_TABLES, LOG_TABLES, owners

OnChanged = Literal["ask", "take", "keep"]
"""What to do about rows that are stored otherwise: ask first, take the file's, or keep the stored ones."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportPlan:
    """What an import would do.

    Attributes
    ----------
    names : tuple of str
        Logs that are brought in.
    digest : str
        Hash of what they say and of `on_changed`.
    base : int
        Revision of the store this was looked at against.
    homes : mapping of str to str
        Log in the store of every client.
    new : tuple of RowChange
        Rows that are not stored yet.
    changed : tuple of RowChange
        Rows that are stored otherwise.
    n_same : int
        Rows that are stored already.
    on_changed : {"ask", "take", "keep"}
    problems : tuple of Problem
        What would be wrong between these rows and those that are stored.
    """

    names: tuple[str, ...]
    digest: str
    base: int
    homes: Mapping[str, str]
    new: tuple[RowChange, ...]
    changed: tuple[RowChange, ...]
    n_same: int
    on_changed: OnChanged
    problems: tuple[Problem, ...]


def read_logs(paths: Sequence[Path]) -> list[tuple[str, TrainingLog]]:
    """Logs at some paths, each with its name; one that cannot be read stops all.

    Raises
    ------
    LogError
        With the problems of all of them.
    OptionError
        If there is no log at a path.
    """
    logs, problems = list[tuple[str, TrainingLog]](), list[Problem]()
    for path in paths:
        found = find_logs(path)
        if not found:
            raise OptionError(f"There is no log in {path}.")
        for one in found:
            name = _name_of(one)
            try:
                logs.append((name, read_log(one)))
            except LogError as error:
                is_one_of_many = (len(paths) > 1 or len(found) > 1) and one.is_dir()
                problems += [
                    replace(each, file=f"{name}/{each.file}") if is_one_of_many else each
                    for each in error.problems
                ]
    if problems:
        raise LogError(problems)
    return logs


def plan_import(
    store: Store, owner: str, logs: Sequence[tuple[str, TrainingLog]], *, on_changed: OnChanged = "ask"
) -> ImportPlan:
    """Hold logs against what is stored, see `import_merge.Merge`.

    A log goes to the log of the store that its clients are in; when they are in none yet, it becomes one of
    its own.

    Parameters
    ----------
    store : Store
    owner : str
    logs : sequence of (str, TrainingLog)
        Name and content; a later one is held against the earlier ones too.
    on_changed : {"ask", "take", "keep"}, default "ask"

    Returns
    -------
    ImportPlan
    """
    clients = [_clients_of(log) for _, log in logs]
    with store.read() as connection:
        base = connection.execute(select(owners.c.revision).where(owners.c.owner == owner)).scalar() or 0
        known = homes_of(connection, owner)
        taken = set(logs_of(connection, owner)) | set(known.values())
        problems = list[Problem]()
        goes_to = list[str]()
        for (name, _), mine in zip(logs, clients, strict=True):
            there = sorted({known[client] for client in mine if client in known})
            if len(there) > 1:
                problems.append(_in_two_logs(name, there))
            goes_to.append(there[0] if there else _free_name(name, taken) if mine else name)
            known |= {client: goes_to[-1] for client in mine if client not in known}
            taken.add(goes_to[-1])
        stored = _stored(connection, owner, set(goes_to), known)
    merge = Merge(stored, keep=on_changed == "keep")
    for (name, log), home in zip(logs, goes_to, strict=True):
        merge.add(name, log, home)
    if (stored or len(logs) > 1) and not problems:
        problems += merge.problems(goes_to, known)
    return ImportPlan(
        names=tuple(name for name, _ in logs),
        digest=f"{on_changed} {merge.digest}",
        base=base,
        homes=known,
        new=merge.new,
        changed=merge.changed,
        n_same=merge.n_same,
        on_changed=on_changed,
        problems=tuple(problems),
    )


def _name_of(path: Path) -> str:
    path = path.resolve()
    if path.is_dir():
        return path.name
    return path.parent.name if path.stem.casefold() in TABLES else path.stem


def _clients_of(log: TrainingLog) -> list[str]:
    return sorted({str(client) for name in CLIENT_TABLES for client in log.frame(name)["client"]})


def _free_name(name: str, taken: Iterable[str]) -> str:
    """The name, or with a number after it where another log has it."""
    names = (name if number == 1 else f"{name} {number}" for number in count(1))
    return next(free for free in names if free not in taken)


def _stored(connection: Connection, owner: str, logs: set[str], known: Mapping[str, str]) -> list[StoredRow]:
    """Every row of these logs of the store."""
    clients = [client for client, log in known.items() if log in logs]
    found = list[StoredRow]()
    for name in TABLES:
        columns = LOG_TABLES[name].c
        part = columns.client.in_(clients) if name in CLIENT_TABLES else columns.log.in_(logs)
        found += select_rows(connection, owner, name, part)
    return found


def _in_two_logs(name: str, there: Sequence[str]) -> Problem:
    return Problem(
        code="client_in_two_logs",
        file=name,
        row=None,
        column="client",
        value=None,
        what=f"its clients are in several logs of the store: {', '.join(there)}.",
        mend="Add the clients of each of them by themselves.",
    )
