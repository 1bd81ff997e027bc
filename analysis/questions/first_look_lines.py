"""News that rests on the fitted lines: a line that has fallen, a harder variant due for a trial (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.results import LineRow
from analysis.results_first_look import FallenLineNews, TrialNews
from analysis.results_harder import HarderRow, HarderStep
from analysis.results_trend import ChangeRow, LineChange

MOST_CHANCE_UP = 0.05
"""A line counts as fallen when the probability that it rose is this small."""
DUE = frozenset({"due for a trial", "due for a second trial"})


def fallen_line(changes: Sequence[ChangeRow], lines: Sequence[LineRow]) -> FallenLineNews | None:
    """The line that most surely fell in 28 days; of equal ones that with most painful sets, then by name.

    Lines of an exercise move together, so one of them stands for all.

    Parameters
    ----------
    changes : sequence of ChangeRow
    lines : sequence of LineRow
        The same lines, for the count of their painful sets.

    Returns
    -------
    FallenLineNews or None
    """
    painful = {row.key: row.tried.n_painful for row in lines}
    fallen = [
        one.since_28_days
        for one in changes
        if isinstance(one.since_28_days, LineChange) and one.since_28_days.probability_up <= MOST_CHANCE_UP
    ]
    if not fallen:
        return None
    first = min(
        fallen,
        key=lambda one: (
            one.probability_up,
            -painful.get(one.key, 0),
            (one.key.exercise, one.key.variant, one.key.side, one.key.works),
        ),
    )
    return FallenLineNews(
        day=first.end, key=first.key, since=first.start, probability_up=first.probability_up
    )


def trial_due(rows: Sequence[HarderRow]) -> TrialNews | None:
    """The harder variant due for a trial, the one read from the newest session, then in the order given.

    Parameters
    ----------
    rows : sequence of HarderRow

    Returns
    -------
    TrialNews or None
    """
    due = [
        (row, row.answer)
        for row in rows
        if isinstance(row.answer, HarderStep) and row.answer.decision in DUE and row.answer.days
    ]
    if not due:
        return None
    row, step = max(due, key=lambda one: _last(one[1]))
    return TrialNews(
        day=_last(step),
        exercise=row.exercise,
        works=row.works,
        next_variant=step.next_variant,
        is_second=step.decision == "due for a second trial",
        n_due=len(due),
    )


def _last(step: HarderStep) -> dt.date:
    return max(step.days)
