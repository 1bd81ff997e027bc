"""Limits in force for one exercise, as a test of two ranges has to keep them (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pandas as pd

from analysis.range_stops import stop_ranks
from analysis.schema import KG_PER_LB
from analysis.training_log import TrainingLog


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeLimits:
    """The strictest of the limits in force; None where there is none."""

    max_load_kg: float | None
    max_range_stop: str | None
    leave_out: bool


def range_limits(log: TrainingLog, client: str, exercise: str, *, as_of: dt.date, unit: str) -> RangeLimits:
    """Limits of a client on an exercise on one day.

    Parameters
    ----------
    log : TrainingLog
    client, exercise : str
    as_of : date
    unit : str
        Of limits that name none: the client's own.

    Returns
    -------
    RangeLimits
    """
    day = pd.Timestamp(as_of)
    limits = log.limits
    mine = limits[
        (limits["client"] == client)
        & (limits["exercise"].isna() | (limits["exercise"] == exercise))
        & (limits["from"].isna() | (limits["from"] <= day))
        & (limits["until"].isna() | (limits["until"] >= day))
    ]
    loads = mine["max_load"].where(mine["unit"].fillna(unit) != "lb", mine["max_load"] * KG_PER_LB)
    stops = mine["max_range_stop"].dropna().tolist()
    ranks = stop_ranks(log.ranges).get(exercise, {})
    unranked = [stop for stop in stops if stop not in ranks]
    return RangeLimits(
        max_load_kg=float(loads.min()) if loads.notna().any() else None,
        max_range_stop=unranked[0] if unranked else min(stops, key=lambda stop: ranks[stop], default=None),
        leave_out=bool(mine["leave_out"].fillna(False).any()),
    )
