"""Trials of a harder variant: dose, outcome, and what they allow next (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from analysis.questions.done_sets import DoneSet
from analysis.questions.harder_criteria import NEXT_DAY
from analysis.questions.mornings import Morning
from analysis.results_harder import Criterion, Decision, Trial, TrialOutcome


def trials_of(
    sets: Sequence[DoneSet], variant: str, mornings: Mapping[dt.date, Morning]
) -> tuple[Trial, ...]:
    """Trials of one variant, oldest first.

    Parameters
    ----------
    sets : sequence of DoneSet
        Of one exercise and working side.
    variant : str
    mornings : dict
        By day.

    Returns
    -------
    tuple of Trial
    """
    mine = [one for one in sets if one.variant == variant]
    return tuple(
        Trial(
            day=one.day,
            session=one.session,
            set_number=one.set_number,
            place=None if one.place is None else int(one.place),
            variant=variant,
            load_kg=one.load_kg,
            reps=one.reps,
            hold_s=one.hold_s,
            n_sets=sum(other.session_key == one.session_key for other in mine),
            pain=max(one.scores.values(), default=None),
            morning_pain=None if (morning := mornings.get(one.day + NEXT_DAY)) is None else morning.pain,
            outcome=_outcome(one, morning),
            compensation=one.compensation,
        )
        for one in mine
        if one.trial
    )


def _outcome(one: DoneSet, morning: Morning | None) -> TrialOutcome:
    if one.hurt or one.stopped_for == "pain":
        return "hurt"
    if morning is not None and morning.up:
        return "morning up"
    if not one.scores:
        return "not asked"
    if morning is None or morning.usual is None:
        return "morning not logged"
    return "quiet"


def trial_criterion(trials: Sequence[Trial], first_day: dt.date | None) -> Criterion:
    """Whether the criteria were read from sessions after the last trial that hurt or left the morning up.

    Parameters
    ----------
    trials : sequence of Trial
    first_day : date or None
        Day of the oldest session the criteria were read from.

    Returns
    -------
    Criterion
    """
    bad = [one for one in trials if one.outcome in ("hurt", "morning up")]
    if not bad or (first_day is not None and first_day > bad[-1].day):
        return Criterion(name="last trial", state="met")
    return Criterion(
        name="last trial", state="not met", value=bad[-1].pain, day=bad[-1].day, detail=bad[-1].outcome
    )


def decision_of(
    criteria: Sequence[Criterion], trials: Sequence[Trial], *, last_worked: dt.date, quiet_trials: int
) -> Decision:
    """What comes next: nothing yet, a trial, a second one, or neither: one is not closed, or enough were quiet.

    Parameters
    ----------
    criteria : sequence of Criterion
    trials : sequence of Trial
        Oldest first.
    last_worked : date
        Last day with the variant worked with now: a trial before it that was never closed is not waited for.
    quiet_trials : int
        Quiet ones in a row that are enough.

    Returns
    -------
    Decision
    """
    running = 0
    for one in reversed(trials):
        if one.outcome != "quiet":
            break
        running += 1
    if running >= quiet_trials:
        return "quiet trials done"
    if any(one.state != "met" for one in criteria):
        return "not yet"
    is_open = bool(trials) and trials[-1].outcome in ("morning not logged", "not asked")
    if is_open and trials[-1].day >= last_worked:
        return "trial not closed"
    return "due for a second trial" if running else "due for a trial"
