"""Left as a percentage of right at equal pain: one log axis, "even" at 100, one row a comparison (layer: charts)."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import altair as alt

from analysis.results_sides import LoadAtEqualPain, SideKey
from dashboard.charts.look import LABEL, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Panel, Row, chart_of, share_axis, x_share
from dashboard.wording.sides import loads_words, open_words, percent_of_right, side_name

ROW_PX = 56
EVEN = 100.0
TICKS = (12.5, 25.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0, 200.0, 400.0, 800.0)
NARROW_TICKS = (12.5, 25.0, 50.0, 70.0, 100.0, 150.0, 200.0, 400.0, 800.0)
NAME_SHARE = {False: 0.26, True: 0.62}
"""Share of the width that a name may take; longer ones end in dots."""
USUAL_ENDS = (50.0, 150.0)
WIDE_SHARES = (0.27, 0.80)
NARROW_SHARES = (0.03, 0.97)
BAR_BELOW = 0.22
"""On a phone the bar lies this share of a row below the middle, its words above."""
RING_BELOW = 0.19
"""The ring of weeks ago lies this share of a row below the bar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """The log axis in percent, as shares of the width in one form."""

    panel: Panel
    ticks: tuple[float, ...]

    def at(self, percent: float) -> float:
        low, high = self.panel.domain
        return self.panel.at(min(max(math.log(percent), low), high))


def sides_chart(
    known: Sequence[tuple[SideKey, LoadAtEqualPain]],
    then: Mapping[SideKey, float],
    *,
    description: str,
    dark: bool = False,
) -> alt.LayerChart | None:
    """Rows of the comparisons, in the order given.

    Parameters
    ----------
    known : sequence of (SideKey, LoadAtEqualPain)
    then : mapping of SideKey to float
        The log ratio of weeks ago, octaves, where it was known.
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
    ends = _ends(known, then)
    axes = {form.narrow: _axis(form, ends) for form in FORMS}
    labels = {narrow: [(one.at(tick), f"{tick:g}") for tick in one.ticks] for narrow, one in axes.items()}
    axis = share_axis(labels[False], labels[True], colours)
    y = alt.Y("y:Q", scale=alt.Scale(domain=[-len(known), 0], nice=False, zero=False), axis=None)
    layers: list[alt.Chart] = []
    for form in FORMS:
        layers += _form(known, then, form, axes[form.narrow], axis, y, colours)
    height = ROW_PX * len(known) + 50
    return finished(layers, colours, height=height, description=description)


def _ends(
    known: Sequence[tuple[SideKey, LoadAtEqualPain]], then: Mapping[SideKey, float]
) -> tuple[float, float]:
    """Ends of the axis in percent: 50 to 150, or the next ticks that hold everything drawn."""
    drawn = [end for _, load in known for end in (load.low, load.high) if end is not None]
    drawn += [then[key] for key, _ in known if key in then]
    values = [percent_of_right(value) for value in drawn]
    low = min([USUAL_ENDS[0], *values])
    high = max([USUAL_ENDS[1], *values])
    return (
        max((tick for tick in TICKS if tick <= low), default=TICKS[0]),
        min((tick for tick in TICKS if tick >= high), default=TICKS[-1]),
    )


def _axis(form: Form, ends: tuple[float, float]) -> _Axis:
    start, end = NARROW_SHARES if form.narrow else WIDE_SHARES
    panel = Panel(start=start, end=end, domain=(math.log(ends[0]), math.log(ends[1])))
    ticks = NARROW_TICKS if form.narrow else TICKS
    return _Axis(panel=panel, ticks=tuple(tick for tick in ticks if ends[0] <= tick <= ends[1]))


def _form(
    known: Sequence[tuple[SideKey, LoadAtEqualPain]],
    then: Mapping[SideKey, float],
    form: Form,
    percents: _Axis,
    axis: alt.Axis,
    y: alt.Y,
    colours: Look,
) -> list[alt.Chart]:
    """Every layer in one form, back to front."""
    grid: list[Row] = []
    bars: list[Row] = []
    dots: list[Row] = []
    rings: list[Row] = []
    arrows: dict[float, list[Row]] = {270.0: [], 90.0: []}
    words: list[Row] = []
    opens: dict[bool, list[Row]] = {True: [], False: []}
    for at, (key, load) in enumerate(known):
        middle = -at - 0.5
        bar_y = middle - (BAR_BELOW if form.narrow else 0.0)
        half = 0.22 if form.narrow else 0.36
        grid += [
            {"x": percents.at(tick), "y": bar_y - half, "y2": bar_y + half, "even": tick == EVEN}
            for tick in percents.ticks
        ]
        words.append(
            {
                "y": middle + (0.2 if form.narrow else 0.0),
                "left": 0.0,
                "right": 1.0,
                "name": side_name(key),
                "loads": loads_words(load),
            }
        )
        if load.low is None and load.high is None:
            before_even = load.probability_left_lower >= 0.5
            opens[before_even].append({"x": percents.at(EVEN), "y": bar_y, "text": open_words(load)})
            continue
        low = percents.panel.start if load.low is None else percents.at(percent_of_right(load.low))
        high = percents.panel.end if load.high is None else percents.at(percent_of_right(load.high))
        bars.append({"x": low, "x2": high, "y": bar_y})
        if load.low is None:
            arrows[270.0].append({"x": low, "y": bar_y})
        if load.high is None:
            arrows[90.0].append({"x": high, "y": bar_y})
        if load.log2_left_over_right is not None:
            here = percents.at(percent_of_right(load.log2_left_over_right))
            dots.append({"x": here, "y": bar_y})
            if key in then:
                before = percents.at(percent_of_right(then[key]))
                rings.append({"x": before, "x2": here, "y": bar_y - RING_BELOW})
    base = {"y": y, "x": x_share(axis)}
    found = [
        chart_of([one for one in grid if not one["even"]], form)
        .mark_rule(color=colours.grid)
        .encode(**base, y2="y2:Q"),
        chart_of([one for one in grid if one["even"]], form)
        .mark_rule(color=colours.ink, strokeWidth=2)
        .encode(**base, y2="y2:Q"),
        chart_of(bars, form).mark_rule(color=colours.ink, strokeWidth=5).encode(**base, x2="x2:Q"),
        *(
            chart_of(ends, form)
            .mark_point(shape="triangle-up", angle=angle, filled=True, fill=colours.ink, size=110, opacity=1)
            .encode(**base)
            for angle, ends in arrows.items()
        ),
        chart_of(rings, form).mark_rule(color=colours.soft, strokeWidth=1).encode(**base, x2="x2:Q"),
        chart_of(rings, form)
        .mark_point(
            shape="circle", fill=colours.paper, stroke=colours.soft, strokeWidth=1.4, size=55, opacity=1
        )
        .encode(**base),
        chart_of(dots, form)
        .mark_point(
            shape="circle",
            filled=True,
            fill=colours.ink,
            stroke=colours.paper,
            strokeWidth=2,
            size=170,
            opacity=1,
        )
        .encode(**base),
    ]
    found += [
        chart_of(rows, form)
        .mark_text(
            align="right" if before_even else "left",
            dx=-8 if before_even else 8,
            fontSize=LABEL,
            fontStyle="italic",
            color=colours.soft,
        )
        .encode(**base, text="text:N")
        for before_even, rows in opens.items()
    ]
    return found + _texts(words, percents, form, axis, y, colours)


def _texts(
    words: list[Row], percents: _Axis, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    """Names at the left, both loads at the right, "even" on top of its rule."""
    lines = chart_of(words, form)
    weight: Literal["bold", "normal"] = "bold" if form.narrow else "normal"
    even = chart_of([{"x": percents.at(EVEN), "text": "even"}], form)
    return [
        lines.mark_text(
            align="left", fontSize=LABEL, color=colours.ink, limit=NAME_SHARE[form.narrow] * form.px
        ).encode(x=x_share(axis, "left"), y=y, text="name:N"),
        lines.mark_text(align="right", fontSize=LABEL, fontWeight=weight, color=colours.ink).encode(
            x=x_share(axis, "right"), y=y, text="loads:N"
        ),
        even.mark_text(baseline="bottom", fontSize=LABEL, fontWeight="bold", color=colours.ink).encode(
            x=x_share(axis), y=alt.value(2 if not form.narrow else -6), text="text:N"
        ),
    ]
