"""Doubtful names: two spellings of one thing, stops and variants outside the coach's order (layer: log)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

import pandas as pd

from analysis.cells import near
from analysis.log_codes import remark
from analysis.results import Remark
from analysis.schema import STANDARD_VARIANT
from analysis.typed_table import TypedTable

_NAMES = ("exercise", "variant", "range_stop", "band", "site", "task", "client")


def doubtful_names(tables: Mapping[str, TypedTable]) -> list[Remark]:
    """Remarks on names in the tables of a log.

    Parameters
    ----------
    tables : mapping of str to TypedTable
        The tables that are there, by name.

    Returns
    -------
    list of Remark
    """
    remarks = [found for column in _NAMES for found in _spellings(tables, column)]
    if "sets" in tables:
        remarks += _outside_order(tables, "ranges", "range_stop", "stop_without_order")
        remarks += _outside_order(tables, "variants", "variant", "variant_without_order")
        remarks += _unlisted_clients(tables)
    return [*remarks, *_no_main_site(tables)]


def _spellings(tables: Mapping[str, TypedTable], column: str) -> Iterator[Remark]:
    """Names that differ from a more frequent one in capitals, spaces or dashes only."""
    seen: dict[str, dict[str, tuple[int, str, int]]] = {}
    for typed in tables.values():
        if column not in typed.frame:
            continue
        names = typed.frame[column].dropna()
        counts = names.value_counts(sort=False)
        first = names.drop_duplicates()
        for line, name in zip(first.index, first, strict=True):
            spelt = seen.setdefault(re.sub(r"[\W_]+", "", name.casefold()), {})
            before = spelt.get(name, (0, typed.file, int(typed.rows[line])))
            spelt[name] = (before[0] + int(counts[name]), before[1], before[2])
    for spelt in seen.values():
        usual = max(spelt, key=lambda name: spelt[name][0])
        for name, (_, file, row) in spelt.items():
            if name != usual:
                yield remark(
                    "spelling_differs",
                    file,
                    f"'{name}' and '{usual}' are read as two different names.",
                    "Spell them alike if they are the same.",
                    row=row,
                    column=column,
                    value=name,
                )


def _outside_order(tables: Mapping[str, TypedTable], name: str, column: str, code: str) -> Iterator[Remark]:
    """Stops or variants of an exercise that has an order, but not with this one in it."""
    if name not in tables:
        return
    order = tables[name].frame[["exercise", column]].dropna()
    sets = tables["sets"]
    used = sets.frame[["exercise", column]]
    if column == "variant":
        used = used.assign(variant=used["variant"].fillna(STANDARD_VARIANT))
    used = used.dropna().drop_duplicates()
    used = used[used["exercise"].isin(order["exercise"])]
    missing = ~pd.MultiIndex.from_frame(used).isin(pd.MultiIndex.from_frame(order))
    for line in used.index[missing]:
        exercise, value = used.loc[line, "exercise"], used.loc[line, column]
        known = order.loc[order["exercise"] == exercise, column]
        yield remark(
            code,
            sets.file,
            f"'{value}' is not in the order of {exercise} in {name}.csv.{near(value, known)}",
            f"Spell it as in {name}.csv, or give it a place there.",
            row=int(sets.rows[line]),
            column=column,
            value=value,
        )


def _unlisted_clients(tables: Mapping[str, TypedTable]) -> Iterator[Remark]:
    if "clients" not in tables or tables["clients"].frame.empty:
        return
    sets, listed = tables["sets"], set(tables["clients"].frame["client"].dropna())
    clients = sets.frame["client"].dropna().drop_duplicates()
    unlisted = clients[~clients.isin(listed)]
    for line, client in zip(unlisted.index, unlisted, strict=True):
        yield remark(
            "client_not_listed",
            sets.file,
            f"{client} has sets but no row in clients.csv.{near(client, listed)}",
            "Correct the code, or add the client to clients.csv.",
            row=int(sets.rows[line]),
            column="client",
            value=client,
        )


def _no_main_site(tables: Mapping[str, TypedTable]) -> Iterator[Remark]:
    if "sites" not in tables:
        return
    sites = tables["sites"]
    frame = sites.frame.dropna(subset=["client"])
    main = frame["main"].fillna(False).astype(bool)
    several = frame.groupby("client")["client"].transform("size") > 1
    without = ~main.groupby(frame["client"]).transform("any")
    unmarked = frame.loc[several & without, "client"].drop_duplicates()
    for line, client in zip(unmarked.index, unmarked, strict=True):
        yield remark(
            "no_main_site",
            sites.file,
            f"{client} has several places and none is marked as the main one; the first is taken.",
            "Write yes in the column main for the place the pain columns of sets.csv are about.",
            row=int(sites.rows[line]),
            column="main",
            value=None,
        )
