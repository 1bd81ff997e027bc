"""The criteria of a trial, each met, not met or not logged, from the last sessions of a variant (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from analysis.questions.done_sets import DoneSet
from analysis.questions.mornings import Morning
from analysis.results import LineRow, PainLine
from analysis.results_harder import Criterion, CriterionState

NEARLY = 1e-6
NEXT_DAY = dt.timedelta(days=1)
STOP_FEELS = ("sharp", "catching", "giving way")
"""Feelings that end an exercise for the day whatever the score (common practice)."""

Sessions = Sequence[Sequence[DoneSet]]


def at_working_load(session: Sequence[DoneSet], load_kg: float | None) -> list[DoneSet]:
    """Sets of a session at the working load or above it; all of them where there is no load."""
    if load_kg is None:
        return list(session)
    return [one for one in session if one.load_kg is not None and one.load_kg >= load_kg - NEARLY]


def target_reached(one: DoneSet) -> bool | None:
    """Whether the planned reps were done; without a plan, as for holds, whether the set ended at its goal."""
    if one.reps is not None and one.target_reps is not None:
        return one.reps >= one.target_reps
    return None if one.stopped_for is None else one.stopped_for == "goal"


def reps_criterion(sessions: Sessions, load_kg: float | None, *, needed: int) -> Criterion:
    """Target reps in every set at the working load, so many sessions running.

    Parameters
    ----------
    sessions : sequence of sequence of DoneSet
        Oldest first.
    load_kg : float or None
        The working load, as lifted.
    needed : int

    Returns
    -------
    Criterion
        `value` is the number of sessions running, `bound` how many are needed.
    """
    running = 0
    for session in reversed(sessions):
        there = at_working_load(session, load_kg)
        reached = [target_reached(one) for one in there]
        if not reached or False in reached:
            return Criterion(name="reps", state="not met", value=running, bound=needed, day=session[0].day)
        if None in reached:
            return Criterion(name="reps", state="not logged", value=running, bound=needed, day=session[0].day)
        running += 1
    state: CriterionState = "met" if running >= needed else "not met"
    return Criterion(name="reps", state=state, value=running, bound=needed)


def reserve_criterion(sessions: Sessions, load_kg: float | None, *, needed: float) -> Criterion:
    """Fewest repetitions in reserve logged at the working load; a session without any is not logged."""
    lowest: tuple[float, dt.date] | None = None
    blank: dt.date | None = None
    for session in sessions:
        known = [one.rir for one in at_working_load(session, load_kg) if one.rir is not None]
        if not known:
            blank = session[0].day
        elif lowest is None or min(known) < lowest[0]:
            lowest = (min(known), session[0].day)
    if lowest is not None and lowest[0] < needed:
        return Criterion(name="reserve", state="not met", value=lowest[0], bound=needed, day=lowest[1])
    if lowest is None or blank is not None:
        return Criterion(name="reserve", state="not logged", bound=needed, day=blank)
    return Criterion(name="reserve", state="met", value=lowest[0], bound=needed)


def pain_criterion(sessions: Sessions, *, limit: int) -> Criterion:
    """Worst pain of any set and side within the limit; sharp, catching, giving way or a stop for pain is not.

    Scores of a day with a painkiller count against a trial but not for one.
    """
    worst: tuple[int, dt.date] | None = None
    blank: dt.date | None = None
    for session in sessions:
        day = session[0].day
        for one in session:
            if one.stopped_for == "pain":
                return _pain("not met", one, limit, "stopped for pain")
            if one.pain_feel in STOP_FEELS:
                return _pain("not met", one, limit, str(one.pain_feel))
        scores = [score for one in session for score in one.scores.values()]
        if scores and (worst is None or max(scores) > worst[0]):
            worst = (max(scores), day)
        if not scores or any(one.painkiller for one in session):
            blank = day
    if worst is not None and worst[0] > limit:
        return Criterion(name="pain during", state="not met", value=worst[0], bound=limit, day=worst[1])
    if worst is None or blank is not None:
        return Criterion(name="pain during", state="not logged", bound=limit, day=blank)
    return Criterion(name="pain during", state="met", value=worst[0], bound=limit)


def morning_criterion(
    sessions: Sessions, mornings: Mapping[dt.date, Morning], *, limit: int | None
) -> Criterion:
    """Every next morning logged, not up, and within the client's limit where there is one."""
    blank: dt.date | None = None
    worst: int | None = None
    for session in sessions:
        day = session[0].day
        morning = mornings.get(day + NEXT_DAY)
        if morning is None or morning.usual is None:
            blank = day
            if morning is None:
                continue
        over = limit is not None and morning.pain > limit
        if morning.up or over:
            return Criterion(
                name="next morning",
                state="not met",
                value=morning.pain,
                bound=limit if over else morning.usual,
                day=morning.day,
                detail="limit" if over else "usual",
            )
        worst = morning.pain if worst is None else max(worst, morning.pain)
    if blank is not None:
        return Criterion(name="next morning", state="not logged", bound=limit, day=blank)
    return Criterion(name="next morning", state="met", value=worst, bound=limit)


def compensation_criterion(sessions: Sessions) -> Criterion:
    """No clear compensation, and looked at in every session."""
    blank: dt.date | None = None
    for session in sessions:
        seen = [one.compensation for one in session if one.compensation is not None]
        if "clear" in seen:
            return Criterion(name="compensation", state="not met", day=session[0].day, detail="clear")
        if not seen:
            blank = session[0].day
    if blank is not None:
        return Criterion(name="compensation", state="not logged", day=blank)
    return Criterion(name="compensation", state="met")


def line_criterion(lines: Sequence[LineRow], load_term_kg: float | None, *, chance: float) -> Criterion:
    """The pain line of every side asked lies above the working load; the least certain side decides.

    Parameters
    ----------
    lines : sequence of LineRow
        Of that exercise, variant and working side, at `chance`.
    load_term_kg : float or None
        The working load as the model counts it, bodyweight included.
    chance : float

    Returns
    -------
    Criterion
        `value` is the lowest line stated, `bound` the working load, both in kilograms as the model counts; without
        a load the chance of pain and `chance`, and `detail` says so.
    """
    found = [_one_line(row, load_term_kg, chance) for row in lines]
    for state in ("not met", "not logged"):
        for one in found:
            if one.state == state:
                return one
    if not found:
        return Criterion(name="pain line", state="not logged", detail="no set was asked about pain")
    return min(found, key=lambda one: float("inf") if one.value is None else one.value)


def _one_line(row: LineRow, load_kg: float | None, chance: float) -> Criterion:
    line = row.answer
    if not isinstance(line, PainLine):
        return Criterion(name="pain line", state="not logged", bound=load_kg, detail=line.reason)
    if line.status == "no_load" or load_kg is None:
        chances = [one.chance for one in line.conditions]
        if not chances:
            return Criterion(name="pain line", state="not logged", detail=line.reason or "no load to compare")
        above = max(chances) > chance
        return Criterion(
            name="pain line",
            state="not met" if above else "met",
            value=max(chances),
            bound=chance,
            detail="chance",
        )
    stated = {
        "reached": line.load_kg,
        "above_tried": line.low_kg,
        "lower_only": line.low_kg,
        "below_tried": line.high_kg,
    }[line.status]
    detail = line.status.replace("_", " ") if line.status != "reached" else ""
    state: CriterionState = "not met"
    if line.status == "above_tried" or (stated is not None and stated > load_kg + NEARLY):
        state = "met"
    elif line.status == "lower_only":
        state = "not logged"
    if line.status == "below_tried":
        state = "not met"
    return Criterion(name="pain line", state=state, value=stated, bound=load_kg, detail=detail)


def _pain(state: CriterionState, one: DoneSet, limit: int, detail: str) -> Criterion:
    value = max(one.scores.values(), default=None)
    return Criterion(name="pain during", state=state, value=value, bound=limit, day=one.day, detail=detail)
