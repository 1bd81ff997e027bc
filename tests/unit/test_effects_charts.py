"""The charts of what brings it on, read from their specification; both must also render."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import altair as alt
import pytest
import vl_convert

from dashboard.charts.effects_chart import NARROW_BARS, WIDE_BARS, effects_chart
from dashboard.charts.load_by_range_chart import load_by_range_chart
from tests.unit.test_charts import rows_of, texts
from tests.unit.test_wording_effects import GRID, LOAD, LOWERING, size

KNOWN = [(LOAD, LOAD.answer), (LOWERING, LOWERING.answer)]


def spec_of_effects(known: list[Any], *, dark: bool = False) -> dict[str, Any]:
    chart = effects_chart(known, description="Step-down, left", dark=dark)
    assert chart is not None
    spec: dict[str, Any] = chart.to_dict()
    return spec


def test_each_change_has_its_dot_on_the_fixed_axis_and_its_numbers() -> None:
    spec = spec_of_effects(KNOWN)
    dots = [layer for layer in spec["layer"] if layer["mark"].get("shape") == "circle"]
    for layer, panel in zip(dots, (WIDE_BARS, NARROW_BARS), strict=True):
        assert [row["x"] for row in rows_of(spec, layer)] == [panel.at(0.18), panel.at(-0.6)]
    shown = json.dumps(spec, ensure_ascii=False)
    assert "+0.18 (+0.10 to +0.27)" in shown
    assert {"less pain", "more pain"} <= set(texts(spec))


def test_an_interval_beyond_the_axis_ends_in_a_mark_there() -> None:
    far = size(1.9, 0.4, 3.5)
    spec = spec_of_effects([(replace(LOAD, answer=far), far)])
    marks = [layer for layer in spec["layer"] if layer["mark"].get("shape") == "triangle-up"]
    assert [[row["x"] for row in rows_of(spec, layer)] for layer in marks] == [
        [WIDE_BARS.end],
        [],
        [NARROW_BARS.end],
        [],
    ]


def test_nothing_known_draws_nothing() -> None:
    assert effects_chart([], description="") is None


def test_cells_say_what_was_seen_and_untried_ones_have_no_box() -> None:
    chart = load_by_range_chart(GRID, description="Step-down, left")
    spec: dict[str, Any] = chart.to_dict()
    boxes = [layer for layer in spec["layer"] if layer["mark"]["type"] == "rect"]
    rows = rows_of(spec, boxes[0])
    assert len(boxes) == 2  # one a form
    assert [row["text"] for row in rows] == ["3 of 9", "2 quiet", "5 quiet"]
    assert rows[0]["shade"] == pytest.approx(0.10 + 0.38 / 3)
    assert "not tried" in json.dumps(spec)
    assert "10-12" in json.dumps(spec)


@pytest.mark.parametrize("dark", [False, True])
def test_they_render(dark: bool) -> None:
    charts: list[alt.LayerChart | None] = [
        effects_chart(KNOWN, description="", dark=dark),  # type: ignore[arg-type]
        load_by_range_chart(GRID, description="", dark=dark),
    ]
    for chart in charts:
        assert chart is not None
        wide = chart.properties(width=1000).to_json()
        assert vl_convert.vegalite_to_svg(wide).startswith("<svg")
