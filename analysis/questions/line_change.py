"""Has the line moved? Now against an earlier day, from one fit (layer: questions)."""

from __future__ import annotations

import datetime as dt
from typing import Literal

import numpy as np

from analysis.models.line_on_day import days_with_sets, line_draws_on_day
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, interval_kg
from analysis.numerics.intervals import central_interval
from analysis.questions.line_key import checked_share
from analysis.questions.line_reasons import withheld_answer
from analysis.questions.pain_line import FEWEST_ASKED, pain_line
from analysis.results import LineKey, PainLine, Tried, Withheld
from analysis.results_trend import ChangeRow, LineChange

DAYS_BACK = 28
SURE = 0.95
CLAIM_DAYS = 42
"""A change is said in words from six weeks on; sooner "it fell" is wrong too often."""
CHANCE = 0.2


def line_changes(fit: PainFit, *, at: At = "usual", confidence_level: float = 0.8) -> tuple[ChangeRow, ...]:
    """Change of every line since the exercise's first session and since 28 days ago.

    Parameters
    ----------
    fit : PainFit
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of ChangeRow
        "28 days ago" is the last day with sets of the exercise that lies so far back.
    """
    if fit.design is None:
        return ()
    painful = {key.exercise for key, tried in fit.tried.items() if tried.n_painful}
    rows = []
    for key, tried in fit.tried.items():
        days = days_with_sets(fit.design, key.exercise)
        first = int(days.max())
        if (why := _withheld(tried, first, hurt=key.exercise in painful)) is not None:
            rows.append(ChangeRow(key=key, since_first=why, since_28_days=why))
            continue
        recent = int(days[days >= DAYS_BACK].min())
        since_first, since_28 = (
            line_change(fit, key, days_back=back, at=at, confidence_level=confidence_level)
            for back in (first, recent)
        )
        rows.append(ChangeRow(key=key, since_first=since_first, since_28_days=since_28))
    return tuple(rows)


def _withheld(tried: Tried, first_days_back: int, *, hurt: bool) -> Withheld | None:
    """Why a line cannot be set against an earlier day; None where it can."""
    if tried.n_asked < FEWEST_ASKED or len(tried.loads) == 1:
        return withheld_answer(tried, FEWEST_ASKED)
    if tried.heaviest_kg is None:
        return Withheld(
            reason="These sets have no load in kilograms, so no line can move.",
            remedy="Pain at one fixed set is followed week by week all the same.",
        )
    if not hurt:
        return Withheld(
            reason="No set of this exercise hurt, so its line has shown nowhere where it lies.",
            remedy="Nothing to mend; the heaviest load that was quiet tells what has changed.",
        )
    if first_days_back < DAYS_BACK:
        return Withheld(
            reason=f"First done {first_days_back} days before the last session.",
            remedy=f"From {DAYS_BACK} days on the line is set against where it began.",
        )
    return None


def line_change(
    fit: PainFit,
    key: LineKey,
    *,
    days_back: int,
    at: At = "usual",
    confidence_level: float = 0.8,
) -> LineChange:
    """Log ratio of the line now and on an earlier day, draw by draw.

    Parameters
    ----------
    fit : PainFit
    key : LineKey
        One of `fit.tried` with a load.
    days_back : int
        Days before the last session; something must have been asked in those seven days.
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    LineChange

    Raises
    ------
    OptionError
        If nothing was asked around that day, or `confidence_level` is not strictly between 0 and 1.
    """
    confidence_level = checked_share("confidence_level", confidence_level)
    assert fit.design is not None and fit.last_set_day is not None  # noqa: PT018
    now, then = (
        line_draws_on_day(fit, fit.design, key, days_back=back, level=fit.level, chance=CHANCE, at=at)
        for back in (0, days_back)
    )
    change = now - then
    low, middle, high = central_interval(change, confidence_level)
    low95, _, high95 = central_interval(change, 0.95)
    up = float((change > 0).mean())
    today = pain_line(
        fit, exercise=key.exercise, variant=key.variant, side=key.side, works=key.works, chance=CHANCE, at=at
    )
    is_reached = isinstance(today, PainLine) and today.status == "reached"
    return LineChange(
        key=key,
        start=fit.last_set_day - dt.timedelta(days=days_back),
        end=fit.last_set_day,
        log2_change=float(middle),
        low=float(low),
        high=float(high),
        confidence_level=confidence_level,
        low95=float(low95),
        high95=float(high95),
        probability_up=up,
        from_kg=float(interval_kg(then, confidence_level)[1]) if is_reached else None,
        to_kg=float(interval_kg(now, confidence_level)[1]) if is_reached else None,
        claim=_claim(up, float(np.mean(change < 0)), days_back),
    )


def _claim(up: float, down: float, days: int) -> Literal["up", "down"] | None:
    if days < CLAIM_DAYS:
        return None
    if up >= SURE:
        return "up"
    return "down" if down >= SURE else None
