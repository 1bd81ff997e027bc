"""Rules between rows, checked on the few rows that a change can break them with (layer: store)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from sqlalchemy import ColumnElement, Connection, exists, select

from analysis.checks import check_table
from analysis.cross_checks import check_between
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import STANDARD_VARIANT, TABLES
from dashboard.store.refusals import Cells, StoredRow
from dashboard.store.rows import typed_cells
from dashboard.store.tables import CLIENT_TABLES, LOG_TABLES, homes

LOOKED_AT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "sets": (*TABLES["sets"].key, "exercise", "variant", "load", "load_basis", "band"),
        "sites": ("client", "site", "main"),
        "pains": TABLES["pains"].key,
        "days": TABLES["days"].key,
        "variants": ("exercise", "order", "variant"),
        "ranges": ("exercise", "order", "range_stop"),
        "limits": ("client", "from", "until"),
    }
)
"""Columns that rules between rows are about, by file; other files have none but their key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChange:
    """One row before and after; None where there is no row."""

    table: str
    id: str
    before: StoredRow | None
    after: StoredRow | None

    @property
    def sides(self) -> tuple[Cells, ...]:
        """Cells before and after, as far as there are any."""
        return tuple(row.cells for row in (self.before, self.after) if row is not None)


def broken_rules(connection: Connection, owner: str, changes: Sequence[RowChange]) -> list[Problem]:
    """Rules between rows that do not hold once the rows have changed.

    Parameters
    ----------
    connection : Connection
        In the transaction that made the changes.
    owner : str
    changes : sequence of RowChange

    Returns
    -------
    list of Problem
        Without rows: what is numbered in a file has no number here; columns and values tell the place.
    """
    groups = [
        (name, typed_cells(name, rows, LOOKED_AT[name]))
        for name, rows in _around(connection, owner, changes)
        if rows and (name != "sets" or may_break_rules(rows))
    ]
    problems = [*_unlisted_clients(connection, owner, changes), *_unknown_sets(connection, owner, changes)]
    problems += check_between({name: typed for name, typed in groups if name in ("sites", "pains", "days")})
    for _, typed in groups:
        problems += check_table(typed)
    return [replace(found, row=None) for found in problems]


def doubled_rows(name: str, rows: Sequence[Cells]) -> list[Problem]:
    """Rows of one file that stand in the same place."""
    file = TABLES[name]
    columns = LOOKED_AT.get(name, file.key)
    return check_table(typed_cells(name, rows, columns)) if file.key else []


def _unlisted_clients(connection: Connection, owner: str, changes: Sequence[RowChange]) -> list[Problem]:
    """Clients with rows beside their sets that are not on the list of their log, where it has one."""
    beside = [name for name in CLIENT_TABLES if name not in ("sets", "clients")]
    clients = _values(changes, "client", ("clients", *beside))
    if not clients:
        return []
    here = select(homes.c.log).where(homes.c.owner == owner, homes.c.client.in_(clients)).distinct()
    problems = []
    for log in sorted(connection.execute(here).scalars()):
        listed = _clients_in(connection, owner, "clients", log)
        unlisted = set().union(*(_clients_in(connection, owner, name, log) for name in beside)) - listed
        problems += [
            problem(
                "unknown_client",
                TABLES["clients"].file,
                f"{client} has rows in other files and is not listed, while others of the log are.",
                "List every client of the log, or delete those rows first.",
                column="client",
                value=client,
            )
            for client in sorted(unlisted if listed else ())
        ]
    return problems


def _clients_in(connection: Connection, owner: str, name: str, log: str) -> set[str]:
    client = LOG_TABLES[name].c.client
    of_log = select(homes.c.client).where(homes.c.owner == owner, homes.c.log == log)
    query = select(client).where(LOG_TABLES[name].c.owner == owner, client.in_(of_log)).distinct()
    return set(connection.execute(query).scalars())


def may_break_rules(sets: Sequence[Cells]) -> bool:
    """Whether sets of one exercise and client look as if they broke a rule; a quick look before the full check.

    A save of a set is the one thing somebody stands and waits for, and nearly always in order.
    """
    bases: dict[tuple[str, ...], set[str]] = {}
    for cells in sets:
        if cells["load_basis"]:
            place = (cells["client"], cells["exercise"], cells["variant"] or STANDARD_VARIANT)
            bases.setdefault(place, set()).add(cells["load_basis"])
    return any(len(some) > 1 for some in bases.values()) or any(
        cells["load"].startswith("-") or cells["load_basis"] == "band" for cells in sets
    )


def _around(
    connection: Connection, owner: str, changes: Sequence[RowChange]
) -> list[tuple[str, list[Cells]]]:
    """Rows that have a rule in common with the changed ones, by file; those of two logs apart."""
    changed = {change.table for change in changes}
    clients = _values(changes, "client", CLIENT_TABLES)
    found: list[tuple[str, list[Cells]]] = []

    def fetch(name: str, *conditions: ColumnElement[bool]) -> None:
        table = LOG_TABLES[name]
        query = select(*(table.c[column] for column in LOOKED_AT[name])).where(
            table.c.owner == owner, *conditions
        )
        found.append((name, [dict(row) for row in connection.execute(query).mappings()]))

    if "sets" in changed:
        sets = LOG_TABLES["sets"].c
        fetch("sets", sets.client.in_(clients), sets.exercise.in_(_values(changes, "exercise", ("sets",))))
    if changed & {"sites", "pains", "days"}:
        fetch("sites", LOG_TABLES["sites"].c.client.in_(clients))
    for name in ("pains", "days"):
        table = LOG_TABLES[name].c
        if "sites" in changed:
            fetch(name, table.client.in_(clients))
        elif name in changed:
            fetch(name, table.client.in_(clients), table.date.in_(_values(changes, "date", (name,))))
    for name in ("variants", "ranges"):
        rows = [row for one in changes if one.table == name for row in (one.before, one.after) if row]
        for log in sorted({row.log for row in rows}):
            columns, exercises = LOG_TABLES[name].c, {row.cells["exercise"] for row in rows if row.log == log}
            fetch(name, columns.log == log, columns.exercise.in_(exercises))
    if "limits" in changed:
        limits = [one.after.cells for one in changes if one.table == "limits" and one.after is not None]
        found.append(("limits", limits))
    return found


def _unknown_sets(connection: Connection, owner: str, changes: Sequence[RowChange]) -> list[Problem]:
    """Pains of sets that are not there, on the days that were touched."""
    about = ("sets", "pains")
    clients, dates = _values(changes, "client", about), _values(changes, "date", about)
    if not dates:
        return []
    sets, pains = LOG_TABLES["sets"].c, LOG_TABLES["pains"].c
    same = (sets[name] == pains[name] for name in ("owner", *TABLES["sets"].key))
    query = select(pains.client, pains.date, pains.session, pains.set).where(
        pains.owner == owner,
        pains.client.in_(clients),
        pains.date.in_(dates),
        ~exists().where(*same),
    )
    return [
        problem(
            "unknown_set",
            TABLES["pains"].file,
            f"{client} has no set {number} in session {session} on {date}.",
            "Correct the date, session or set; or delete the pains of further places with their set.",
            column="set",
            value=number,
        )
        for client, date, session, number in connection.execute(query)
    ]


def _values(changes: Sequence[RowChange], column: str, names: Sequence[str]) -> list[str]:
    """What stands in a column of the changed rows of these files, before or after."""
    rows = (cells for change in changes if change.table in names for cells in change.sides)
    return sorted({cells[column] for cells in rows if cells.get(column)})
