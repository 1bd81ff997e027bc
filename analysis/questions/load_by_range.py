"""Loads against ranges of one line: whether the two were ever told apart by what was done (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise

import pandas as pd

from analysis.range_stops import stop_ranks
from analysis.results import LineKey, Withheld
from analysis.results_effects import LoadByRange, RangeCell

MOST_ROWS = 9
"""With more loads than this, neighbours share a row."""
SAME_KG = 0.01
"""Loads closer than this are one load."""
LOG_RANGE = "Log the range of each set: a named stop, ordered in ranges.csv, or percent of the full range."


@dataclass(frozen=True, slots=True, kw_only=True)
class RangedSet:
    """One asked set with a load and a range.

    Attributes
    ----------
    session : int
    place : int
        Position among the asked sets of the line.
    day : date
    days_back : int
        From the last session of the client.
    load_kg : float
    stop : str
        Named stop, or percent such as ``90 %``.
    order : float
        Rank of the stop, or percent: orders the ranges.
    pain : int
    hurt : bool
    note : str
        Empty where there is none.
    """

    session: int
    place: int
    day: dt.date
    days_back: int
    load_kg: float
    stop: str
    order: float
    pain: int
    hurt: bool
    note: str


def sets_of_key(observed: pd.DataFrame, key: LineKey) -> pd.DataFrame:
    """Asked sets of one line, oldest first.

    Parameters
    ----------
    observed : DataFrame
        `analysis.observations.observations`.
    key : LineKey

    Returns
    -------
    DataFrame
    """
    return observed[
        (observed["exercise"] == key.exercise)
        & (observed["variant"] == key.variant)
        & (observed["asked_side"] == key.side)
        & (observed["works"] == key.works)
    ]


def ranged_sets(observed: pd.DataFrame, key: LineKey, ranges: pd.DataFrame) -> tuple[RangedSet, ...]:
    """Asked sets of a line that have a load and a range, oldest first.

    Named stops where that line's sets mostly have them, otherwise percent of the full range, to the nearest 5.

    Parameters
    ----------
    observed : DataFrame
    key : LineKey
    ranges : DataFrame
        The log's order of stops.

    Returns
    -------
    tuple of RangedSet
    """
    mine = sets_of_key(observed, key)
    ranks = stop_ranks(ranges).get(key.exercise, {})
    named = mine["range_stop"].notna().sum() >= mine["rom_pct"].where(mine["range_stop"].isna()).notna().sum()
    unordered = float(len(ranks))
    found = []
    for place, row in enumerate(mine.itertuples(index=False)):
        if pd.isna(row.load_term_kg):
            continue
        if named and not pd.isna(row.range_stop):
            stop, order = str(row.range_stop), ranks.get(str(row.range_stop), unordered)
        elif not named and not pd.isna(row.rom_pct):
            pct = 5.0 * round(float(row.rom_pct) / 5.0)
            stop, order = f"{pct:.0f} %", pct
        else:
            continue
        found.append(
            RangedSet(
                session=int(row.session_key),
                place=place,
                day=pd.Timestamp(row.date).date(),
                days_back=int(row.days_back),
                load_kg=float(row.load_term_kg),
                stop=stop,
                order=float(order),
                pain=int(row.pain_low),
                hurt=bool(row.hurt),
                note="" if pd.isna(row.note) else str(row.note),
            )
        )
    return tuple(found)


def load_by_range(observed: pd.DataFrame, key: LineKey, ranges: pd.DataFrame) -> LoadByRange | Withheld:
    """The grid of loads by ranges of one line.

    Parameters
    ----------
    observed : DataFrame
        `analysis.observations.observations` of the client.
    key : LineKey
    ranges : DataFrame
        The log's order of stops.

    Returns
    -------
    LoadByRange
    Withheld
        Where no asked set has both a load and a range.
    """
    sets = ranged_sets(observed, key, ranges)
    mine = sets_of_key(observed, key)
    if not sets:
        without = mine["load_term_kg"].notna().any()
        return Withheld(
            reason="The range of these sets is not logged." if without else "These sets have no load.",
            remedy=LOG_RANGE if without else "Log the load, or the bodyweight for bodyweight sets.",
        )
    stops = tuple(dict.fromkeys(one.stop for one in sorted(sets, key=lambda one: one.order)))
    rows = load_rows([one.load_kg for one in sets])
    alone = _changes(sets)
    shared = sorted(
        load
        for load in {round(one.load_kg, 2) for one in sets}
        if len({one.stop for one in sets if abs(one.load_kg - load) < SAME_KG}) > 1
    )
    units = mine["unit"].dropna()
    return LoadByRange(
        key=key,
        loads_kg=rows,
        stops=stops,
        cells=_cells(sets, rows, stops),
        n_range_alone=alone[True, False],
        n_load_alone=alone[False, True],
        n_both=alone[True, True],
        n_neither=alone[False, False],
        loads_at_two_stops_kg=tuple(shared),
        n_left_out=len(mine) - len(sets),
        unit="lb" if len(units) and (units == "lb").mean() > 0.5 else "kg",
        load_basis=str(mine["load_basis"].iloc[-1]),
    )


def load_rows(loads_kg: list[float]) -> tuple[tuple[float, float], ...]:
    """Loads as rows, heaviest first; neighbours share a row where there are more than `MOST_ROWS`.

    Parameters
    ----------
    loads_kg : list of float

    Returns
    -------
    tuple of (float, float)
        Lightest and heaviest load of each row.
    """
    distinct = sorted({round(load, 2) for load in loads_kg}, reverse=True)
    size = -(-len(distinct) // MOST_ROWS)
    groups = [distinct[at : at + size] for at in range(0, len(distinct), size)]
    return tuple((group[-1], group[0]) for group in groups)


def _cells(
    sets: tuple[RangedSet, ...], rows: tuple[tuple[float, float], ...], stops: tuple[str, ...]
) -> tuple[RangeCell, ...]:
    cells = []
    for load, (lightest, heaviest) in enumerate(rows):
        for stop, name in enumerate(stops):
            here = [
                one
                for one in sets
                if one.stop == name and lightest - SAME_KG < one.load_kg < heaviest + SAME_KG
            ]
            if here:
                cells.append(
                    RangeCell(
                        load=load,
                        stop=stop,
                        n_asked=len(here),
                        n_painful=sum(one.hurt for one in here),
                        worst=max(one.pain for one in here),
                    )
                )
    return tuple(cells)


def _changes(sets: tuple[RangedSet, ...]) -> dict[tuple[bool, bool], int]:
    """How often (range, load) changed from one set to the next."""
    counts = {(r, w): 0 for r in (True, False) for w in (True, False)}
    for before, after in pairwise(sets):
        counts[before.stop != after.stop, abs(before.load_kg - after.load_kg) >= SAME_KG] += 1
    return counts
