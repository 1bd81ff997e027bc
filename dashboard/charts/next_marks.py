"""Grid, heights and words that both kinds of the chart of what happened next share (layer: charts)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import altair as alt

from dashboard.charts.look import LABEL, Look
from dashboard.charts.panels import Form, Panel, Row, chart_of, x_share

EVERY_SCORE = (0, 2, 4, 6, 8, 10)


def y_share(field: str = "y") -> alt.Y:
    """Vertical position as a share of the height, without an axis."""
    return alt.Y(f"{field}:Q", scale=alt.Scale(domain=[0, 1], nice=False, zero=False), axis=None)


def row_place(row: int, n_rows: int, *, up: float = 0.0) -> float:
    """Height of a row, the first on top; `up` moves by a share of the row's height."""
    return 1.0 - (row + 0.5 - up) / n_rows


def score_grid(
    panel: Panel, level: int, places: Sequence[float], half: float, form: Form, axis: alt.Axis, colours: Look
) -> list[alt.Chart]:
    """A light rule at every second score and a dotted one below the level, cut to the rows they belong to."""

    def rules(scores: Sequence[float]) -> list[Row]:
        return [
            {"x": panel.at(score), "y": place - half, "y2": place + half}
            for score in scores
            for place in places
        ]

    light = chart_of(rules(EVERY_SCORE), form).mark_rule(color=colours.grid)
    dotted = chart_of(rules((level - 0.5,)), form).mark_rule(color=colours.soft, strokeDash=[2, 3])
    return [one.encode(x=x_share(axis), y=y_share(), y2="y2:Q") for one in (light, dotted)]


def words(
    rows: Sequence[Row],
    form: Form,
    axis: alt.Axis,
    colours: Look,
    *,
    align: Literal["left", "right"] = "left",
    bold: bool = False,
) -> alt.Chart:
    """Text at places of the chart."""
    return (
        chart_of(rows, form)
        .mark_text(
            align=align,
            baseline="middle",
            color=colours.ink,
            fontSize=LABEL,
            fontWeight="bold" if bold else "normal",
        )
        .encode(x=x_share(axis), y=y_share(), text="text:N")
    )
