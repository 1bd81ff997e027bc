"""The repeated test set as sentences (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import LineKey, Withheld
from analysis.results_trend import SeriesOfTests
from dashboard.wording.numbers import counted, half_up, load_words, short_day
from dashboard.wording.trend import points_words

HOW_TO_TEST = (
    "No test set is marked for this line. One set at the same load, range and tempo, early in the session, every week"
    " or two, gives the plainest comparison: mark it in the column test_set."
)


def longest_series(tests: Sequence[SeriesOfTests], key: LineKey) -> SeriesOfTests | None:
    """The series of a line with most ratings; None where the line has no repeated test set."""
    return next((one for one in tests if one.key == key), None)


def series_sentence(tests: SeriesOfTests, unit: str) -> str:
    """``Test set at 6 kg: 10 ratings, pain 4 on 9 Jul, 1 on 20 Sep; -0.3 points a week (-0.5 to -0.1).``"""
    first, last = tests.ratings[0], tests.ratings[-1]
    at = "" if tests.load_kg is None else f" at {load_words(tests.load_kg, unit)}"
    text = (
        f"Test set{at}: {counted(len(tests.ratings), 'rating')}, pain {first.pain} on {short_day(first.day)},"
        f" {last.pain} on {short_day(last.day)}"
    )
    slope = tests.points_per_week
    if isinstance(slope, Withheld):
        return f"{text}. {slope.remedy}"
    text += (
        f"; {_slope(slope.value)} points a week"
        f" ({half_up(100 * slope.confidence_level)} %: {_slope(slope.low)} to {_slope(slope.high)})."
    )
    if tests.falls_by_itself is not None:
        text += (
            f" It began above its own mean: about {points_words(tests.falls_by_itself)} points of a fall come by"
            " themselves after such a rating."
        )
    return text


def _slope(value: float) -> str:
    text = half_up(abs(value), 2)
    if float(text) == 0.0:
        return "0"
    return f"{'−' if value < 0 else '+'}{text}"
