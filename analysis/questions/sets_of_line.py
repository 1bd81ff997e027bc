"""The real sets behind one pain line, oldest first, as they were done and felt (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pandas as pd

from analysis.observations import observations
from analysis.results import LineKey
from analysis.training_log import TrainingLog


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenSet:
    """One asked set of a line.

    Attributes
    ----------
    day : date
    load_kg : float or None
        Load of the model's load term; None without one.
    pain : int
        Pain 0-10; for a set stopped for pain without a score, the client's level ("at least").
    at_least : bool
        Whether `pain` is only a lower bound.
    hurt : bool
        Pain at the client's level or more.
    reps : int or None
    painkiller : bool
        Taken that day: shown, but outside the model.
    source_row : int or None
        Row of ``sets.csv`` as a spreadsheet counts.
    """

    day: dt.date
    load_kg: float | None
    pain: int
    at_least: bool
    hurt: bool
    reps: int | None
    painkiller: bool
    source_row: int | None


def sets_of_line(
    log: TrainingLog, client: str, key: LineKey, *, as_of: dt.date | None = None
) -> tuple[SeenSet, ...]:
    """Asked sets of one exercise, variant, side that hurts and side that works.

    Parameters
    ----------
    log : TrainingLog
    client : str
    key : LineKey
    as_of : date, optional
        Last day counted, inclusive; all days if None.

    Returns
    -------
    tuple of SeenSet
        Oldest first; empty when none was asked.
    """
    frame = observations(log, client, as_of=as_of)
    mine = frame[
        (frame["exercise"] == key.exercise)
        & (frame["variant"] == key.variant)
        & (frame["asked_side"] == key.side)
        & (frame["works"] == key.works)
    ]
    return tuple(
        SeenSet(
            day=pd.Timestamp(row.date).date(),
            load_kg=None if pd.isna(row.load_term_kg) else float(row.load_term_kg),
            pain=int(row.pain_low),
            at_least=bool(row.censored),
            hurt=bool(row.hurt),
            reps=None if pd.isna(row.reps) else int(row.reps),
            painkiller=bool(row.painkiller),
            source_row=None if pd.isna(row.source_row) else int(row.source_row),
        )
        for row in mine.itertuples(index=False)
    )
