"""Then and now without a model: the same set, the heaviest quiet load, mornings, own tasks (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from statistics import median

import pandas as pd

from analysis.numerics.measurement_error import detectable_change
from analysis.questions.mornings import Morning
from analysis.questions.quiet_loads import quiet_twice_kg
from analysis.results import LineKey, Withheld
from analysis.results_trend import LineFacts, MorningsThenNow, SameSet, Stretches, TaskThenNow, WorkThenNow
from analysis.training_log import TrainingLog

LONGEST_DAYS = 28
FEWEST_DAYS = 28
"""From the first month on there is a then and a now: its two halves; from eight weeks on four weeks each."""
FEWEST_MORNINGS = 4
CONFIDENCE = 0.95


def stretches_of(first: dt.date, last: dt.date) -> Stretches | None:
    """First and last stretch between two days, each half of them and at most four weeks; None under 28 days."""
    n_days = (last - first).days + 1
    if n_days < FEWEST_DAYS:
        return None
    length = dt.timedelta(days=min(LONGEST_DAYS, n_days // 2) - 1)
    return Stretches(first_from=first, first_to=first + length, last_from=last - length, last_to=last)


def line_facts(rows: pd.DataFrame, key: LineKey, *, std_error: float) -> LineFacts:
    """The same set and the heaviest quiet load of one line, then and now.

    Parameters
    ----------
    rows : DataFrame
        Observations of the line.
    key : LineKey
    std_error : float
        Standard error of measurement of one rating, points.

    Returns
    -------
    LineFacts
    """
    stretches = stretches_of(rows["date"].min().date(), rows["date"].max().date())
    if stretches is None:
        n_days = (rows["date"].max() - rows["date"].min()).days + 1
        young = Withheld(
            reason=f"Done over {n_days} {'day' if n_days == 1 else 'days'} so far.",
            remedy=f"From {FEWEST_DAYS} days on its first and last weeks are set side by side.",
        )
        return LineFacts(
            key=key, stretches=None, work=None, same_set=young, quiet_then_kg=None, quiet_now_kg=None
        )
    then = _between(rows, stretches.first_from, stretches.first_to)
    now = _between(rows, stretches.last_from, stretches.last_to)
    return LineFacts(
        key=key,
        stretches=stretches,
        work=_work(then, now, std_error),
        same_set=_same_set(then, now, std_error),
        quiet_then_kg=quiet_twice_kg(then),
        quiet_now_kg=quiet_twice_kg(now),
    )


def mornings_then_now(logged: Sequence[Morning]) -> MorningsThenNow | Withheld:
    """Mornings above usual in the first and the last stretch.

    Parameters
    ----------
    logged : sequence of Morning
        Oldest first.

    Returns
    -------
    MorningsThenNow
    Withheld
        If the logged mornings span fewer than 28 days, or fewer than 4 have a known usual in a stretch.
    """
    remedy = "Log joint pain on getting up, 0 to 10, above all on the morning after a session."
    if not logged:
        return Withheld(reason="Mornings were not logged.", remedy=remedy)
    known = [one for one in logged if one.usual is not None]
    stretches = stretches_of(known[0].day, known[-1].day) if known else None
    if stretches is None:
        return Withheld(reason="Mornings with a known usual span fewer than four weeks.", remedy=remedy)
    then = [one for one in known if stretches.first_from <= one.day <= stretches.first_to]
    now = [one for one in known if stretches.last_from <= one.day <= stretches.last_to]
    if min(len(then), len(now)) < FEWEST_MORNINGS:
        return Withheld(reason="Too few mornings were logged then or now.", remedy=remedy)
    return MorningsThenNow(
        stretches=stretches,
        n_up_then=sum(one.up for one in then),
        n_then=len(then),
        n_up_now=sum(one.up for one in now),
        n_now=len(now),
        median_then=float(median(one.pain for one in then)),
        median_now=float(median(one.pain for one in now)),
    )


def tasks_then_now(log: TrainingLog, client: str, *, as_of: dt.date) -> tuple[TaskThenNow, ...]:
    """Every task of the client rated twice or more, in order of first rating.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date
        Last day that counts, inclusive.

    Returns
    -------
    tuple of TaskThenNow
    """
    tasks = log.tasks
    mine = tasks[(tasks["client"] == client) & (tasks["date"] <= pd.Timestamp(as_of))]
    mine = mine.dropna(subset=["difficulty"]).sort_values("date", kind="stable")
    found = []
    for task, part in mine.groupby("task", sort=False):
        first, last = part.iloc[0], part.iloc[-1]
        if first["date"] == last["date"]:
            continue
        found.append(
            TaskThenNow(
                task=str(task),
                first_day=first["date"].date(),
                first=int(first["difficulty"]),
                last_day=last["date"].date(),
                last=int(last["difficulty"]),
                n_ratings=len(part),
            )
        )
    return tuple(found)


def _between(rows: pd.DataFrame, first: dt.date, last: dt.date) -> pd.DataFrame:
    return rows[(rows["date"] >= pd.Timestamp(first)) & (rows["date"] <= pd.Timestamp(last))]


def _work(then: pd.DataFrame, now: pd.DataFrame, std_error: float) -> WorkThenNow | None:
    """Heaviest load and worst score of each day with both, averaged over the days of a stretch."""
    before, after = (
        _scored(rows).groupby("date")[["load_term_kg", "pain_low"]].max() for rows in (then, now)
    )
    if before.empty or after.empty:
        return None
    (load_then, pain_then), (load_now, pain_now) = (
        days.astype("float64").mean().tolist() for days in (before, after)
    )
    least = detectable_change(
        std_error, n_before=len(before), n_after=len(after), confidence_level=CONFIDENCE
    )
    return WorkThenNow(
        load_then_kg=load_then,
        load_now_kg=load_now,
        pain_then=pain_then,
        pain_now=pain_now,
        n_days_then=len(before),
        n_days_now=len(after),
        detectable=least,
        pain_moved=abs(pain_now - pain_then) > least,
    )


def _scored(rows: pd.DataFrame) -> pd.DataFrame:
    """Sets with a load and a score; a pain stop without a score has none."""
    return rows[~rows["censored"].to_numpy(bool)].dropna(subset=["load_term_kg"])


def _same_set(then: pd.DataFrame, now: pd.DataFrame, std_error: float) -> SameSet | Withheld:
    """Pain at the load that was done on most days in both stretches, the heavier of equals."""
    days_then, days_now = _day_means(then), _day_means(now)
    common = sorted(set(days_then) & set(days_now))
    if not common:
        return Withheld(
            reason="No load was done both then and now.",
            remedy="A test set, one load repeated every week or two, gives the plainest comparison.",
        )
    load = max(common, key=lambda one: (min(len(days_then[one]), len(days_now[one])), one))
    before, after = days_then[load], days_now[load]
    change = sum(after) / len(after) - sum(before) / len(before)
    least = detectable_change(
        std_error, n_before=len(before), n_after=len(after), confidence_level=CONFIDENCE
    )
    return SameSet(
        load_kg=load,
        then=sum(before) / len(before),
        now=sum(after) / len(after),
        n_days_then=len(before),
        n_days_now=len(after),
        detectable=least,
        is_more_than_error=abs(change) > least,
    )


def _day_means(rows: pd.DataFrame) -> dict[float, list[float]]:
    """Mean score of each day at each load."""
    scored = _scored(rows)
    days: dict[tuple[float, pd.Timestamp], list[float]] = {}
    loads, pains = scored["load_term_kg"].round(6).tolist(), scored["pain_low"].tolist()
    for load, day, pain in zip(loads, scored["date"].tolist(), pains, strict=True):
        days.setdefault((load, day), []).append(float(pain))
    found: dict[float, list[float]] = {}
    for (load, _), scores in days.items():
        found.setdefault(load, []).append(sum(scores) / len(scores))
    return found
