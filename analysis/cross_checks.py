"""What is wrong between the files of a log: clients, sets and places that are not there (layer: log)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pandas as pd

from analysis.cells import near
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.typed_table import TypedTable

_SET_KEY = ["client", "date", "session", "set"]


def check_between(tables: Mapping[str, TypedTable]) -> list[Problem]:
    """Problems between the tables of a log.

    Parameters
    ----------
    tables : mapping of str to TypedTable
        The tables that are there, by name.

    Returns
    -------
    list of Problem
    """
    return [*_unknown_clients(tables), *_unknown_sets(tables), *_unknown_sites(tables)]


def _unknown_clients(tables: Mapping[str, TypedTable]) -> Iterator[Problem]:
    """Clients of a side file that clients.csv, where there is one, does not list."""
    if "clients" not in tables or tables["clients"].frame.empty:
        return
    listed = set(tables["clients"].frame["client"].dropna())
    for name, typed in tables.items():
        if name in ("sets", "clients") or "client" not in typed.frame:
            continue
        clients = typed.frame["client"]
        unlisted = clients[clients.notna() & ~clients.isin(listed)]
        closest = {client: near(client, listed) for client in unlisted.unique()}
        for line in unlisted.index:
            yield problem(
                "unknown_client",
                typed.file,
                f"{clients.loc[line]} is not in clients.csv.{closest[clients.loc[line]]}",
                "Correct the code, or add the client to clients.csv.",
                row=int(typed.rows[line]),
                column="client",
                value=clients.loc[line],
            )


def _unknown_sets(tables: Mapping[str, TypedTable]) -> Iterator[Problem]:
    """Rows of pains.csv about sets that are not logged."""
    if "pains" not in tables or "sets" not in tables or _has_unread_keys(tables["sets"]):
        return
    typed = tables["pains"]
    about = typed.frame[_SET_KEY].dropna()
    there = pd.MultiIndex.from_frame(about).isin(pd.MultiIndex.from_frame(tables["sets"].frame[_SET_KEY]))
    for line in about.index[~there]:
        row = about.loc[line]
        yield problem(
            "unknown_set",
            typed.file,
            f"{row['client']} has no set {row['set']} in session {row['session']} "
            f"on {row['date']:%Y-%m-%d} in sets.csv.",
            "Correct the date, session or set, or add the set to sets.csv.",
            row=int(typed.rows[line]),
            column="set",
            value=str(row["set"]),
        )


def _has_unread_keys(sets: TypedTable) -> bool:
    """Whether some sets could not be told apart, so that a set may be there after all."""
    whole_rows = ("row_too_long", "row_too_short", "broken_quotes", "missing_column", "own_headings")
    return (
        sets.frame.empty
        or bool(sets.frame[_SET_KEY].isna().any(axis=None))
        or any(found.code in whole_rows for found in sets.problems)
    )


def _unknown_sites(tables: Mapping[str, TypedTable]) -> Iterator[Problem]:
    """Places of a further file that sites.csv, where it lists the client, does not have."""
    if "sites" not in tables:
        return
    sites = tables["sites"].frame[["client", "site"]].dropna()
    pairs = pd.MultiIndex.from_frame(sites)
    known = sites.groupby("client", sort=False)["site"].agg(sorted).to_dict()
    for name in ("pains", "days"):
        if name not in tables:
            continue
        typed = tables[name]
        about = typed.frame[["client", "site"]].dropna()
        about = about[about["client"].isin(sites["client"])]
        unlisted = about[~pd.MultiIndex.from_frame(about).isin(pairs)]
        closest = {
            (client, site): near(site, known[client])
            for client, site in unlisted.drop_duplicates().itertuples(index=False)
        }
        for line, client, site in unlisted.itertuples():
            yield problem(
                "unknown_site",
                typed.file,
                f"{client} has no place '{site}' in sites.csv.{closest[client, site]}",
                "Spell it as in sites.csv, or add it there.",
                row=int(typed.rows[line]),
                column="site",
                value=site,
            )
