"""One month of one client: sessions, pain and its load, mornings, what was changed when (layer: questions)."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from itertools import pairwise

import pandas as pd

from analysis.client_settings import client_settings
from analysis.derive import derive_sets, last_logged_day
from analysis.errors import OptionError
from analysis.observations import answers
from analysis.questions.changes import MonthEvent, logged_events, made_changes
from analysis.questions.mornings import Morning, mornings
from analysis.questions.quiet_loads import quiet_twice_kg
from analysis.results import LineKey
from analysis.training_log import TrainingLog

FIRST_YEAR, LAST_YEAR = 1980, 2099
MONTH = re.compile(r"\d{4}-(0[1-9]|1[0-2])")
GAP_DAYS = 10
"""So many days without a session are a gap (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionPain:
    """Pain of one exercise and side in one session, and the load it was at.

    Attributes
    ----------
    day : date
    session : int
    n_asked, n_painful : int
    worst : int
        Highest score; "at least" the level for a set stopped for pain without a score.
    median : float
    load_kg : float or None
        Load of the set that hurt most, the heaviest of them where several did; None without a load.
    """

    day: dt.date
    session: int
    n_asked: int
    n_painful: int
    worst: int
    median: float
    load_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Days without a session; `first` is the first of them, `last` the last one, both inclusive."""

    first: dt.date
    last: dt.date
    n_days: int


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
        Stretches of 10 days or more without a session that touch the month, oldest first.
    keys : tuple of LineKey
        Lines asked in this month, the one with most painful sets first.
    key : LineKey or None
        The line that is drawn; None when nothing was asked.
    load_basis : str or None
    sessions : tuple of SessionPain
        Of that line, oldest first.
    quiet_twice_kg, quiet_twice_before_kg : float or None
        Heaviest load of that line that was quiet on two days: this month, and the month before.
    mornings : tuple of Morning
        Days of the month with a morning score.
    flares : tuple of date
        First day of each flare that began in the month.
    events : tuple of MonthEvent
        Logged events and changes made, oldest first.
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
    mornings: tuple[Morning, ...]
    flares: tuple[dt.date, ...]
    events: tuple[MonthEvent, ...]


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
    chosen = month if month is not None else f"{until:%Y-%m}"
    first, last = _ends(chosen)
    last = min(last, until)
    sets = derive_sets(log, client, as_of=until)
    seen = answers(sets, settings)
    in_month = sets[_within(sets, first, last)]
    asked = seen[_within(seen, first, last)]
    keys = _keys(asked)
    key = next((one for one in keys if _fits(one, exercise, variant, side, works)), None)
    of_line = seen[_is_line(seen, key)] if key is not None else seen.iloc[:0]
    shown = of_line[_within(of_line, first, last)]
    before = of_line[_within(of_line, *_ends(_month_before(chosen)))]
    bases = shown["load_basis"].dropna()
    every_morning = mornings(log, client, as_of=until)
    here = tuple(one for one in every_morning if first <= one.day <= last)
    changes = made_changes(sets, key, first, last) if key is not None else ()
    painful = len(asked[asked["hurt"]].drop_duplicates(["session_key", "set"]))
    return Month(
        client=client,
        month=chosen,
        first_day=first,
        last_day=last,
        months=tuple(sorted({f"{day:%Y-%m}" for day in sets["date"]})),
        pain_level=settings.pain_level,
        unit=settings.unit,
        n_sessions=int(in_month["session_key"].nunique()),
        n_sets=len(in_month),
        n_asked=int(in_month["asked"].sum()),
        n_painful=painful,
        share_of_zeros=float((asked["pain_high"] == 0).mean()) if len(asked) else None,
        gaps=_gaps(sets, first, last),
        keys=keys,
        key=key,
        load_basis=str(bases.iloc[-1]) if len(bases) else None,
        sessions=_sessions(shown),
        quiet_twice_kg=quiet_twice_kg(shown),
        quiet_twice_before_kg=quiet_twice_kg(before),
        mornings=here,
        flares=tuple(one.day for one in here if one.flare_begins),
        events=tuple(sorted([*logged_events(log, client, first, last), *changes], key=lambda one: one.day)),
    )


def _ends(month: str) -> tuple[dt.date, dt.date]:
    if not MONTH.fullmatch(month):
        raise OptionError(f"month is {month!r}; write it as YYYY-MM, such as 2026-09.")
    if not FIRST_YEAR <= int(month[:4]) <= LAST_YEAR:
        raise OptionError(f"month is {month!r}; choose a year from {FIRST_YEAR} to {LAST_YEAR}.")
    first = dt.date.fromisoformat(f"{month}-01")
    after = (first + dt.timedelta(days=32)).replace(day=1)
    return first, after - dt.timedelta(days=1)


def _month_before(month: str) -> str:
    return f"{dt.date.fromisoformat(f'{month}-01') - dt.timedelta(days=1):%Y-%m}"


def _within(frame: pd.DataFrame, first: dt.date, last: dt.date) -> pd.Series:
    return (frame["date"] >= pd.Timestamp(first)) & (frame["date"] <= pd.Timestamp(last))


def _gaps(sets: pd.DataFrame, first: dt.date, last: dt.date) -> tuple[Gap, ...]:
    """Gaps between sessions, and the one that still lasts on the last day."""
    one = dt.timedelta(days=1)
    days = [day.date() for day in sorted(set(sets["date"]))]
    stretches = [(before + one, after - one) for before, after in pairwise(days)]
    if days:
        stretches.append((days[-1] + one, last))
    found = [Gap(first=start, last=end, n_days=(end - start).days + 1) for start, end in stretches]
    return tuple(gap for gap in found if gap.n_days >= GAP_DAYS and gap.first <= last and gap.last >= first)


def _keys(asked: pd.DataFrame) -> tuple[LineKey, ...]:
    counts = [
        (-int(group["hurt"].sum()), -len(group), name)
        for name, group in asked.groupby(["exercise", "variant", "asked_side", "works"], sort=True)
    ]
    return tuple(
        LineKey(exercise=name[0], variant=name[1], side=name[2], works=name[3])
        for _, _, name in sorted(counts)
    )


def _fits(
    key: LineKey, exercise: str | None, variant: str | None, side: str | None, works: str | None
) -> bool:
    wanted = ((exercise, key.exercise), (variant, key.variant), (side, key.side), (works, key.works))
    return all(asked is None or asked == has for asked, has in wanted)


def _is_line(seen: pd.DataFrame, key: LineKey) -> pd.Series:
    return (
        (seen["exercise"] == key.exercise)
        & (seen["variant"] == key.variant)
        & (seen["asked_side"] == key.side)
        & (seen["works"] == key.works)
    )


def _sessions(shown: pd.DataFrame) -> tuple[SessionPain, ...]:
    return tuple(
        SessionPain(
            day=group["date"].iloc[0].date(),
            session=int(group["session"].iloc[0]),
            n_asked=len(group),
            n_painful=int(group["hurt"].sum()),
            worst=int(group["pain_low"].max()),
            median=float(group["pain_low"].median()),
            load_kg=_load_of_worst(group),
        )
        for _, group in shown.groupby("session_key", sort=True)
    )


def _load_of_worst(group: pd.DataFrame) -> float | None:
    """Load of the set that hurt most; the heaviest of them where several did, or none hurt."""
    loads = group.loc[group["pain_low"] == group["pain_low"].max(), "load_term_kg"].dropna()
    return float(loads.max()) if len(loads) else None
