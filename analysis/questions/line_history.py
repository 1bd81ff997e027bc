"""The pain line week by week, and the chance of pain over loads, for the two panels of its chart (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from analysis.design import week_middle
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, chance_draws, interval_kg, line_draws
from analysis.numerics.intervals import central_interval
from analysis.questions.line_key import checked_level
from analysis.results import ChanceAtLoad, LineKey, LineWeek


def line_history(
    fit: PainFit, key: LineKey, *, chance: float = 0.2, at: At = "usual", confidence_level: float = 0.8
) -> tuple[LineWeek, ...]:
    """The line as it stood in each week with data of the client, oldest first.

    Parameters
    ----------
    fit : PainFit
    key : LineKey
        One of `fit.tried`.
    chance : float, default 0.2
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of LineWeek
        The day of the last session, and blocks of seven days before it, each stated for its middle day; empty
        without a load term.
    """
    if fit.design is None or fit.last_set_day is None or fit.tried[key].heaviest_kg is None:
        return ()
    weeks = []
    for week in (*fit.design.weeks, 0):
        draws = line_draws(fit, fit.design, key, level=fit.level, chance=chance, at=at, week=week)
        low, middle, high = interval_kg(draws, confidence_level)
        first_day = fit.last_set_day + dt.timedelta(days=7 * week)
        middle_day = fit.last_set_day + dt.timedelta(days=round(7 * week_middle(week)))
        weeks.append(
            LineWeek(
                week=first_day, day=middle_day, load_kg=float(middle), low_kg=float(low), high_kg=float(high)
            )
        )
    return tuple(weeks)


def chance_curve(
    fit: PainFit,
    key: LineKey,
    loads_kg: Sequence[float],
    *,
    level: int | None = None,
    at: At = "usual",
    confidence_level: float = 0.8,
) -> tuple[ChanceAtLoad, ...]:
    """Chance of pain today at each load, with its interval.

    Parameters
    ----------
    fit : PainFit
    key : LineKey
        One of `fit.tried`.
    loads_kg : sequence of float
        Above 0, kg.
    level : int, optional
        The client's own if None.
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of ChanceAtLoad
        The middle is the median, so that the curve meets the line at its chance; empty without a load term.
    """
    level = checked_level(fit, level)
    if fit.design is None or fit.tried[key].heaviest_kg is None or not len(loads_kg):
        return ()
    loads = np.asarray(loads_kg, dtype=float)
    low, middle, high = central_interval(
        chance_draws(fit, fit.design, key, loads, level=level, at=at), confidence_level
    )
    return tuple(
        ChanceAtLoad(load_kg=float(x), chance=float(m), low=float(lo), high=float(hi))
        for x, m, lo, hi in zip(loads, middle, low, high, strict=True)
    )
