"""Reads logs out of the store by the rules that files are read by (layer: store)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pandas as pd
from sqlalchemy import Connection, select

from analysis.log import log_from_frames
from analysis.schema import TABLES, Table
from analysis.training_log import TrainingLog
from dashboard.store.tables import CLIENT_TABLES, LOG_TABLES, homes


def homes_of(connection: Connection, owner: str) -> dict[str, str]:
    """Log of each client, by the client's code."""
    query = select(homes.c.client, homes.c.log).where(homes.c.owner == owner)
    return {row.client: row.log for row in connection.execute(query)}


def logs_of(connection: Connection, owner: str) -> dict[str, list[str]]:
    """Logs of an owner that hold anything, by name, each with its clients."""
    found: dict[str, set[str]] = {}
    for name, table in LOG_TABLES.items():
        if name in CLIENT_TABLES:
            there = select(table.c.client).where(table.c.owner == owner).distinct()
            query = select(homes.c.log, homes.c.client).where(
                homes.c.owner == owner, homes.c.client.in_(there)
            )
            for log, client in connection.execute(query):
                found.setdefault(log, set()).add(client)
        else:
            of_logs = select(table.c.log).where(table.c.owner == owner).distinct()
            for log in connection.execute(of_logs).scalars():
                found.setdefault(log, set())
    return {log: sorted(found[log]) for log in sorted(found)}


def stored_log(connection: Connection, owner: str, log: str, clients: Sequence[str]) -> TrainingLog:
    """What is stored of some clients of one log, with what all clients of that log share.

    Parameters
    ----------
    connection : Connection
        In a transaction, so that all files are of one moment.
    owner : str
    log : str
    clients : sequence of str

    Returns
    -------
    TrainingLog
        Rows in the order of the canonical form; ``source_row`` counts as in what `export` writes.

    Raises
    ------
    LogError
        If what is stored breaks a rule of this version; holds every problem.
    """
    frames = {name: _frame(connection, owner, name, log, clients) for name in TABLES}
    return log_from_frames(**{name: frame for name, frame in frames.items() if name == "sets" or len(frame)})


def _frame(connection: Connection, owner: str, name: str, log: str, clients: Sequence[str]) -> pd.DataFrame:
    file, table = TABLES[name], LOG_TABLES[name]
    part = table.c.client.in_(clients) if name in CLIENT_TABLES else table.c.log == log
    query = select(*(table.c[column] for column in file.column_names)).where(table.c.owner == owner, part)
    rows = sorted((tuple(row) for row in connection.execute(query)), key=canonical_order(file))
    return pd.DataFrame(rows, columns=list(file.column_names), dtype="object")


def canonical_order(file: Table) -> Callable[[Sequence[str]], tuple[tuple[int, str], ...]]:
    """Key that sorts rows of canonical cells as the canonical form is sorted, whole numbers by size."""
    names = file.column_names
    places = [(names.index(name), file.column(name).kind == "whole") for name in file.sort]

    def place(row: Sequence[str]) -> tuple[tuple[int, str], ...]:
        return tuple(
            (int(row[number]), "") if is_whole and row[number] else (0, row[number])
            for number, is_whole in places
        )

    return place
