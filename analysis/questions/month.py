"""One month of one client: sessions, pain and its load, mornings, what was changed when (layer: questions)."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from dataclasses import dataclass

import pandas as pd

from analysis.client_settings import client_settings
from analysis.derive import derive_sets, last_logged_day
from analysis.errors import OptionError
from analysis.observations import answers
from analysis.questions.changes import MonthEvent
from analysis.questions.month_beside import LINE, months_beside
from analysis.questions.month_course import (
    MonthCourse,
    between,
    line_rows,
    month_course,
    rows_between,
)
from analysis.questions.month_figures import with_logged_reserve
from analysis.questions.mornings import Morning, mornings
from analysis.questions.quiet_loads import quiet_twice_kg
from analysis.questions.trend_tests import rating_std_error, series_of_tests
from analysis.results import LineKey
from analysis.results_month import Gap, MonthsBeside, SessionBurn, SessionPain
from analysis.training_log import TrainingLog

FIRST_YEAR, LAST_YEAR = 1980, 2099
MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])")
ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """Everything the month's screen says and draws.

    Attributes
    ----------
    client, month : str
        Month as ``YYYY-MM``.
    first_day, last_day : date
        Of the calendar month; the last one not after `as_of`.
    months : tuple of str
        Every month with a set, oldest first.
    pain_level : int
    unit : str
    n_sessions, n_sets, n_asked, n_painful : int
        Over all exercises of the month; a set is asked when any side was, painful when any side was.
    share_of_zeros : float or None
        Of the answers given, each side counted; None when nothing was asked.
    gaps : tuple of Gap
        Stretches of 10 days or more without a session, or with an event "away", that touch the month.
    keys : tuple of LineKey
        Lines asked in this month, the one with most painful sets first.
    key : LineKey or None
        The line that is drawn; None when nothing was asked.
    load_basis : str or None
    sessions : tuple of SessionPain
        Of that line, oldest first.
    quiet_twice_kg, quiet_twice_before_kg : float or None
        Heaviest load of that line that was quiet on two days: this month, and the month before.
    burn : tuple of SessionBurn
        Of the line's exercise, variant and working side; burn is never counted as pain.
    mornings : tuple of Morning
        Days of the month with a morning score.
    flares : tuple of date
        First day of each flare that began in the month.
    events : tuple of MonthEvent
        Logged events and changes made, oldest first.
    before : MonthCourse or None
        The month before, of the same line; None when it has neither a set nor a morning.
    beside : MonthsBeside
        This month and the month before, number by number.
    """

    client: str
    month: str
    first_day: dt.date
    last_day: dt.date
    months: tuple[str, ...]
    pain_level: int
    unit: str
    n_sessions: int
    n_sets: int
    n_asked: int
    n_painful: int
    share_of_zeros: float | None
    gaps: tuple[Gap, ...]
    keys: tuple[LineKey, ...]
    key: LineKey | None
    load_basis: str | None
    sessions: tuple[SessionPain, ...]
    quiet_twice_kg: float | None
    quiet_twice_before_kg: float | None
    burn: tuple[SessionBurn, ...]
    mornings: tuple[Morning, ...]
    flares: tuple[dt.date, ...]
    events: tuple[MonthEvent, ...]
    before: MonthCourse | None
    beside: MonthsBeside


def month_summary(
    log: TrainingLog,
    client: str,
    *,
    month: str | None = None,
    as_of: dt.date | None = None,
    exercise: str | None = None,
    variant: str | None = None,
    side: str | None = None,
    works: str | None = None,
) -> Month:
    """What happened in one month, and one line of it to draw.

    Parameters
    ----------
    log : TrainingLog
    client : str
    month : str, optional
        ``YYYY-MM``; the month of `as_of` if None.
    as_of : date, optional
        Last day that counts, inclusive; the last logged day if None.
    exercise, variant, side, works : str, optional
        Narrow the choice of the line drawn: the one with the most painful sets of those that fit, then the one
        with the most asked sets.

    Returns
    -------
    Month

    Raises
    ------
    OptionError
        If `month` is not written ``YYYY-MM``, a year lies outside 1980 to 2099, or the client has no records.
    """
    until = as_of if as_of is not None else last_logged_day(log, client)
    settings = client_settings(log, client, as_of=until)
    if not FIRST_YEAR <= until.year <= LAST_YEAR:
        raise OptionError(f"as_of is {until}; choose a day from {FIRST_YEAR} to {LAST_YEAR}.")
    chosen = checked_month(month) if month is not None else f"{until:%Y-%m}"
    first = dt.date.fromisoformat(f"{chosen}-01")
    last = min((first + dt.timedelta(days=31)).replace(day=1) - ONE_DAY, until)
    last_before = first - ONE_DAY
    first_before = last_before.replace(day=1)
    sets = with_logged_reserve(derive_sets(log, client, as_of=until), log, client)
    seen = answers(sets, settings)
    asked = between(seen, first, last)
    keys = _keys(asked)
    key = next((one for one in keys if _fits(one, exercise, variant, side, works)), None)
    every = line_rows(sets, seen, key)
    here, earlier = rows_between(every, first, last), rows_between(every, first_before, last_before)
    all_mornings = mornings(log, client, as_of=until)
    course = month_course(log, client, every, here, all_mornings, first, last)
    before = month_course(log, client, every, earlier, all_mornings, first_before, last_before)
    has_before = len(earlier.sets) > 0 or len(before.mornings) > 0
    bases = here.line_answers["load_basis"].dropna()
    return Month(
        client=client,
        month=chosen,
        first_day=first,
        last_day=last,
        months=tuple(sorted({f"{day:%Y-%m}" for day in sets["date"].unique()})),
        pain_level=settings.pain_level,
        unit=settings.unit,
        n_sessions=int(here.sets["session_key"].nunique()),
        n_sets=len(here.sets),
        n_asked=int(here.sets["asked"].sum()),
        n_painful=len(asked[asked["hurt"]].drop_duplicates(["session_key", "set"])),
        share_of_zeros=float((asked["pain_high"] == 0).mean()) if len(asked) else None,
        gaps=course.gaps,
        keys=keys,
        key=key,
        load_basis=str(bases.iloc[-1]) if len(bases) else None,
        sessions=course.sessions,
        quiet_twice_kg=quiet_twice_kg(here.line_answers),
        quiet_twice_before_kg=quiet_twice_kg(earlier.line_answers),
        burn=course.burn,
        mornings=course.mornings,
        flares=tuple(one.day for one in course.mornings if one.flare_begins),
        events=course.events,
        before=before if has_before else None,
        beside=months_beside(every, (earlier, before), (here, course), rating_error=_rating_error(seen)),
    )


def checked_month(month: str) -> str:
    """A month as it was written.

    Raises
    ------
    OptionError
        If it is not written ``YYYY-MM`` or its year lies outside 1980 to 2099.
    """
    if not MONTH.fullmatch(month):
        raise OptionError(f"month is {month!r}; write it as YYYY-MM, such as 2026-09.")
    if not FIRST_YEAR <= int(month[:4]) <= LAST_YEAR:
        raise OptionError(f"month is {month!r}; choose a year from {FIRST_YEAR} to {LAST_YEAR}.")
    return month


def _rating_error(seen: pd.DataFrame) -> tuple[float, str]:
    """Standard error of one rating: of the log's own test sets, painkiller days left out, or the published one."""
    return rating_std_error(series_of_tests(seen[~seen["painkiller"].to_numpy(bool)]))


def _keys(asked: pd.DataFrame) -> tuple[LineKey, ...]:
    names = list(zip(*(asked[name].tolist() for name in LINE), strict=True))
    n_asked = Counter(names)
    n_painful = Counter(name for name, hurt in zip(names, asked["hurt"].tolist(), strict=True) if hurt)
    return tuple(
        LineKey(exercise=name[0], variant=name[1], side=name[2], works=name[3])
        for name in sorted(n_asked, key=lambda one: (-n_painful[one], -n_asked[one], one))
    )


def _fits(
    key: LineKey, exercise: str | None, variant: str | None, side: str | None, works: str | None
) -> bool:
    wanted = ((exercise, key.exercise), (variant, key.variant), (side, key.side), (works, key.works))
    return all(asked is None or asked == has for asked, has in wanted)
