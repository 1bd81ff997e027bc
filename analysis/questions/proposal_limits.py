"""The limits of limits.csv that hold for one exercise on one day, every one of them kept (layer: questions)."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from analysis.client_settings import ClientSettings
from analysis.range_stops import stop_ranks
from analysis.results_proposal import LimitInForce
from analysis.schema import KG_PER_LB
from analysis.training_log import TrainingLog


def limits_on(log: TrainingLog, client: str, *, day: dt.date) -> pd.DataFrame:
    """Rows of limits.csv that hold for a client on a day, their first and last day included."""
    rows = log.limits[log.limits["client"] == client]
    now = pd.Timestamp(day)
    begun = rows["from"].isna() | (rows["from"] <= now)
    return rows[begun & (rows["until"].isna() | (rows["until"] >= now))]


def limit_in_force(
    limits: pd.DataFrame, ranges: pd.DataFrame, settings: ClientSettings, exercise: str, load_basis: str
) -> LimitInForce | None:
    """The strictest of the limits that hold for an exercise.

    Parameters
    ----------
    limits : DataFrame
        `limits_on` the day.
    ranges : DataFrame
        The log's ``ranges``: which stop is the shorter.
    settings : ClientSettings
        A blank unit is the client's; bodyweight is added to a limit of bodyweight sets.
    exercise : str
    load_basis : str

    Returns
    -------
    LimitInForce or None
        None where none holds. A stop that ranges.csv does not name cannot be compared: it stands only where it
        is the only one.
    """
    rows = limits[limits["exercise"].isna() | (limits["exercise"] == exercise)] if len(limits) else limits
    if not len(rows):
        return None
    unit = rows["unit"].fillna(settings.unit)
    loads = rows["max_load"].where(unit != "lb", rows["max_load"] * KG_PER_LB)
    if load_basis == "bodyweight":
        loads = loads + (settings.bodyweight_kg or 0.0)
    leave_out = bool(rows["leave_out"].fillna(False).any())
    first = rows["leave_out"].fillna(False) if leave_out else loads == loads.min()
    setters = rows[first]["by"].dropna() if first.any() else rows["by"].dropna()
    return LimitInForce(
        max_load_kg=float(loads.min()) if loads.notna().any() else None,
        max_range_stop=_shortest(
            rows["max_range_stop"].dropna().tolist(), stop_ranks(ranges).get(exercise, {})
        ),
        leave_out=leave_out,
        by=str(setters.iloc[0]) if len(setters) else None,
    )


def _shortest(stops: list[str], ranks: dict[str, float]) -> str | None:
    known = [stop for stop in stops if stop in ranks]
    if known:
        return min(known, key=lambda stop: ranks[stop])
    return stops[0] if stops else None
