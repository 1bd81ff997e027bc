"""Test sets as their own series, and what they tell of the error of a single rating (layer: questions)."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import stats

from analysis.numerics.measurement_error import regression_to_mean, successive_std_error
from analysis.results import Estimate, LineKey, Withheld
from analysis.results_trend import RatedTest, SeriesOfTests

Floats = NDArray[np.float64]

FEWEST_FOR_SLOPE = 5
FEWEST_FOR_ERROR = 6
FEWEST_FOR_OWN_ERROR = 12
"""Test ratings of all series from which the log's own error replaces the published one."""
PUBLISHED_STD_ERROR = 1.02
PUBLISHED_SOURCE = "Childs 2005, low back pain, one rating"
OWN_SOURCE = "this log's own test sets"


def series_of_tests(observed: pd.DataFrame, *, confidence_level: float = 0.8) -> tuple[SeriesOfTests, ...]:
    """Every line and load with two test sets or more.

    Parameters
    ----------
    observed : DataFrame
        Observations of the client.
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of SeriesOfTests
        Longest first. Several test sets of one day count once, with the worst score.
    """
    tests = observed[observed["test_set"].fillna(False).to_numpy(bool) & ~observed["censored"].to_numpy(bool)]
    lines = ["exercise", "variant", "works", "asked_side"]
    load = tests["load_term_kg"].round(6)
    found = []
    for (exercise, variant, works, side, kg), part in tests.groupby(
        [*(tests[name] for name in lines), load], sort=False, dropna=False
    ):
        worst = part.groupby("date", sort=True)["pain_low"].max()
        if len(worst) < 2:
            continue
        key = LineKey(exercise=exercise, variant=variant, side=side, works=works)
        found.append(_series(key, None if pd.isna(kg) else float(kg), worst, confidence_level))
    return tuple(sorted(found, key=lambda one: -len(one.ratings)))


def rating_std_error(series: tuple[SeriesOfTests, ...]) -> tuple[float, str]:
    """Standard error of one rating, points, and where it comes from.

    Parameters
    ----------
    series : tuple of SeriesOfTests

    Returns
    -------
    std_error : float
        Pooled over the log's own test sets where these are twelve or more; the published one otherwise. Where
        every test set was rated alike the published one stands as well: whole numbers hide a small error.
    source : str
    """
    long = [one for one in series if one.std_error is not None]
    n_ratings = sum(len(one.ratings) for one in long)
    differences = np.array([len(one.ratings) - 1 for one in long], dtype=float)
    variances = np.array([(one.std_error or 0.0) ** 2 for one in long])
    if n_ratings < FEWEST_FOR_OWN_ERROR or not variances.any():
        return PUBLISHED_STD_ERROR, PUBLISHED_SOURCE
    return float(np.sqrt(differences @ variances / differences.sum())), OWN_SOURCE


def _series(key: LineKey, load_kg: float | None, worst: pd.Series, confidence_level: float) -> SeriesOfTests:
    pains = worst.to_numpy(float)
    days = (worst.index - worst.index[0]).days.to_numpy(float)
    std_error = successive_std_error(pains) if pains.size >= FEWEST_FOR_ERROR else None
    return SeriesOfTests(
        key=key,
        load_kg=load_kg,
        ratings=tuple(
            RatedTest(day=day.date(), pain=int(pain), load_kg=load_kg)
            for day, pain in zip(worst.index, pains.tolist(), strict=True)
        ),
        points_per_week=_slope(days / 7.0, pains, confidence_level),
        std_error=std_error,
        falls_by_itself=None if std_error is None else _by_itself(pains, std_error),
    )


def _slope(weeks: Floats, pains: Floats, confidence_level: float) -> Estimate | Withheld:
    if pains.size < FEWEST_FOR_SLOPE:
        return Withheld(
            reason=f"{pains.size} test sets so far.",
            remedy=f"From {FEWEST_FOR_SLOPE} on their slope is stated.",
        )
    slope = stats.theilslopes(pains, weeks, alpha=confidence_level)
    return Estimate(
        value=float(slope.slope),
        low=float(slope.low_slope),
        high=float(slope.high_slope),
        confidence_level=confidence_level,
        unit="points a week",
        method="Theil-Sen",
        n_sets=pains.size,
        n_sessions=pains.size,
    )


def _by_itself(pains: Floats, std_error: float) -> float | None:
    """Fall expected from beginning at a high rating; None where the series does not begin above its mean.

    The first rating is taken as one chosen for being at least so high: the cutoff is half a point below it.
    """
    mean, std_dev = float(pains.mean()), float(pains.std(ddof=1))
    if pains[0] <= mean or std_dev == 0.0:
        return None
    reliability = max(0.0, 1.0 - std_error**2 / std_dev**2)
    return regression_to_mean(mean=mean, std_dev=std_dev, reliability=reliability, cutoff=pains[0] - 0.5)
