"""Answers about time: has the line moved, is the same set less painful, what can be done now (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import Estimate, LineKey, Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """A pain line now against the same line on an earlier day, from one fit.

    All lines of an exercise move together in the model, left and right too.

    Attributes
    ----------
    key : LineKey
    start, end : date
        Days with sets of the exercise; `end` is the day of the last session, which is "now".
    log2_change : float
        Median of the draws, octaves; above 0 means that more load is needed for the same pain.
    low, high : float
        Interval of the draws, octaves.
    confidence_level : float
    low95, high95 : float
    probability_up : float
    from_kg, to_kg : float or None
        Medians of the line on both days, kg; None unless the line now is reached.
    claim : {"up", "down"} or None
        What may be said in words: from 6 weeks on, with a probability of .95 or more.
    """

    key: LineKey
    start: dt.date
    end: dt.date
    log2_change: float
    low: float
    high: float
    confidence_level: float
    low95: float
    high95: float
    probability_up: float
    from_kg: float | None
    to_kg: float | None
    claim: Literal["up", "down"] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRow:
    """Change of one line since the exercise's first session and since 28 days ago."""

    key: LineKey
    since_first: LineChange | Withheld
    since_28_days: LineChange | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendWeek:
    """One week of the reference set, and what was really done and felt in it.

    Attributes
    ----------
    week : date
        First day of the week; the day of the last session is a week by itself.
    points, low, high : float
        Expected pain of the reference set, 0 to 5 and more counted as 5, with its interval.
    raw_points : float or None
        Mean score of the line's sets in that week, scores of 5 and more counted as 5.
    raw_load_kg : float or None
        Mean load of those sets.
    n_asked : int
        Those sets; 0 where the line was not done.
    """

    week: dt.date
    points: float
    low: float
    high: float
    raw_points: float | None
    raw_load_kg: float | None
    n_asked: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PainTrend:
    """Pain at one fixed set, week by week.

    Attributes
    ----------
    key : LineKey
        The line of the reference set: the one with most painful sets.
    load_kg : float or None
        The load of that line done most often; None without a load.
    per_week_log_odds : float
        Straight line through the weeks, median of the draws; below 0 pain falls.
    low, high, confidence_level : float
    probability_falling : float
    weeks : tuple of TrendWeek
        Oldest first.
    begins_at_its_worst : bool
        The first week with sets of the line has the highest raw mean: part of the fall then comes by itself.
    n_sets, n_sessions : int
        Asked sets and sessions of the line.
    """

    key: LineKey
    load_kg: float | None
    per_week_log_odds: float
    low: float
    high: float
    confidence_level: float
    probability_falling: float
    weeks: tuple[TrendWeek, ...]
    begins_at_its_worst: bool
    n_sets: int
    n_sessions: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretches:
    """The two stretches of days that are compared, both inclusive."""

    first_from: dt.date
    first_to: dt.date
    last_from: dt.date
    last_to: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class SameSet:
    """Pain at the same load, then and now.

    Attributes
    ----------
    load_kg : float
    then, now : float
        Mean over days of the day's mean score, 0 to 10.
    n_days_then, n_days_now : int
    detectable : float
        Change of these means that measurement error alone reaches in 5 of 100 cases, points.
    is_more_than_error : bool
    """

    load_kg: float
    then: float
    now: float
    n_days_then: int
    n_days_now: int
    detectable: float
    is_more_than_error: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkThenNow:
    """What was lifted and felt, then and now: each day's heaviest load and its worst score.

    Attributes
    ----------
    load_then_kg, load_now_kg : float
        Mean over days of the day's heaviest load.
    pain_then, pain_now : float
        Mean over days of the day's worst score, 0 to 10.
    n_days_then, n_days_now : int
    detectable : float
        Change of mean pain that measurement error alone reaches in 5 of 100 cases, points.
    pain_moved : bool
        Whether pain changed by more than that.
    """

    load_then_kg: float
    load_now_kg: float
    pain_then: float
    pain_now: float
    n_days_then: int
    n_days_now: int
    detectable: float
    pain_moved: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFacts:
    """Then and now of one line, without any model.

    Attributes
    ----------
    key : LineKey
    stretches : Stretches or None
        None while the line is too young to have two.
    work : WorkThenNow or None
        None without two stretches, or where a stretch has no set with a load and a score.
    same_set : SameSet or Withheld
    quiet_then_kg, quiet_now_kg : float or None
        Heaviest load quiet on two days; None where there is none.
    """

    key: LineKey
    stretches: Stretches | None
    work: WorkThenNow | None
    same_set: SameSet | Withheld
    quiet_then_kg: float | None
    quiet_now_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningsThenNow:
    """Mornings at least 2 above the client's own usual, then and now; only those with a known usual count."""

    stretches: Stretches
    n_up_then: int
    n_then: int
    n_up_now: int
    n_now: int
    median_then: float
    median_now: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskThenNow:
    """Difficulty of one of the client's own tasks, 0 to 10, first and last time it was rated."""

    task: str
    first_day: dt.date
    first: int
    last_day: dt.date
    last: int
    n_ratings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RatedTest:
    """One repetition of a test set."""

    day: dt.date
    pain: int
    load_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesOfTests:
    """The repeated test set of one line at one load, its own series.

    Attributes
    ----------
    key : LineKey
    load_kg : float or None
    ratings : tuple of RatedTest
        Oldest first.
    points_per_week : Estimate or Withheld
        Theil-Sen slope, points a week.
    std_error : float or None
        Standard error of one rating from successive differences, points; None below 6 ratings.
    falls_by_itself : float or None
        Points a next rating would fall without any change, where the series begins above its mean.
    """

    key: LineKey
    load_kg: float | None
    ratings: tuple[RatedTest, ...]
    points_per_week: Estimate | Withheld
    std_error: float | None
    falls_by_itself: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendReview:
    """Everything about time of one client."""

    changes: tuple[ChangeRow, ...]
    trend: PainTrend | Withheld
    lines: tuple[LineFacts, ...]
    mornings: MorningsThenNow | Withheld
    tasks: tuple[TaskThenNow, ...]
    tests: tuple[SeriesOfTests, ...]
    rating_std_error: float
    rating_std_error_source: str
