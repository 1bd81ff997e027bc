"""What was seen lately with one band, stop or hold, for exercises without a load (layer: questions)."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from analysis.results import LineKey
from analysis.results_proposal import SeenAtCondition

SEEN_DAYS = 84


def condition_seen(answered: pd.DataFrame, key: LineKey, *, day: dt.date) -> SeenAtCondition | None:
    """The way the last set without a load was done, and how often sets like it hurt in twelve weeks.

    Parameters
    ----------
    answered : DataFrame
        `analysis.observations.answers` of the client.
    key : LineKey
    day : date
        Day of the next session; twelve weeks are counted back from it.

    Returns
    -------
    SeenAtCondition or None
        None where the last set has a load.
    """
    rows = answered[
        (answered["exercise"] == key.exercise)
        & (answered["variant"] == key.variant)
        & (answered["works"] == key.works)
        & (answered["asked_side"] == key.side)
        & (answered["date"] >= pd.Timestamp(day - dt.timedelta(days=SEEN_DAYS)))
    ]
    if not len(rows) or not pd.isna(rows["load_term_kg"].iloc[-1]):
        return None
    last = rows.iloc[-1]
    same = pd.Series(True, index=rows.index)
    for name in ("band", "range_stop", "hold_s"):
        same &= rows[name].isna() if pd.isna(last[name]) else rows[name] == last[name]
    like = rows[same]
    return SeenAtCondition(label=_label(last), n_asked=len(like), n_painful=int(like["hurt"].sum()))


def _label(last: pd.Series) -> str:
    parts = [] if pd.isna(last["band"]) else [f"{last['band']} band"]
    if not pd.isna(last["hold_s"]):
        parts.append(f"{last['hold_s']:g} s hold")
    elif not pd.isna(last["reps"]):
        parts.append(f"{last['reps']:g} reps")
    if not pd.isna(last["range_stop"]):
        parts.append(f"to {last['range_stop']}")
    return ", ".join(parts) or "as last time"
