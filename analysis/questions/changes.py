"""What was changed when, and what happened besides: the labels above a month's chart (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from itertools import pairwise
from statistics import mode
from typing import Literal

import pandas as pd

from analysis.results import LineKey
from analysis.training_log import TrainingLog

SLOWER_S = 1.0
"""A session's median lowering this much off the one before counts as changed, in seconds (a setting)."""
RANGE_POINTS = 10.0
"""A day's median range this much off the one before counts as changed, in percent of the full range (a setting)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthEvent:
    """Something that happened or was changed.

    Attributes
    ----------
    day : date
    kind : {"logged", "heaviest", "lowering", "range", "variant"}
    event : str
        For a logged event its kind, such as ``away``; for a variant its name, for a range its named stop; else
        empty.
    note : str or None
    value, before : float or None
        Kilograms for ``heaviest``, seconds for ``lowering``, percent of the full range for a ``range`` without
        a named stop.
    """

    day: dt.date
    kind: Literal["logged", "heaviest", "lowering", "range", "variant"]
    event: str = ""
    note: str | None = None
    value: float | None = None
    before: float | None = None


def logged_events(log: TrainingLog, client: str, first: dt.date, last: dt.date) -> tuple[MonthEvent, ...]:
    """Events of ``events.csv`` between two days, both inclusive."""
    events = log.events
    mine = events[
        (events["client"] == client)
        & (events["date"] >= pd.Timestamp(first))
        & (events["date"] <= pd.Timestamp(last))
    ]
    return tuple(
        MonthEvent(
            day=row.date.date(),
            kind="logged",
            event=str(row.event),
            note=None if pd.isna(row.note) else str(row.note),
        )
        for row in mine.itertuples(index=False)
    )


def made_changes(sets: pd.DataFrame, key: LineKey, first: dt.date, last: dt.date) -> tuple[MonthEvent, ...]:
    """Changes of one exercise between two days: its heaviest load yet, another lowering or range, a new variant.

    Parameters
    ----------
    sets : DataFrame
        From `derive_sets`, all days up to the last.
    key : LineKey
        Its exercise and the side that works are followed, over all variants.
    first, last : date
        Both inclusive.

    Returns
    -------
    tuple of MonthEvent
        Oldest first. Of the loads only the heaviest one reached in the time, on its first day.
    """
    mine = sets[
        (sets["exercise"] == key.exercise) & (sets["works"] == key.works) & (sets["kind"] != "warm-up")
    ]
    same = mine[mine["variant"] == key.variant]
    found = [
        *_heaviest(same, first, last),
        *_lowering(same, first, last),
        *_range(same, first, last),
        *_variants(mine, first, last),
    ]
    return tuple(sorted(found, key=lambda one: one.day))


def _heaviest(sets: pd.DataFrame, first: dt.date, last: dt.date) -> list[MonthEvent]:
    loads = sets.dropna(subset=["load_term_kg"])
    before = loads.loc[loads["date"] < pd.Timestamp(first), "load_term_kg"]
    now = loads[(loads["date"] >= pd.Timestamp(first)) & (loads["date"] <= pd.Timestamp(last))]
    if now.empty or before.empty or now["load_term_kg"].max() <= before.max():
        return []
    top = now["load_term_kg"].max()
    day = now.loc[now["load_term_kg"] == top, "date"].min().date()
    return [MonthEvent(day=day, kind="heaviest", value=float(top), before=float(before.max()))]


def _lowering(sets: pd.DataFrame, first: dt.date, last: dt.date) -> list[MonthEvent]:
    by_day = sets.dropna(subset=["lowering_s"]).groupby("date")["lowering_s"].median()
    steps = by_day.diff()
    return [
        MonthEvent(
            day=day.date(), kind="lowering", value=float(by_day[day]), before=float(by_day[day] - step)
        )
        for day, step in steps.items()
        if abs(step) >= SLOWER_S and first <= day.date() <= last
    ]


def _range(sets: pd.DataFrame, first: dt.date, last: dt.date) -> list[MonthEvent]:
    """Another usual stop than the day before had; where no stop is named, another median range."""
    stops = sets.dropna(subset=["range_stop"])
    if len(stops):
        days: dict[pd.Timestamp, list[str]] = {}
        for day, stop in zip(stops["date"].tolist(), stops["range_stop"].tolist(), strict=True):
            days.setdefault(day, []).append(stop)
        usual = [(day.date(), mode(sorted(days[day]))) for day in sorted(days)]
        return [
            MonthEvent(day=day, kind="range", event=stop)
            for (_, before), (day, stop) in pairwise(usual)
            if stop != before and first <= day <= last
        ]
    by_day = sets.dropna(subset=["rom_pct"]).groupby("date")["rom_pct"].median()
    return [
        MonthEvent(day=day.date(), kind="range", value=float(by_day[day]), before=float(by_day[day] - step))
        for day, step in by_day.diff().items()
        if abs(step) >= RANGE_POINTS and first <= day.date() <= last
    ]


def _variants(sets: pd.DataFrame, first: dt.date, last: dt.date) -> list[MonthEvent]:
    begun = sets.groupby("variant")["date"].min()
    if begun.empty:
        return []
    return [
        MonthEvent(day=day.date(), kind="variant", event=str(variant))
        for variant, day in begun.items()
        if first <= day.date() <= last and day > begun.min()
    ]
