"""The pain line as it stood on a day with sets, from today's fit (layer: models)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.design import Design, trend_weeks, week_middle
from analysis.errors import OptionError
from analysis.models.prediction import At, NamedPosterior, line_draws
from analysis.results import LineKey

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def days_with_sets(design: Design, exercise: str) -> Ints:
    """Days on which an exercise was asked about, in days before the last session, nearest first.

    Parameters
    ----------
    design : Design
    exercise : str

    Returns
    -------
    ndarray of int, shape (n_days,)
    """
    mine = design.exercise == design.exercises.index(exercise)
    return np.unique(np.rint(-7.0 * design.week_time[mine]).astype(np.int64))


def line_draws_on_day(
    posterior: NamedPosterior,
    design: Design,
    key: LineKey,
    *,
    days_back: int,
    level: int,
    chance: float,
    at: At = "usual",
) -> Floats:
    """Draws of log2 of the line on a day: that of the day's week, moved along the drift within the week.

    Parameters
    ----------
    posterior : NamedPosterior
    design : Design
    key : LineKey
    days_back : int
        Days before the last session, 0 for its day; the block of that day must have data.
    level : int
    chance : float
    at : "usual" or Setting

    Returns
    -------
    ndarray, shape (n_draws,), log2 kg

    Raises
    ------
    OptionError
        If nothing was asked in the seven days that the day belongs to.
    """
    week = -((days_back + 6) // 7)
    if week < 0 and week not in design.weeks:
        raise OptionError(f"days_back is {days_back}; nothing was asked in those seven days.")
    exercise = design.exercises.index(key.exercise)
    moved = posterior.drifts[:, exercise] * (trend_weeks(-days_back / 7.0) - trend_weeks(week_middle(week)))
    line = line_draws(posterior, design, key, level=level, chance=chance, at=at, week=week)
    return np.asarray(line - moved / posterior.slopes[:, exercise])
