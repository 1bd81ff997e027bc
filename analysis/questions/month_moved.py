"""How load and pain moved from one month to the next: by day, at one load, in all exercises (layer: questions)."""

from __future__ import annotations

import math
from statistics import median

import pandas as pd

from analysis.numerics.measurement_error import detectable_change
from analysis.results import Withheld
from analysis.results_month import Direction, LoadAndPain, LoadsBeside
from analysis.results_trend import SameSet

FEWEST_DAYS = 3
"""Fewer asked days of the line in either month compare no pain (a setting)."""
CONFIDENCE = 0.95
WORK = ["exercise", "variant", "works"]
SAME_LOAD = 0.05
"""Average loads closer than this share are called the same (a setting)."""


def load_and_pain(before: pd.DataFrame, now: pd.DataFrame, *, std_error: float) -> LoadAndPain | Withheld:
    """Heaviest load and worst score of each day of a line, averaged over the days of two months.

    Parameters
    ----------
    before, now : DataFrame
        Answers of one line in each month.
    std_error : float
        Standard error of measurement of one rating, points.

    Returns
    -------
    LoadAndPain
    Withheld
        If either month has fewer than three asked days of the line.
    """
    days = [
        rows.groupby("date")[["load_term_kg", "pain_low"]].max().astype("float64") for rows in (before, now)
    ]
    n_before, n_now = (len(one) for one in days)
    if min(n_before, n_now) < FEWEST_DAYS:
        return Withheld(
            reason="It was asked about pain on too few days to compare:"
            f" {n_before} in the month before, {n_now} in this one.",
            remedy=f"From {FEWEST_DAYS} days in each on load and pain are set side by side.",
        )
    (load_before, pain_before), (load_now, pain_now) = (one.mean().tolist() for one in days)
    least = detectable_change(std_error, n_before=n_before, n_after=n_now, confidence_level=CONFIDENCE)
    change = load_now / load_before - 1.0
    has_load = math.isfinite(change)
    return LoadAndPain(
        load_before_kg=load_before if has_load else None,
        load_now_kg=load_now if has_load else None,
        load_change=change if has_load else None,
        load_moved=_direction(change, SAME_LOAD) if has_load else None,
        pain_before=pain_before,
        pain_now=pain_now,
        n_days_before=n_before,
        n_days_now=n_now,
        detectable=least,
        pain_moved=_direction(pain_now - pain_before, least),
    )


def same_load(before: pd.DataFrame, now: pd.DataFrame, *, std_error: float) -> SameSet | Withheld:
    """Pain of a line at the load that was done on most days in both months, the heavier of equals.

    Parameters
    ----------
    before, now : DataFrame
        Answers of one line in each month; pain stops without a score are left out.
    std_error : float
        Standard error of measurement of one rating, points.

    Returns
    -------
    SameSet
    Withheld
        If no load was asked about in both months.
    """
    days_before, days_now = _day_means(before), _day_means(now)
    common = sorted(set(days_before) & set(days_now))
    if not common:
        return Withheld(
            reason="No load of it was asked about in both months.",
            remedy="A test set, one load repeated every week or two, gives the plainest comparison.",
        )
    load = max(common, key=lambda one: (min(len(days_before[one]), len(days_now[one])), one))
    then, after = days_before[load], days_now[load]
    least = detectable_change(std_error, n_before=len(then), n_after=len(after), confidence_level=CONFIDENCE)
    mean_then, mean_now = sum(then) / len(then), sum(after) / len(after)
    return SameSet(
        load_kg=load,
        then=mean_then,
        now=mean_now,
        n_days_then=len(then),
        n_days_now=len(after),
        detectable=least,
        is_more_than_error=abs(mean_now - mean_then) > least,
    )


def loads_beside(before: pd.DataFrame, now: pd.DataFrame) -> LoadsBeside | Withheld:
    """Loads of everything done with a load in both months, each against itself.

    Parameters
    ----------
    before, now : DataFrame
        Sets of each month.

    Returns
    -------
    LoadsBeside
    Withheld
        If nothing was done with a load in both.
    """
    loads_before, loads_now = _usual_loads(before), _usual_loads(now)
    changes = [
        loads_now[work] / loads_before[work] - 1.0 for work in sorted(set(loads_before) & set(loads_now))
    ]
    if not changes:
        return Withheld(
            reason="No exercise was done with a load in both months.",
            remedy="Nothing to mend; loads are compared where an exercise comes again.",
        )
    moved = [_direction(change, SAME_LOAD) for change in changes]
    return LoadsBeside(
        change=float(median(changes)),
        n_up=moved.count("up"),
        n_same=moved.count("same"),
        n_down=moved.count("down"),
    )


def _direction(change: float, least: float) -> Direction:
    if abs(change) <= least:
        return "same"
    return "up" if change > 0 else "down"


def _usual_loads(sets: pd.DataFrame) -> dict[tuple[str, str, str], float]:
    """Mean over days of the day's heaviest load, kg, of each exercise, variant and working side."""
    heaviest = sets.dropna(subset=["load_term_kg"]).groupby([*WORK, "date"])["load_term_kg"].max()
    if heaviest.empty:
        return {}
    return {
        (str(work[0]), str(work[1]), str(work[2])): float(load)
        for work, load in heaviest.astype("float64").groupby(level=WORK).mean().items()
    }


def _day_means(rows: pd.DataFrame) -> dict[float, list[float]]:
    """Mean score of each day at each load."""
    scored = rows[~rows["censored"].to_numpy(bool)].dropna(subset=["load_term_kg"])
    means = (
        scored["pain_low"].astype("float64").groupby([scored["load_term_kg"].round(6), scored["date"]]).mean()
    )
    found: dict[float, list[float]] = {}
    for (load, _), mean in means.items():
        found.setdefault(float(load), []).append(float(mean))
    return found
