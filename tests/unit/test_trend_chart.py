"""Pain at one fixed set over the load really done and the test sets, read from the chart's specification."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import vl_convert

from analysis.results import Estimate, LineKey, Withheld
from analysis.results_trend import PainTrend, RatedTest, SeriesOfTests, TrendWeek
from dashboard.charts.trend_chart import trend_chart
from dashboard.wording.trend_tests import longest_series, series_sentence
from tests.unit.test_charts import rows_of, texts

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
BEGAN = dt.date(2026, 7, 6)


def week(number: int, points: float, raw: float | None, load: float | None) -> TrendWeek:
    return TrendWeek(
        week=BEGAN + dt.timedelta(days=7 * number),
        points=points,
        low=points - 0.4,
        high=points + 0.4,
        raw_points=raw,
        raw_load_kg=load,
        n_asked=0 if raw is None else 4,
    )


TREND = PainTrend(
    key=KEY,
    load_kg=8.0,
    per_week_log_odds=-0.2,
    low=-0.3,
    high=-0.1,
    confidence_level=0.8,
    probability_falling=0.99,
    weeks=(week(0, 2.0, 1.5, 6.0), week(1, 1.6, None, None), week(4, 1.0, 1.5, 10.0)),
    begins_at_its_worst=False,
    n_sets=8,
    n_sessions=4,
)
TESTS = SeriesOfTests(
    key=KEY,
    load_kg=6.0,
    ratings=tuple(
        RatedTest(day=BEGAN + dt.timedelta(days=7 * number), pain=pain, load_kg=6.0)
        for number, pain in enumerate((4, 1, 2))
    ),
    points_per_week=Withheld(reason="3 test sets so far.", remedy="From 5 on their slope is stated."),
    std_error=None,
    falls_by_itself=None,
)


def spec(tests: SeriesOfTests | None = TESTS, *, dark: bool = False) -> dict[str, Any]:
    chart = trend_chart(TREND, tests, unit="kg", level=2, description="words", dark=dark)
    made: dict[str, Any] = chart.to_dict()
    return made


def layers(made: dict[str, Any], mark: str, **wanted: object) -> list[dict[str, Any]]:
    return [
        layer
        for layer in made["layer"]
        if layer["mark"]["type"] == mark and wanted.items() <= layer["mark"].items()
    ]


def test_weeks_far_apart_are_not_joined() -> None:
    made = spec()
    line = layers(made, "line")[0]
    assert [row["run"] for row in rows_of(made, line)] == [0, 0, 1]


def test_a_week_without_sets_has_no_tick_and_no_load() -> None:
    made = spec()
    felt, done = layers(made, "tick")[:2]
    assert len(rows_of(made, felt)) == len(rows_of(made, done)) == 2
    assert "mean load 10.0 kg, 4 sets" in rows_of(made, done)[1]["words"]


def test_test_sets_that_hurt_are_filled() -> None:
    made = spec()
    hollow, filled = layers(made, "point", shape="square", strokeWidth=1.4)[0], layers(made, "point")[2]
    assert [row["hurt"] for row in rows_of(made, hollow)] == [False]
    assert [row["words"][-1] for row in rows_of(made, filled)] == ["4", "2"]


def test_strips_with_nothing_to_show_are_left_out() -> None:
    with_tests, without = spec(), spec(None)
    assert any("Test set at 6 kg" in text for text in texts(with_tests))
    assert not any("Test set" in text for text in texts(without))
    assert without["height"] < with_tests["height"]


def test_it_renders_light_and_dark() -> None:
    for dark in (False, True):
        assert vl_convert.vegalite_to_svg(spec(dark=dark)).startswith("<svg")


def test_the_longest_series_of_a_line_is_told() -> None:
    other = LineKey(exercise="step-down", variant="standard", side="right", works="right")
    assert longest_series((TESTS,), KEY) is TESTS
    assert longest_series((TESTS,), other) is None
    assert series_sentence(TESTS, "kg") == (
        "Test set at 6 kg: 3 ratings, pain 4 on 6 Jul, 2 on 20 Jul. From 5 on their slope is stated."
    )
    slope = Estimate(
        value=-0.31,
        low=-0.5,
        high=0.0,
        confidence_level=0.8,
        unit="points a week",
        method="Theil-Sen",
        n_sets=3,
        n_sessions=3,
    )
    sloping = replace(TESTS, points_per_week=slope, falls_by_itself=0.8)
    assert series_sentence(sloping, "kg").endswith(
        "2 on 20 Jul; −0.31 points a week (80 %: −0.50 to 0). It began above its own mean: about 0.8 points of a fall"
        " come by themselves after such a rating."
    )
