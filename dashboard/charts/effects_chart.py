"""What goes with more pain: one row a change, dot and interval in points on a fixed axis (layer: charts)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import altair as alt

from analysis.results_effects import Effect, EffectSize
from dashboard.charts.look import LABEL, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Panel, Row, chart_of, share_axis, x_share
from dashboard.wording.effects import change_name, points_words

ROW_PX = 44
MOST = 2.0
"""The axis runs from this much less pain to this much more, for everybody."""
WIDE_BARS = Panel(start=0.34, end=0.80, domain=(-MOST, MOST))
NARROW_BARS = Panel(start=0.04, end=0.96, domain=(-MOST, MOST))
TICKS = ((-2.0, "−2"), (-1.0, "−1"), (0.0, "0"), (1.0, "+1"), (2.0, "+2"))
BAR_BELOW = 0.24
"""On a phone the bar lies this share of a row below the middle, its name above."""


def effects_chart(
    known: Sequence[tuple[Effect, EffectSize]], *, description: str, dark: bool = False
) -> alt.LayerChart | None:
    """Rows of the known changes, most points first.

    Parameters
    ----------
    known : sequence of (Effect, EffectSize)
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None where nothing is known.
    """
    if not known:
        return None
    colours = look(dark)
    wide, narrow = ([(panel.at(value), text) for value, text in TICKS] for panel in (WIDE_BARS, NARROW_BARS))
    axis = share_axis(wide, narrow, colours)
    y = alt.Y("y:Q", scale=alt.Scale(domain=[-len(known), 0], nice=False, zero=False), axis=None)
    layers: list[alt.Chart] = []
    for form in FORMS:
        layers += _form(known, form, axis, y, colours)
    height = ROW_PX * len(known)
    return finished(layers, colours, height=height + 60, description=description)


def _form(
    known: Sequence[tuple[Effect, EffectSize]], form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    panel = NARROW_BARS if form.narrow else WIDE_BARS
    shift = BAR_BELOW if form.narrow else 0.0
    grid: list[Row] = []
    rows: list[Row] = []
    for at, (effect, size) in enumerate(known):
        middle = -at - 0.5 - shift
        half = 0.2 if form.narrow else 0.5
        grid += [
            {"x": panel.at(value), "y": middle - half, "y2": middle + half, "zero": value == 0}
            for value, _ in TICKS
        ]
        rows.append(
            {
                "y": middle,
                "x": panel.at(_inside(size.points.value)),
                "low": panel.at(_inside(size.points.low)),
                "high": panel.at(_inside(size.points.high)),
                "low95": panel.at(_inside(size.points_low95)),
                "high95": panel.at(_inside(size.points_high95)),
                "below": size.points_low95 < -MOST,
                "above": size.points_high95 > MOST,
                "name_y": -at - 0.5 + (0.26 if form.narrow else 0.0),
                "name": change_name(effect),
                "points": points_words(size, interval=not form.narrow),
            }
        )
    rule = chart_of([one for one in grid if not one["zero"]], form).mark_rule(color=colours.grid)
    zero = chart_of([one for one in grid if one["zero"]], form).mark_rule(color=colours.ink, strokeWidth=1.4)
    base = chart_of(rows, form)
    found = [
        rule.encode(x=x_share(axis), y=y, y2="y2:Q"),
        zero.encode(x=x_share(axis), y=y, y2="y2:Q"),
        base.mark_rule(color=colours.ink, strokeWidth=1.2).encode(
            x=x_share(axis, "low95"), x2="high95:Q", y=y
        ),
        base.mark_rule(color=colours.ink, strokeWidth=5).encode(x=x_share(axis, "low"), x2="high:Q", y=y),
        base.mark_point(
            shape="circle",
            filled=True,
            fill=colours.ink,
            stroke=colours.paper,
            size=170,
            strokeWidth=2,
            opacity=1,
        ).encode(x=x_share(axis), y=y),
    ]
    return found + _cuts(rows, panel, form, axis, y, colours) + _texts(rows, panel, form, axis, y, colours)


def _inside(points: float) -> float:
    return min(max(points, -MOST), MOST)


def _cuts(
    rows: list[Row], panel: Panel, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    """A triangle at the end of an interval that leaves the axis."""
    found = []
    for side, place, angle in (("above", panel.end, 90), ("below", panel.start, 270)):
        ends: list[Row] = [{"y": one["y"], "x": place} for one in rows if one[side]]
        mark = chart_of(ends, form).mark_point(
            shape="triangle-up", angle=angle, filled=True, fill=colours.ink, size=60, opacity=1
        )
        found.append(mark.encode(x=x_share(axis), y=y))
    return found


def _texts(
    rows: list[Row], panel: Panel, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    """Names and numbers of the rows, and which side of zero is which."""
    lines = chart_of([one | {"left": 0.0, "right": 1.0, "y": one["name_y"]} for one in rows], form)
    name = lines.mark_text(align="left", fontSize=LABEL, color=colours.ink)
    number = lines.mark_text(
        align="right", fontSize=LABEL, fontWeight="bold" if form.narrow else "normal", color=colours.ink
    )
    top: list[tuple[str, int, Literal["left", "right"]]] = [
        ("less pain", -8, "right"),
        ("more pain", 8, "left"),
    ]
    heads = [
        chart_of([{"x": panel.at(0.0), "text": text}], form)
        .mark_text(
            align=align, dx=dx, baseline="bottom", fontWeight="bold", fontSize=LABEL, color=colours.ink
        )
        .encode(x=x_share(axis), y=alt.value(-6), text="text:N")
        for text, dx, align in top
    ]
    return [
        name.encode(x=x_share(axis, "left"), y=y, text="name:N"),
        number.encode(x=x_share(axis, "right"), y=y, text="points:N"),
        *heads,
    ]
