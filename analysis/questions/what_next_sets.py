"""Every set that hurt with the sets, the session and the morning that followed it (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import groupby

from analysis.client_settings import ClientSettings
from analysis.questions.done_sets import DoneSet, done_sets
from analysis.questions.mornings import Morning, mornings
from analysis.questions.what_next_changes import Habit, VariantOrder, away, changes_between, habit_of
from analysis.results import AskedSide, LineKey
from analysis.results_what_next import Deed, FollowingSet, PainfulSet
from analysis.training_log import TrainingLog

SIDES: tuple[AskedSide, ...] = ("left", "right", "midline")


def painful_sets(
    log: TrainingLog, settings: ClientSettings, *, as_of: dt.date, level: int | None = None
) -> tuple[PainfulSet, ...]:
    """Every set and side that hurt, oldest first.

    Parameters
    ----------
    log : TrainingLog
    settings : ClientSettings
        Of the client meant.
    as_of : date
        Last day that counts, inclusive.
    level : int, optional
        Pain that counts; the client's own if None.

    Returns
    -------
    tuple of PainfulSet
    """
    sets = done_sets(log, settings, as_of=as_of, level=level)
    sessions = [tuple(group) for _, group in groupby(sets, key=lambda one: one.session_key)]
    habits = habit_of(sessions)
    order = variant_order(log)
    by_day = {one.day: one for one in mornings(log, settings.client, as_of=as_of)}
    found = []
    for number, session in enumerate(sessions):
        for place, one in enumerate(session):
            for side in SIDES:
                if side in one.hurt:
                    habit = habits[one.exercise, one.works]
                    after = sessions[number + 1 :]
                    found.append(_event(one, side, session, place, after, habit, order, by_day))
    return tuple(found)


def variant_order(log: TrainingLog) -> dict[tuple[str, str], int]:
    """Place of each variant in its exercise's order, the easiest first, by exercise and variant."""
    listed = log.variants
    columns = (listed[name].tolist() for name in ("exercise", "variant", "order"))
    return {(exercise, variant): int(order) for exercise, variant, order in zip(*columns, strict=True)}


def _event(
    one: DoneSet,
    side: AskedSide,
    session: Sequence[DoneSet],
    place: int,
    after: Sequence[Sequence[DoneSet]],
    habit: Habit,
    order: VariantOrder,
    by_day: dict[dt.date, Morning],
) -> PainfulSet:
    later = session[place + 1 :]
    alike = [at for at, other in enumerate(later) if _same_work(one, other)]
    changes: tuple[Deed, ...] = ()
    between: Sequence[DoneSet] = ()
    if alike:
        between = later[: alike[0]]
        first = later[alike[0]]
        changes = (*changes_between(one, first, order), *away(one, between, first, habit))
    n_done = sum(_same_work(one, other) for other in session[: place + 1])
    deed = _deed(one, changes, followed=bool(alike), n_done=n_done, habit=habit)
    next_time = next((other for other_day in after for other in other_day if _same_work(one, other)), None)
    morning = by_day.get(one.day + dt.timedelta(days=1))
    return PainfulSet(
        key=LineKey(exercise=one.exercise, variant=one.variant, side=side, works=one.works),
        day=one.day,
        session=one.session,
        set_number=one.set_number,
        load_kg=one.load_kg,
        load_basis=one.load_basis,
        pain=one.scores[side],
        at_least=one.at_least,
        stopped_for_pain=one.stopped_for == "pain",
        painkiller=one.painkiller,
        deed=deed,
        told=one.response is not None,
        changes=changes,
        n_between=len(between),
        following=tuple(_following(one, later[at], side, order) for at in alike),
        next_time=None if next_time is None else _following(one, next_time, side, order),
        n_later_asked=sum(bool(other.scores) for other in later),
        n_later_painful=sum(bool(other.hurt) for other in later),
        morning_pain=None if morning is None else morning.pain,
        morning_usual=None if morning is None else morning.usual,
        morning_up=None if morning is None or morning.usual is None else morning.up,
        source_row=one.source_row,
    )


def _same_work(one: DoneSet, other: DoneSet) -> bool:
    return one.exercise == other.exercise and one.works == other.works


def _deed(one: DoneSet, changes: tuple[Deed, ...], *, followed: bool, n_done: int, habit: Habit) -> Deed:
    """The logged response; else the one change, several, the same again, left it, or the last set."""
    if one.response is not None:
        return one.response  # type: ignore[return-value]
    if followed:
        if not changes:
            return "same"
        return changes[0] if len(changes) == 1 else "several"
    usual = habit.sets_a_session
    return "left it" if usual is not None and n_done < usual else "last set"


def _following(before: DoneSet, after: DoneSet, side: AskedSide, order: VariantOrder) -> FollowingSet:
    pain = after.scores.get(side)
    return FollowingSet(
        day=after.day,
        set_number=after.set_number,
        variant=after.variant,
        load_kg=after.load_kg,
        pain=pain,
        at_least=after.at_least,
        hurt=None if pain is None else side in after.hurt,
        pain_before=after.pain_before,
        changes=changes_between(before, after, order),
        source_row=after.source_row,
    )
