"""Whether a harder variant is due for a trial, for each exercise and working side (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from itertools import groupby

from analysis.client_settings import ClientSettings, client_settings
from analysis.derive import OUTSIDE_WORK, last_logged_day
from analysis.questions.done_sets import DoneSet, done_sets
from analysis.questions.harder_criteria import (
    compensation_criterion,
    line_criterion,
    morning_criterion,
    pain_criterion,
    reps_criterion,
    reserve_criterion,
)
from analysis.questions.harder_rungs import rungs_of
from analysis.questions.harder_settings import HarderSettings, checked_settings, during_limit
from analysis.questions.harder_trials import decision_of, trial_criterion, trials_of
from analysis.questions.mornings import Morning, mornings
from analysis.questions.proposal_limits import limits_on
from analysis.results import LineRow, Withheld, WorkingSide
from analysis.results_harder import Criterion, HarderRow, HarderStep
from analysis.training_log import TrainingLog


def harder(
    log: TrainingLog,
    client: str,
    *,
    lines: Sequence[LineRow],
    as_of: dt.date | None = None,
    settings: HarderSettings | None = None,
) -> tuple[HarderRow, ...]:
    """The next harder variant of each exercise and working side, and whether a trial of it is due.

    A trial is one set at the lightest step, early, in an otherwise usual session; a second one follows after a
    usual morning. Being due says that the criteria are met, nothing about what the trial will bring.

    Parameters
    ----------
    log : TrainingLog
    client : str
    lines : sequence of LineRow
        The client's pain lines at the same day.
    as_of : date, optional
        Last day that counts, inclusive; the last logged day if None.
    settings : HarderSettings, optional

    Returns
    -------
    tuple of HarderRow
        By first appearance in the log. Exercises whose variants have no order on file are withheld.

    Raises
    ------
    OptionError
        If the client has no records or a setting is outside what is allowed.
    """
    chosen = checked_settings(settings or HarderSettings())
    until = as_of if as_of is not None else last_logged_day(log, client)
    own = client_settings(log, client, as_of=until)
    by_day = {one.day: one for one in mornings(log, client, as_of=until)}
    works: dict[tuple[str, WorkingSide], list[DoneSet]] = {}
    for one in done_sets(log, own, as_of=until):
        if one.block not in OUTSIDE_WORK:
            works.setdefault((one.exercise, one.works), []).append(one)
    left_out = _left_out(log, client, until)
    rows = []
    for (exercise, side), mine in works.items():
        order = _order(log, exercise)
        worked = [one for one in mine if not one.trial and one.kind != "warm-up" and one.block != "ramp-up"]
        now = _now(worked, order, chosen)
        answer = _no_next(worked, order, now) or _criteria_and_trials(
            mine,
            worked,
            variant=order[now or 0],
            next_variant=order[(now or 0) + 1],
            lines=[
                row
                for row in lines
                if (row.key.exercise, row.key.works, row.chance) == (exercise, side, chosen.chance)
            ],
            by_day=by_day,
            own=own,
            chosen=chosen,
            left_out=exercise in left_out or None in left_out,
        )
        rows.append(
            HarderRow(
                exercise=exercise,
                works=side,
                now=None if now is None else order[now],
                rungs=rungs_of(mine, order),
                answer=answer,
            )
        )
    return tuple(rows)


def _order(log: TrainingLog, exercise: str) -> list[str]:
    """The coach's variants of an exercise, the easiest first."""
    mine = log.variants[log.variants["exercise"] == exercise]
    names: list[str] = mine.sort_values("order", kind="stable")["variant"].tolist()
    return names


def _left_out(log: TrainingLog, client: str, day: dt.date) -> set[str | None]:
    """Exercises to be left out that day; None stands for all of them."""
    limits = limits_on(log, client, day=day)
    named = limits.loc[limits["leave_out"].fillna(False).astype(bool), "exercise"]
    return {None if blank else name for name, blank in zip(named.tolist(), named.isna(), strict=True)}


def _now(worked: Sequence[DoneSet], order: Sequence[str], chosen: HarderSettings) -> int | None:
    """Place of the hardest variant of the last sessions; None where none of them is in the order."""
    recent = sorted({one.session_key for one in worked})[-chosen.recent_sessions :]
    ranked = [
        order.index(one.variant) for one in worked if one.session_key in recent and one.variant in order
    ]
    return max(ranked, default=None)


def _no_next(worked: Sequence[DoneSet], order: Sequence[str], now: int | None) -> Withheld | None:
    """Why there is no next variant; None where there is one."""
    if not worked:
        return Withheld(
            reason="No working set yet, only warm-ups or trials.", remedy="Log working sets of this exercise."
        )
    if len(order) < 2:
        return Withheld(
            reason="The variants of this exercise have no order on file.",
            remedy="List them in variants.csv, the easiest first.",
        )
    if now is None:
        return Withheld(
            reason=f"{worked[-1].variant} is not among the variants in variants.csv.",
            remedy="Give it its place in the order.",
        )
    if now + 1 == len(order):
        return Withheld(
            reason=f"{order[now]} is the hardest variant on file.",
            remedy="Add a harder one to variants.csv when there is one to try.",
        )
    return None


def _criteria_and_trials(
    sets: Sequence[DoneSet],
    worked: Sequence[DoneSet],
    *,
    variant: str,
    next_variant: str,
    lines: Sequence[LineRow],
    by_day: Mapping[dt.date, Morning],
    own: ClientSettings,
    chosen: HarderSettings,
    left_out: bool,
) -> HarderStep:
    with_it = [one for one in worked if one.variant == variant]
    every = [tuple(group) for _, group in groupby(with_it, key=lambda one: one.session_key)]
    sessions = every[-chosen.sessions_running :]
    heaviest = max(sessions[-1], key=lambda one: float("-inf") if one.load_kg is None else one.load_kg)
    trials = trials_of(sets, next_variant, by_day)
    criteria = (
        Criterion(name="limits", state="not met" if left_out else "met"),
        reps_criterion(sessions, heaviest.load_kg, needed=chosen.sessions_running),
        reserve_criterion(sessions, heaviest.load_kg, needed=chosen.reserve_reps),
        pain_criterion(sessions, limit=during_limit(chosen, own)),
        morning_criterion(sessions, by_day, limit=own.limit_next_morning),
        compensation_criterion(sessions),
        line_criterion(
            [row for row in lines if row.key.variant == variant], heaviest.load_term_kg, chance=chosen.chance
        ),
        trial_criterion(trials, sessions[0][0].day),
    )
    loads = [one.load_kg for one in sets if one.load_kg is not None]
    return HarderStep(
        variant=variant,
        next_variant=next_variant,
        working_load_kg=heaviest.load_kg,
        load_basis=heaviest.load_basis,
        days=tuple(session[0].day for session in sessions),
        criteria=criteria,
        decision=decision_of(
            criteria, trials, last_worked=sessions[-1][0].day, quiet_trials=chosen.quiet_trials
        ),
        first_reason=next((one for one in criteria if one.state != "met"), None),
        trial_load_kg=min(loads) if loads else None,
        trials=trials,
        next_last_day=max((one.day for one in worked if one.variant == next_variant), default=None),
    )
