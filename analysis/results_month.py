"""What one month holds, and the month before beside it: counts, loads, pain, burn, effort (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import LineKey, Withheld
from analysis.results_trend import SameSet

Direction = Literal["up", "same", "down"]


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
class SessionBurn:
    """Burn in the muscle over the sets of one exercise in one session, 0 to 10; apart from pain."""

    day: dt.date
    session: int
    n_logged: int
    median: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Days without a session; `first` is the first of them, `last` the last one, both inclusive.

    Attributes
    ----------
    first, last : date
    n_days : int
    away : bool
        An event "away" falls into it.
    """

    first: dt.date
    last: dt.date
    n_days: int
    away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRange:
    """Loads of some sets, kg: lightest, median, heaviest."""

    low_kg: float
    median_kg: float
    high_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedSets:
    """Sets with a pain answer, how many hurt, and the loads they were at.

    Attributes
    ----------
    n_asked, n_painful : int
        A set counts once, whichever sides were asked.
    worst : int or None
        Highest score; None when nothing was asked.
    loads, painful_loads, quiet_loads : LoadRange or None
        Of all asked sets, of those that hurt, of those that did not; None without a load, and where sets of
        several exercises are counted together.
    """

    n_asked: int
    n_painful: int
    worst: int | None
    loads: LoadRange | None
    painful_loads: LoadRange | None
    quiet_loads: LoadRange | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MedianOf:
    """Median of what was logged, and in how many sets it was."""

    median: float
    n_logged: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FeltCounts:
    """Where the work was felt, in sets; a blank is not logged."""

    target: int
    elsewhere: int
    not_logged: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CompensationCounts:
    """How much was done by other parts of the body, in sets; a blank is not logged."""

    none: int
    slight: int
    clear: int
    not_logged: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthFigures:
    """One month of one line, or of all exercises together.

    Attributes
    ----------
    first_day, last_day : date
        Days covered, inclusive: from the first logged day where the log begins in the month, to the day
        that counts as the last.
    n_sessions, n_sets : int
    asked : AskedSets
    share_asked : float or None
        Asked sets of all sets; None without a set.
    quiet_twice_kg : float or None
        Heaviest load quiet on two days; None where there is none, and for all exercises together.
    burn, rir, rpe : MedianOf or None
        Burn in the muscle 0 to 10, repetitions in reserve, rated effort 1 to 10, each as logged and none turned
        into another; None when not logged.
    felt : FeltCounts
    compensation : CompensationCounts
    n_chosen_for_pain : int
        Sets whose load was chosen because of pain, as far as that was logged.
    """

    first_day: dt.date
    last_day: dt.date
    n_sessions: int
    n_sets: int
    asked: AskedSets
    share_asked: float | None
    quiet_twice_kg: float | None
    burn: MedianOf | None
    rir: MedianOf | None
    rpe: MedianOf | None
    felt: FeltCounts
    compensation: CompensationCounts
    n_chosen_for_pain: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningCounts:
    """Mornings of a month: logged, with a known usual, at least 2 above it; flares that began."""

    n_logged: int
    n_known: int
    n_up: int
    n_flares: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAndPain:
    """Load and pain of one line in a month against the month before.

    Attributes
    ----------
    load_before_kg, load_now_kg : float or None
        Mean over days of the day's heaviest asked load, kg; both None where either has no load.
    load_change : float or None
        Share by which it rose, .25 for a quarter more; below 0 it fell.
    load_moved : {"up", "same", "down"} or None
        "same" within 5 %.
    pain_before, pain_now : float
        Mean over days of the day's worst score, 0 to 10; a pain stop without a score counts as the level.
    n_days_before, n_days_now : int
    detectable : float
        Change of these means that measurement error alone reaches in 5 of 100 cases, points.
    pain_moved : {"up", "same", "down"}
        "same" while the change is within `detectable`.
    """

    load_before_kg: float | None
    load_now_kg: float | None
    load_change: float | None
    load_moved: Direction | None
    pain_before: float
    pain_now: float
    n_days_before: int
    n_days_now: int
    detectable: float
    pain_moved: Direction


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadsBeside:
    """Loads of all exercises done with a load in both months.

    Attributes
    ----------
    change : float
        Median over exercises, variants and working sides of the share by which the load (mean over days of the
        day's heaviest) rose; below 0 it fell.
    n_up, n_same, n_down : int
    """

    change: float
    n_up: int
    n_same: int
    n_down: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMonths:
    """Asked sets of one line, this month and the month before; None where it was not asked."""

    key: LineKey
    now: AskedSets | None
    before: AskedSets | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthsBeside:
    """A month and the month before, number by number.

    Attributes
    ----------
    month_before : str
        ``YYYY-MM``.
    line, line_before : MonthFigures or None
        Of the line drawn; None without a line, or with no set of it in that month.
    everything, everything_before : MonthFigures or None
        Of all exercises; None without a set.
    mornings, mornings_before : MorningCounts
    gaps_before : tuple of Gap
        Stretches without a session that touch the month before.
    load_and_pain : LoadAndPain or Withheld
    same_load : SameSet or Withheld
        Pain at the load of the line done on most days in both months.
    loads : LoadsBeside or Withheld
    lines : tuple of LineMonths
        Every line asked in either month, most painful sets first.
    before_was_worst : bool
        No earlier month of the line had so large a share of painful sets as the month before, and fewer
        hurt now: after such a month part of the fall comes by itself.
    changed_together : tuple of str
        Kinds of changes made on the line this month where they are two or more, of ``load``, ``lowering``,
        ``range``, ``variant``; what pain followed cannot be told apart then.
    rating_std_error : float
        Standard error of measurement of one rating, points, and where it comes from.
    rating_std_error_source : str
    """

    month_before: str
    line: MonthFigures | None
    line_before: MonthFigures | None
    everything: MonthFigures | None
    everything_before: MonthFigures | None
    mornings: MorningCounts
    mornings_before: MorningCounts
    gaps_before: tuple[Gap, ...]
    load_and_pain: LoadAndPain | Withheld
    same_load: SameSet | Withheld
    loads: LoadsBeside | Withheld
    lines: tuple[LineMonths, ...]
    before_was_worst: bool
    changed_together: tuple[str, ...]
    rating_std_error: float
    rating_std_error_source: str
