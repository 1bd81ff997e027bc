"""A month beside the month before, number by number, with the cautions that bite (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import pandas as pd

from analysis.questions.changes import MonthEvent
from analysis.questions.month_course import LineRows, MonthCourse
from analysis.questions.month_figures import answer_arrays, asked_of_line, month_figures
from analysis.questions.month_moved import load_and_pain, loads_beside, same_load
from analysis.questions.mornings import Morning
from analysis.results import LineKey, Withheld
from analysis.results_month import (
    AskedSets,
    Direction,
    LineMonths,
    MonthFigures,
    MonthsBeside,
    MorningCounts,
)

FEWEST_ASKED = 6
"""Fewer asked sets make no share of a month (a setting)."""
LINE = ["exercise", "variant", "asked_side", "works"]


def months_beside(
    rows: LineRows,
    month_before: tuple[LineRows, MonthCourse],
    month_now: tuple[LineRows, MonthCourse],
    *,
    rating_error: tuple[float, str],
) -> MonthsBeside:
    """Every number of a month beside the same number of the month before.

    Parameters
    ----------
    rows : LineRows
        Of all days that count.
    month_before, month_now : tuple of LineRows and MonthCourse
        Rows and course of either month.
    rating_error : tuple of float and str
        Standard error of measurement of one rating, points, and where it comes from.

    Returns
    -------
    MonthsBeside
    """
    std_error, source = rating_error
    (earlier, before), (here, now) = month_before, month_now
    begins = rows.sets["date"].min().date() if len(rows.sets) else now.first_day
    moved = load_and_pain(earlier.line_answers, here.line_answers, std_error=std_error)
    return MonthsBeside(
        month_before=f"{before.first_day:%Y-%m}",
        line=_figures(here, now, begins, one_line=True),
        line_before=_figures(earlier, before, begins, one_line=True),
        everything=_figures(here, now, begins, one_line=False),
        everything_before=_figures(earlier, before, begins, one_line=False),
        mornings=morning_counts(now.mornings),
        mornings_before=morning_counts(before.mornings),
        gaps_before=before.gaps,
        load_and_pain=moved,
        same_load=same_load(earlier.line_answers, here.line_answers, std_error=std_error),
        loads=loads_beside(earlier.sets, here.sets),
        lines=lines_beside(earlier.answers, here.answers),
        before_was_worst=before_was_worst(rows.line_answers, now.first_day),
        changed_together=changed_together(
            now.events, None if isinstance(moved, Withheld) else moved.load_moved
        ),
        rating_std_error=std_error,
        rating_std_error_source=source,
    )


def morning_counts(found: Sequence[Morning]) -> MorningCounts:
    """Mornings logged, with a known usual, up, and flares that began.

    Parameters
    ----------
    found : sequence of Morning
        Of the days in question.

    Returns
    -------
    MorningCounts
    """
    return MorningCounts(
        n_logged=len(found),
        n_known=sum(one.usual is not None for one in found),
        n_up=sum(one.up for one in found),
        n_flares=sum(one.flare_begins for one in found),
    )


def lines_beside(before: pd.DataFrame, now: pd.DataFrame) -> tuple[LineMonths, ...]:
    """Asked sets of every line in either month, those with most painful sets now, then before, first."""
    months = [_by_line(rows) for rows in (now, before)]
    lines = [
        LineMonths(key=key, now=months[0].get(key), before=months[1].get(key))
        for key in dict.fromkeys((*months[0], *months[1]))
    ]
    return tuple(sorted(lines, key=_painful_first))


def before_was_worst(of_line: pd.DataFrame, month: dt.date) -> bool:
    """Whether the month before had the largest share of painful sets so far, and fewer hurt now.

    Parameters
    ----------
    of_line : DataFrame
        Answers of one line, all days up to the last that counts.
    month : date
        First day of the month that is looked at.

    Returns
    -------
    bool
        Months with fewer than six asked sets do not count.
    """
    months = of_line["date"].dt.year * 12 + of_line["date"].dt.month
    this = month.year * 12 + month.month
    shares = {
        int(number): float(part.mean())  # type: ignore[call-overload]
        for number, part in of_line["hurt"].astype("float64").groupby(months)
        if len(part) >= FEWEST_ASKED and number <= this
    }
    if this not in shares or shares.get(this - 1, 0.0) <= shares[this]:
        return False
    return all(share < shares[this - 1] for number, share in shares.items() if number < this - 1)


def changed_together(events: Sequence[MonthEvent], load_moved: Direction | None) -> tuple[str, ...]:
    """Kinds of changes made on a line in a month where they are two or more; empty otherwise.

    Parameters
    ----------
    events : sequence of MonthEvent
        Of the month, logged ones too; those are no changes.
    load_moved : {"up", "same", "down"} or None
        Of the line, against the month before.

    Returns
    -------
    tuple of str
        Of ``load``, ``lowering``, ``range``, ``variant``, in that order.
    """
    made = {one.kind for one in events}
    kinds = (
        ("load", load_moved in ("up", "down") or "heaviest" in made),
        ("lowering", "lowering" in made),
        ("range", "range" in made),
        ("variant", "variant" in made),
    )
    changed = tuple(name for name, is_so in kinds if is_so)
    return changed if len(changed) > 1 else ()


def _figures(rows: LineRows, course: MonthCourse, begins: dt.date, *, one_line: bool) -> MonthFigures | None:
    first = begins if course.first_day < begins <= course.last_day else course.first_day
    sets, asked = (rows.line_sets, rows.line_answers) if one_line else (rows.sets, rows.answers)
    return month_figures(sets, asked, first, course.last_day, one_line=one_line)


def _by_line(rows: pd.DataFrame) -> dict[LineKey, AskedSets]:
    loads, pain, hurt = answer_arrays(rows)
    places: dict[Any, list[int]] = {}
    for place, name in enumerate(zip(*(rows[column].tolist() for column in LINE), strict=True)):
        places.setdefault(name, []).append(place)
    return {
        LineKey(exercise=name[0], variant=name[1], side=name[2], works=name[3]): asked_of_line(
            loads[at], pain[at], hurt[at]
        )
        for name, at in sorted(places.items())
    }


def _painful_first(line: LineMonths) -> tuple[int, int, int, int]:
    """Painful sets now and before, then asked ones, each most first."""
    now, before = line.now, line.before
    return (
        -(now.n_painful if now else 0),
        -(before.n_painful if before else 0),
        -(now.n_asked if now else 0),
        -(before.n_asked if before else 0),
    )
