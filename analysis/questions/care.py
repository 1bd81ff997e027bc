"""What was logged lately that asks for care: pain over the limit, catching, swelling (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np
import pandas as pd

from analysis.client_settings import ClientSettings, client_settings
from analysis.results_care import CareEntry, CareKind
from analysis.training_log import TrainingLog

LOOKED_AT_DAYS = 14
"""Entries of this many days, the last one included (common practice)."""
HIGH_WITHOUT_LIMIT = 5
"""Pain above this counts as high where no limit is on file: Thomee 1997, Phys Ther 77:1690-1703, from memory."""
FEELS: tuple[CareKind, ...] = ("giving way", "catching", "sharp")
STOP_KINDS: frozenset[CareKind] = frozenset((*FEELS, "night pain", "swelling"))
"""Kinds that stand among the signs to stop and see a clinician."""
SCORES = ["pain_left", "pain_midline", "pain_right"]
SIDES = ("left", "midline", "right")


def care_entries(log: TrainingLog, client: str, *, as_of: dt.date) -> tuple[CareEntry, ...]:
    """Entries of the last two weeks that ask for care, latest first.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date
        Last day that counts, inclusive.

    Returns
    -------
    tuple of CareEntry
    """
    own = client_settings(log, client, as_of=as_of)
    sets, sessions, days = (_lately(frame, client, as_of) for frame in (log.sets, log.sessions, log.days))
    found = [*_of_sets(sets, own), *_of_sessions(sessions, own), *_of_days(days, own)]
    return tuple(sorted(found, key=lambda one: (-one.day.toordinal(), one.kind, one.exercise or "")))


def _lately(frame: pd.DataFrame, client: str, as_of: dt.date) -> pd.DataFrame:
    last = pd.Timestamp(as_of)
    since = last - pd.Timedelta(days=LOOKED_AT_DAYS - 1)
    return frame[(frame["client"] == client) & (frame["date"] >= since) & (frame["date"] <= last)]


def _of_sets(sets: pd.DataFrame, own: ClientSettings) -> Iterator[CareEntry]:
    limit = HIGH_WITHOUT_LIMIT if own.limit_during is None else own.limit_during
    scores = sets[SCORES].to_numpy("float64", na_value=np.nan)
    known = np.isfinite(scores).any(axis=1)
    worst = pd.Series(
        np.nanmax(np.where(np.isfinite(scores), scores, -1.0), axis=1, initial=-1.0), index=sets.index
    )
    worst = worst.where(known)
    hurts = pd.Series(np.array(SIDES)[np.nan_to_num(scores, nan=-1.0).argmax(axis=1)], index=sets.index)
    sets = sets.assign(worst=worst, side=hurts.where(known, sets["side"]))
    feels = {kind: sets["pain_feel"] == kind for kind in FEELS}
    kinds: dict[CareKind, pd.Series] = {**feels, "high in a set": worst > limit}
    for kind, is_so in kinds.items():
        chosen = sets[is_so.fillna(False).to_numpy(bool)]
        for (date, exercise, side), part in chosen.groupby(["date", "exercise", "side"], sort=False):
            score = part["worst"].max()
            yield CareEntry(
                day=date.date(),
                kind=kind,
                exercise=str(exercise),
                side=str(side),
                pain=None if pd.isna(score) else int(score),
                limit=own.limit_during if kind == "high in a set" else None,
                n_sets=len(part),
            )


def _of_sessions(sessions: pd.DataFrame, own: ClientSettings) -> Iterator[CareEntry]:
    yield from _high(sessions, "pain_after", "high after", own.limit_after)


def _of_days(days: pd.DataFrame, own: ClientSettings) -> Iterator[CareEntry]:
    yield from _high(days, "pain_morning", "high next morning", own.limit_next_morning)
    woken = days[days["night_pain"].fillna(False).to_numpy(bool)]
    swollen = days[days["swelling"].isin(["slight", "clear"]).fillna(False).to_numpy(bool)]
    for date in woken["date"].unique():
        yield CareEntry(day=pd.Timestamp(date).date(), kind="night pain")
    for date in swollen["date"].unique():
        yield CareEntry(day=pd.Timestamp(date).date(), kind="swelling")


def _high(frame: pd.DataFrame, column: str, kind: CareKind, on_file: int | None) -> Iterator[CareEntry]:
    limit = HIGH_WITHOUT_LIMIT if on_file is None else on_file
    worst = frame.groupby("date")[column].max().dropna()
    for date, score in worst[worst > limit].items():
        yield CareEntry(day=pd.Timestamp(str(date)).date(), kind=kind, pain=int(score), limit=on_file)
