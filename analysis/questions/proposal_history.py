"""What was done and felt on each day of one line, as the rules of a proposal need it (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import pandas as pd

from analysis.derive import OUTSIDE_WORK
from analysis.results import AskedSide, LineKey, WorkingSide

STOP_FEELS = ("sharp", "catching", "giving way")
"""Feelings after which an exercise is left for the day (common practice)."""
WORKING_KINDS = ("working", "rest-pause")
"""Kinds of set whose repetitions and reserve speak of the plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAtLoad:
    """Asked sets of one load on one day; days with a painkiller are marked."""

    load_kg: float
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One day of one line.

    Attributes
    ----------
    day : date
    loads : tuple of DayAtLoad
        Lightest first.
    n_asked, n_painful : int
    painkiller : bool
    feels : tuple of str
        Those of `STOP_FEELS` that were met in any set of the exercise, variant and working side.
    left_it, stopped_for_pain, compensation_clear : bool
        Whether any such set had it.
    goal_met : bool or None
        Reps aimed at were reached in every working set that tells; None where none tells.
    least_rir : float or None
        Fewest reps in reserve of the working sets that tell.
    last_reps, target_reps : float or None
        Of the last working set.
    lifting_s : float or None
        Of the last set.
    """

    day: dt.date
    loads: tuple[DayAtLoad, ...]
    n_asked: int
    n_painful: int
    painkiller: bool
    feels: tuple[str, ...]
    left_it: bool
    stopped_for_pain: bool
    compensation_clear: bool
    goal_met: bool | None
    least_rir: float | None
    last_reps: float | None
    target_reps: float | None
    lifting_s: float | None

    @property
    def heaviest_kg(self) -> float | None:
        """Heaviest asked load of the day."""
        return self.loads[-1].load_kg if self.loads else None

    @property
    def quiet(self) -> bool:
        """Whether something was asked and nothing hurt."""
        return self.n_asked > 0 and self.n_painful == 0


class _Row(NamedTuple):
    """One set, or one answer of a set; None is blank."""

    day: dt.date
    exercise: str
    variant: str
    works: WorkingSide
    asked_side: AskedSide
    load_term_kg: float | None
    hurt: bool | None
    painkiller: bool
    kind: str
    pain_feel: str | None
    response: str | None
    stopped_for: str | None
    compensation: str | None
    rir: float | None
    reps: float | None
    target_reps: float | None
    lifting_s: float | None


COLUMNS = _Row._fields[1:]


def exposures_by_line(
    sets: pd.DataFrame, answered: pd.DataFrame, *, since: dt.date
) -> dict[LineKey, tuple[Exposure, ...]]:
    """Days of every line, oldest first.

    Parameters
    ----------
    sets : DataFrame
        `analysis.derive.derive_sets`.
    answered : DataFrame
        `analysis.observations.answers` of the same sets.
    since : date
        Earlier days are left out; so are preparation and cool-down.

    Returns
    -------
    dict
        A line to the days on which its side was asked.
    """
    work: dict[tuple[str, str, str, dt.date], list[_Row]] = {}
    for row in _rows(sets, since):
        work.setdefault((row.exercise, row.variant, row.works, row.day), []).append(row)
    asked: dict[LineKey, dict[dt.date, list[_Row]]] = {}
    for row in _rows(answered, since):
        key = LineKey(exercise=row.exercise, variant=row.variant, side=row.asked_side, works=row.works)
        asked.setdefault(key, {}).setdefault(row.day, []).append(row)
    return {
        key: tuple(
            _exposure(day, rows, work[key.exercise, key.variant, key.works, day])
            for day, rows in sorted(days.items())
        )
        for key, days in asked.items()
    }


def heaviest_quiet_kg(days: Iterable[Exposure], *, since: dt.date, until: dt.date) -> float | None:
    """Heaviest load all of whose asked sets of a day were quiet, painkiller days apart.

    Parameters
    ----------
    days : iterable of Exposure
    since, until : date
        Days after the first, up to and with the second.

    Returns
    -------
    float or None
        None where no load was quiet.
    """
    quiet = [
        load.load_kg
        for one in days
        if since < one.day <= until and not one.painkiller
        for load in one.loads
        if load.n_painful == 0
    ]
    return max(quiet, default=None)


def two_for_two(days: Sequence[Exposure], *, more_reps: int = 2) -> bool | None:
    """Whether the last sets of the last two days had so many reps over the target (NSCA's rule).

    Parameters
    ----------
    days : sequence of Exposure
        Oldest first.
    more_reps : int, default 2

    Returns
    -------
    bool or None
        None where reps or target are not known for both.
    """
    over = [_reps_over(one) for one in days[-2:]]
    known = [value for value in over if value is not None]
    return all(value >= more_reps for value in known) if len(known) == 2 else None


def _reps_over(day: Exposure) -> float | None:
    if day.last_reps is None or day.target_reps is None:
        return None
    return day.last_reps - day.target_reps


def _rows(frame: pd.DataFrame, since: dt.date) -> list[_Row]:
    """Rows with blanks as None; plain values, since a line is looked at day by day."""
    kept = frame[(frame["date"] >= pd.Timestamp(since)) & ~frame["block"].isin(OUTSIDE_WORK)]
    columns = [_plain(kept, name) for name in COLUMNS]
    days = [stamp.date() for stamp in kept["date"]]
    return [_Row(day, *values) for day, *values in zip(days, *columns, strict=True)]


def _plain(frame: pd.DataFrame, name: str) -> list[Any]:
    if name not in frame:
        return [None] * len(frame)
    column = frame[name]
    return column.astype(object).where(column.notna(), None).tolist()


def _exposure(day: dt.date, asked: list[_Row], work: list[_Row]) -> Exposure:
    by_load: dict[float, list[bool]] = {}
    for row in asked:
        if row.load_term_kg is not None:
            by_load.setdefault(round(row.load_term_kg, 6), []).append(bool(row.hurt))
    planned = [row for row in work if row.kind in WORKING_KINDS]
    last = (planned or work)[-1]
    return Exposure(
        day=day,
        loads=tuple(
            DayAtLoad(load_kg=load, n_asked=len(hurt), n_painful=sum(hurt))
            for load, hurt in sorted(by_load.items())
        ),
        n_asked=len(asked),
        n_painful=sum(bool(row.hurt) for row in asked),
        painkiller=any(row.painkiller for row in asked),
        feels=tuple(feel for feel in STOP_FEELS if any(row.pain_feel == feel for row in work)),
        left_it=any(row.response == "left it" for row in work),
        stopped_for_pain=any(row.stopped_for == "pain" for row in work),
        compensation_clear=any(row.compensation == "clear" for row in work),
        goal_met=_goal_met(planned),
        least_rir=min((float(row.rir) for row in planned if row.rir is not None), default=None),
        last_reps=last.reps,
        target_reps=last.target_reps,
        lifting_s=work[-1].lifting_s,
    )


def _goal_met(planned: list[_Row]) -> bool | None:
    """Reps against the target; without a target, whether the set was ended at its goal."""
    told: list[bool] = []
    for row in planned:
        if row.reps is not None and row.target_reps is not None:
            told.append(row.reps >= row.target_reps)
        elif row.stopped_for is not None:
            told.append(row.stopped_for == "goal")
    return all(told) if told else None
