"""Charts: what is drawn for each kind of answer, read from the specification; every one must also render."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
import vl_convert

from analysis.results import LineKey, LineRow
from dashboard.charts.look import DARK, LIGHT
from dashboard.charts.pain_line_chart import pain_line_chart
from dashboard.charts.pain_line_scale import curve_loads_kg, load_scale
from dashboard.charts.panels import round_ticks
from dashboard.charts.set_marks import marks_for
from tests.unit.made_lines import AS_OF, SEEN, curve, line, sets, tried, weeks, withheld

QUIET = tuple((load, n, 0) for load, n, _ in SEEN)
FEW = ((10.0, 1, 0), (12.0, 2, 1))


def drawn(
    row: LineRow,
    *,
    seen: tuple[tuple[float, int, int], ...] = SEEN,
    has_curve: bool = True,
    dark: bool = False,
) -> dict[str, Any]:
    chart = pain_line_chart(
        row,
        sets=sets(seen),
        weeks=weeks(),
        curve=curve() if has_curve else (),
        as_of=AS_OF,
        description="Step-down, left",
        dark=dark,
    )
    assert chart is not None
    spec: dict[str, Any] = chart.to_dict()
    return spec


def texts(spec: dict[str, Any]) -> list[str]:
    found: list[str] = []
    for layer in spec["layer"]:
        mark = layer["mark"]
        if mark.get("type") == "text":
            values = rows_of(spec, layer)
            found += [str(row.get("text", row.get("score"))) for row in values]
    return found


def rows_of(spec: dict[str, Any], layer: dict[str, Any]) -> list[dict[str, Any]]:
    data = layer["data"]
    rows: list[dict[str, Any]] = spec["datasets"][data["name"]] if "name" in data else data["values"]
    return rows


def lines_in(spec: dict[str, Any], *, width: float) -> list[dict[str, Any]]:
    return [
        layer
        for layer in spec["layer"]
        if layer["mark"].get("type") == "line" and layer["mark"].get("strokeWidth") == width
    ]


def test_reached_carries_todays_line_to_the_curve() -> None:
    spec = drawn(line())
    assert texts(spec).count("14 kg") == 4  # number and its halo, in both forms
    assert "2 of 3" in texts(spec)
    assert "2/3" in texts(spec)
    assert lines_in(spec, width=3)


def test_never_painful_has_no_weekly_line_but_a_bound() -> None:
    row = line("above_tried", seen=tried(QUIET), load_kg=None, low_kg=16.0, high_kg=None)
    spec = drawn(row, seen=QUIET)
    assert texts(spec).count("above 16 kg") == 2
    assert not any("run" in str(layer.get("encoding", {}).get("detail")) for layer in spec["layer"])


def test_too_little_has_counts_and_no_chance_axis() -> None:
    spec = drawn(withheld(tried(FEW)), seen=FEW, has_curve=False)
    assert texts(spec).count("1 of 2 hurt") == 2
    assert "Would hurt, of 10 sets" not in texts(spec)
    assert not lines_in(spec, width=3)


def test_nothing_with_a_load_has_no_chart() -> None:
    row = withheld(tried(()))
    assert pain_line_chart(row, sets=(), weeks=(), curve=(), as_of=AS_OF, description="x") is None


def test_side_is_shape_and_dash_and_colour() -> None:
    right = LineKey(exercise="step-down", variant="standard", side="right", works="right")
    spec = json.dumps(drawn(line(key=right)))
    assert '"circle"' in spec
    assert '"square"' not in spec
    assert LIGHT.sides["right"] in spec
    assert LIGHT.sides["left"] not in spec
    assert "[6, 3]" in spec


def test_hurt_sets_are_filled_and_quiet_ones_hollow() -> None:
    spec = drawn(line())
    marks = [
        layer
        for layer in spec["layer"]
        if layer["mark"].get("type") == "point" and "tooltip" in layer["encoding"]
    ]
    filled = [layer for layer in marks if layer["mark"]["fill"] == LIGHT.ink]
    hollow = [layer for layer in marks if layer["mark"]["fill"] == LIGHT.paper]
    assert all(row["hurt"] for layer in filled for row in rows_of(spec, layer))
    assert not any(row["hurt"] for layer in hollow for row in rows_of(spec, layer))
    assert sum(len(rows_of(spec, layer)) for layer in filled[:1]) == 4


def test_dark_page_has_its_own_ink() -> None:
    spec = json.dumps(drawn(line(), dark=True))
    assert DARK.ink in spec
    assert LIGHT.ink not in spec


def test_one_description_and_no_labels_of_single_marks() -> None:
    spec = drawn(line())
    assert spec["description"] == "Step-down, left"
    assert spec["config"]["mark"]["aria"] is False


@pytest.mark.parametrize("width", [358, 1120])
def test_chart_renders_at_both_widths(width: int) -> None:
    spec = drawn(line())
    spec["width"] = width
    spec["config"]["font"] = "Liberation Sans"
    svg = vl_convert.vegalite_to_svg(spec)
    assert ("2 of 3" in svg) == (width > 600)
    assert ("2/3" in svg) == (width < 600)
    assert "14 kg" in svg


def test_no_rule_or_mark_leaves_the_axis_of_loads() -> None:
    row = line(load_kg=14.2, low_kg=1.0, high_kg=90.0)
    scale = load_scale(row)
    assert scale is not None
    spec = drawn(row)
    for layer in spec["layer"]:
        for one in rows_of(spec, layer):
            for field in ("y", "y2"):
                if field in one:
                    assert scale.low - 1e-9 <= one[field] <= scale.high + 1e-9


def test_curve_is_asked_for_inside_the_axis_only() -> None:
    scale = load_scale(line())
    loads = curve_loads_kg(line())
    assert scale is not None
    assert scale.low <= loads[0] < loads[-1] <= scale.high + 1e-9
    assert curve_loads_kg(withheld()) == ()


def test_pounds_move_the_axis_and_not_the_picture() -> None:
    kilograms = load_scale(line())
    pounds = load_scale(line(seen=tried(unit="lb")))
    assert kilograms is not None
    assert pounds is not None
    assert pounds.high == pytest.approx(kilograms.high / 0.45359237)


def test_crowded_rows_get_one_mark_a_day() -> None:
    crowded = sets(((10.0, 60, 3),), every_days=1)
    placed = marks_for(crowded, unit="kg", panel_px=600, narrow=False)
    assert len(placed.marks) == len({one.day for one in crowded})
    assert sum(mark.n_sets for mark in placed.marks) == len(crowded)


def test_a_year_is_merged_by_weeks_and_counts_every_set() -> None:
    year = sets(((10.0, 400, 30),), every_days=1)
    placed = marks_for(year, unit="kg", panel_px=600, narrow=False)
    assert placed.merged
    assert len(placed.marks) < 100
    assert sum(mark.n_sets for mark in placed.marks) == 400
    assert sum(mark.n_painful for mark in placed.marks) == 30
    assert all(mark.day <= AS_OF and mark.day >= AS_OF - dt.timedelta(days=400) for mark in placed.marks)


@pytest.mark.parametrize(("low", "high"), [(0.0, 3.0), (4.8, 19.2), (16.0, 41.0), (60.0, 480.0)])
def test_ticks_are_few_and_inside(low: float, high: float) -> None:
    ticks = round_ticks(low, high, most=8)
    assert 2 <= len(ticks) <= 8
    assert low <= ticks[0] < ticks[-1] <= high


@pytest.mark.parametrize(
    ("step_kg", "expected"), [(2.0, [6, 8, 10, 12, 14, 16, 18]), (1.0, [8, 10, 12, 14, 16])]
)
def test_ticks_are_loads_of_the_equipment(step_kg: float, expected: list[float]) -> None:
    scale = load_scale(line(seen=tried(step_kg=step_kg)))
    assert scale is not None
    assert list(scale.ticks) == expected
    assert {load.load_kg for load in tried().loads} <= set(scale.ticks)
