"""Records of whether a harder variant is due for a trial: criteria, trials and what came of them (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import Withheld, WorkingSide

CriterionName = Literal[
    "limits", "reps", "reserve", "pain during", "next morning", "compensation", "pain line", "last trial"
]
CriterionState = Literal["met", "not met", "not logged"]
TrialOutcome = Literal["quiet", "hurt", "morning up", "morning not logged", "not asked"]
Decision = Literal[
    "due for a trial", "due for a second trial", "quiet trials done", "trial not closed", "not yet"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One condition for a trial, and what was seen.

    Attributes
    ----------
    name : CriterionName
        The order of a step's criteria is fixed: the first that is not met is its reason.
    state : {"met", "not met", "not logged"}
    value, bound : float or None
        What was seen and what it was held against, where both are numbers: sessions at target reps, reps in
        reserve, pain 0-10, kilograms of the line and of the working load.
    day : date or None
        The day that decided it, where it was one.
    detail : str
        What decided it, in few words, where a number does not say it; else empty.
    """

    name: CriterionName
    state: CriterionState
    value: float | None = None
    bound: float | None = None
    day: dt.date | None = None
    detail: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A first go at a harder variant: its dose and its outcome.

    Attributes
    ----------
    day : date
    session, set_number : int
    place : int or None
        Place in the session, preparation not counted.
    variant : str
    load_kg : float or None
        As lifted.
    reps, hold_s : float or None
    n_sets : int
        Sets of that variant and side in that session; a trial is meant to be one.
    pain : int or None
        Worst score of any side asked; None when not asked.
    morning_pain : int or None
    outcome : TrialOutcome
        ``hurt`` includes a set stopped for pain and clear compensation does not; see `compensation`.
    compensation : str or None
    """

    day: dt.date
    session: int
    set_number: int
    place: int | None
    variant: str
    load_kg: float | None
    reps: float | None
    hold_s: float | None
    n_sets: int
    pain: int | None
    morning_pain: int | None
    outcome: TrialOutcome
    compensation: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HarderStep:
    """The next harder variant of one exercise and working side, and whether it is due for a trial.

    Attributes
    ----------
    variant, next_variant : str
        The hardest one worked with lately, and the next in the coach's order.
    working_load_kg : float or None
        Heaviest load of the last session with that variant, as lifted.
    load_basis : str
    days : tuple of date
        Days of the sessions the criteria were read from, oldest first.
    criteria : tuple of Criterion
    decision : Decision
    first_reason : Criterion or None
        The first criterion that is not met or not logged.
    trial_load_kg : float or None
        Lightest load ever used in this exercise, as lifted: where a trial starts.
    trials : tuple of Trial
        Of the next variant, oldest first.
    next_last_day : date or None
        Last day the next variant was worked with other than in a trial.
    """

    variant: str
    next_variant: str
    working_load_kg: float | None
    load_basis: str
    days: tuple[dt.date, ...]
    criteria: tuple[Criterion, ...]
    decision: Decision
    first_reason: Criterion | None
    trial_load_kg: float | None
    trials: tuple[Trial, ...]
    next_last_day: dt.date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """What was seen on one variant with one working side, all weeks.

    Attributes
    ----------
    variant : str
    n_sets, n_asked, n_painful, n_trials : int
        A set is asked when any side was, painful when any side was.
    heaviest_kg : float or None
        As lifted.
    last_day : date or None
        None when never tried.
    """

    variant: str
    n_sets: int
    n_asked: int
    n_painful: int
    n_trials: int
    heaviest_kg: float | None
    last_day: dt.date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HarderRow:
    """One exercise and working side: its variants, the easiest first, and the next step or why none can be named.

    `now` is the variant worked with lately, the hardest of them; None where none of them has a place in the order.
    """

    exercise: str
    works: WorkingSide
    now: str | None
    rungs: tuple[Rung, ...]
    answer: HarderStep | Withheld
