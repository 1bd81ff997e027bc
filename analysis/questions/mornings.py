"""Mornings against the client's own usual: up next morning, and flares (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from statistics import median

import pandas as pd

from analysis.training_log import TrainingLog

USUAL_DAYS = 14
"""The usual is the median of the mornings logged in this many days before (common practice)."""
FEWEST_MORNINGS = 4
"""Fewer logged mornings than this make no usual (common practice)."""
UP_POINTS = 2.0
"""A morning this much above usual is up; two days running are a flare (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Morning:
    """Joint pain on getting up, against the client's usual.

    Attributes
    ----------
    day : date
    pain : int
        0 to 10, the worst where several sites are logged.
    usual : float or None
        Median of the days before; None while too few are logged.
    up : bool
        At least 2 above usual.
    flare_begins : bool
        The first of two or more days running that are up.
    """

    day: dt.date
    pain: int
    usual: float | None
    up: bool
    flare_begins: bool


def mornings(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> tuple[Morning, ...]:
    """Every logged morning of a client, oldest first; a day without a score is left out.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; all days if None.

    Returns
    -------
    tuple of Morning
    """
    days = log.days[(log.days["client"] == client) & log.days["pain_morning"].notna()]
    if as_of is not None:
        days = days[days["date"] <= pd.Timestamp(as_of)]
    scores = {day.date(): int(pain) for day, pain in days.groupby("date")["pain_morning"].max().items()}
    usual = {day: _usual(scores, day) for day in scores}
    up = {
        day for day, pain in scores.items() if (known := usual[day]) is not None and pain >= known + UP_POINTS
    }
    one = dt.timedelta(days=1)
    return tuple(
        Morning(
            day=day,
            pain=scores[day],
            usual=usual[day],
            up=day in up,
            flare_begins=day in up and day + one in up and day - one not in up,
        )
        for day in sorted(scores)
    )


def _usual(scores: dict[dt.date, int], day: dt.date) -> float | None:
    before = [
        pain
        for back in range(1, USUAL_DAYS + 1)
        if (pain := scores.get(day - dt.timedelta(days=back))) is not None
    ]
    return float(median(before)) if len(before) >= FEWEST_MORNINGS else None
