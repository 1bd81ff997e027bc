"""Loads by ranges: in each cell how many sets hurt of those asked; empty where nothing was tried (layer: charts)."""

from __future__ import annotations

import textwrap

import altair as alt

from analysis.results_effects import LoadByRange, RangeCell
from dashboard.charts.look import LABEL, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Row, chart_of, share_axis, x_share
from dashboard.wording.load_by_range import row_name

ROW_PX = 42
WIDEST_SHARE = 0.17
"""A column is never wider than this share of a wide page: boxes, not banners."""
LEFT = {False: 0.08, True: 0.15}
"""Where the columns begin, by whether the page is narrow."""
FAINT = 0.10
SHADE = {False: 0.38, True: 0.25}
"""How much darker a cell is where every set hurt, by whether the page is dark."""
LETTER_PX = 7.0


def load_by_range_chart(grid: LoadByRange, *, description: str, dark: bool = False) -> alt.LayerChart:
    """The grid, heaviest load on top, shortest range on the left.

    Parameters
    ----------
    grid : LoadByRange
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart
    """
    colours = look(dark)
    axis = share_axis([], [], colours)
    layers: list[alt.Chart] = []
    for form in FORMS:
        layers += _form(grid, form, axis, colours, dark)
    return finished(
        layers,
        colours,
        height=ROW_PX * len(grid.loads_kg) + 56,
        description=description,
        padding={"left": 2, "right": 4, "top": 46, "bottom": 4},
    )


def _form(grid: LoadByRange, form: Form, axis: alt.Axis, colours: Look, dark: bool) -> list[alt.Chart]:
    scale = alt.Scale(domain=[-len(grid.loads_kg), 0], nice=False, zero=False)
    y, centre = (alt.Y(f"{field}:Q", scale=scale, axis=None) for field in ("y", "centre"))
    left = LEFT[form.narrow]
    width = (1.0 - left) / len(grid.stops)
    width = width if form.narrow else min(width, WIDEST_SHARE)
    seen = {(cell.load, cell.stop): cell for cell in grid.cells}
    boxes: list[Row] = []
    empty: list[Row] = []
    for load in range(len(grid.loads_kg)):
        for stop in range(len(grid.stops)):
            middle = left + (stop + 0.5) * width
            cell = seen.get((load, stop))
            if cell is None:
                empty.append({"x": middle, "y": -load - 0.5, "text": "not tried"})
            else:
                boxes.append(_box(cell, left + stop * width, width, SHADE[dark]))
    names: list[Row] = [
        {"x": left - 0.02, "y": -load - 0.5, "text": row_name(grid, load)}
        for load in range(len(grid.loads_kg))
    ]
    letters = max(int(width * form.px / LETTER_PX), 6)
    heads: list[Row] = [
        {"x": left + (stop + 0.5) * width, "text": "\n".join(textwrap.wrap(name, letters)[:2])}
        for stop, name in enumerate(grid.stops)
    ]
    heads.append({"x": left - 0.02, "text": grid.unit})
    box = chart_of(boxes, form)
    hurt = chart_of([one for one in boxes if one["hurt"]], form)
    quiet = chart_of([one for one in boxes if not one["hurt"]], form)
    return [
        box.mark_rect(fill=colours.ink, stroke=colours.soft, strokeWidth=1).encode(
            x=x_share(axis), x2="x2:Q", y=y, y2="y2:Q", fillOpacity=alt.FillOpacity("shade:Q", scale=None)
        ),
        hurt.mark_text(fontSize=16, fontWeight="bold", color=colours.ink, dy=-7).encode(
            x=x_share(axis, "middle"), y=centre, text="text:N"
        ),
        hurt.mark_text(fontSize=12, color=colours.ink, dy=10).encode(
            x=x_share(axis, "middle"), y=centre, text="worst:N"
        ),
        quiet.mark_text(fontSize=LABEL, color=colours.soft).encode(
            x=x_share(axis, "middle"), y=centre, text="text:N"
        ),
        chart_of(empty, form)
        .mark_text(fontSize=12, fontStyle="italic", color=colours.soft)
        .encode(x=x_share(axis), y=y, text="text:N"),
        chart_of(names, form)
        .mark_text(align="right", fontSize=LABEL, color=colours.ink)
        .encode(x=x_share(axis), y=y, text="text:N"),
        chart_of(heads, form)
        .mark_text(
            baseline="line-bottom", fontSize=LABEL, fontWeight="bold", color=colours.ink, lineBreak="\n"
        )
        .encode(x=x_share(axis), y=alt.value(-8), text="text:N"),
    ]


def _box(cell: RangeCell, start: float, width: float, shade: float) -> Row:
    hurt = cell.n_painful > 0
    return {
        "x": start + 0.003,
        "x2": start + width - 0.003,
        "middle": start + 0.5 * width,
        "y": -cell.load - 0.95,
        "y2": -cell.load - 0.05,
        "centre": -cell.load - 0.5,
        "hurt": hurt,
        "text": f"{cell.n_painful} of {cell.n_asked}" if hurt else f"{cell.n_asked} quiet",
        "worst": f"worst {cell.worst}",
        "shade": FAINT + shade * cell.n_painful / cell.n_asked if hurt else 0.0,
    }
