"""Mornings and sessions as a client notes them, made up to fit played sessions (layer: simulate)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from analysis.simulated_log import typed_frame
from analysis.simulated_person import Person


@dataclass(frozen=True, slots=True, kw_only=True)
class Mornings:
    """How mornings go.

    Attributes
    ----------
    usual : float
        Morning pain in the first week, 0 to 10.
    per_log_odds : float
        Points of morning pain per log-odds of the course of pain.
    every : int
        Days between two notes.
    missed_share : float
        Share of days not noted.
    activities : tuple of str
        What is noted now and then as unusual.
    painkiller_from : int
        Morning pain from which a painkiller is taken in half of the days; 11 means never.
    away : tuple of int
        Days without notes, counted from the first session.
    """

    usual: float
    per_log_odds: float = 0.6
    every: int = 1
    missed_share: float = 0.08
    activities: tuple[str, ...] = ()
    painkiller_from: int = 11
    away: tuple[int, ...] = field(default=())


def days_frame(
    rng: np.random.Generator,
    sets: pd.DataFrame,
    person: Person,
    mornings: Mornings,
    *,
    client: str,
) -> pd.DataFrame:
    """The file days.csv from the first session to the last: mornings follow the course and the day before."""
    first, last = sets["date"].min(), sets["date"].max()
    pains = sets[["pain_left", "pain_right", "pain_midline"]].max(axis=1)
    worst_by_day = pains.groupby(sets["date"]).max().fillna(0)
    rows: list[dict[str, object]] = []
    for day in range(0, (last - first).days + 1, mornings.every):
        date = first + dt.timedelta(days=day)
        missed = rng.random() < mornings.missed_share
        yesterday = float(worst_by_day.get(date - dt.timedelta(days=1), 0))
        latent = (
            mornings.usual
            + mornings.per_log_odds * person.trend.at(day / 7)
            + 0.25 * max(0.0, yesterday - 2)
            + rng.normal(0, 0.55)
        )
        morning = int(np.clip(np.round(latent), 0, 10))
        worst = int(np.clip(max(morning, float(worst_by_day.get(date, 0))) + (rng.random() < 0.3), 0, 10))
        unusual = rng.random() < 0.06 and bool(mornings.activities)
        activity = str(rng.choice(mornings.activities)) if unusual else None
        painkiller = morning >= mornings.painkiller_from and rng.random() < 0.5
        soreness = int(np.clip(rng.integers(0, 3) + 2 * (yesterday > 0), 0, 10))
        if missed or day in mornings.away:
            continue
        rows.append(
            {
                "client": client,
                "date": date,
                "pain_morning": morning,
                "pain_worst": worst,
                "night_pain": morning >= 5,
                "swelling": "slight" if morning >= 4 else "none",
                "stiffness_min": float(5 * morning),
                "muscle_soreness": soreness,
                "painkiller": painkiller,
                "activity": activity,
            }
        )
    frame = pd.DataFrame(rows)
    return typed_frame("days", {name: frame[name].to_numpy() for name in frame.columns}, len(frame))


def sessions_frame(
    rng: np.random.Generator, sets: pd.DataFrame, played: pd.DataFrame, *, usual: float, client: str
) -> pd.DataFrame:
    """The file sessions.csv: pain on arrival follows the day effect, pain after the sets."""
    dates = sets["date"].drop_duplicates().to_numpy()
    by_session = played.groupby("session_index")
    day = by_session["day_effect"].first().to_numpy()
    worst = by_session["score"].max().to_numpy()
    n = len(dates)
    arrival = np.clip(np.round(0.5 * usual + 0.8 * day + rng.normal(0, 0.4, n)), 0, 10)
    after = np.clip(np.round(0.5 * worst + rng.normal(0, 0.5, n)), 0, 10)
    return typed_frame(
        "sessions",
        {
            "client": client,
            "date": dates,
            "session": 1,
            "pain_on_arrival": pd.Series(arrival, dtype="Int64"),
            "pain_after": pd.Series(after, dtype="Int64"),
            "minutes": np.round(3.2 * by_session.size().to_numpy() + rng.normal(8, 3, n)),
            "session_rpe": rng.integers(5, 9, n).astype(float),
        },
        n,
    )
