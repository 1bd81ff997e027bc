"""The pain line drawn: sets over dates at the left, the chance over the same loads at the right (layer: charts)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import altair as alt

from analysis.questions.sets_of_line import SeenSet
from analysis.results import ChanceAtLoad, LineRow, LineWeek, PainLine
from dashboard.charts.chance_panel import chance_layers, seen_layers
from dashboard.charts.look import LABEL, finished, look
from dashboard.charts.pain_line_scale import LoadScale, load_scale
from dashboard.charts.panels import FORMS, Form, Panel, chart_of, date_ticks, share_axis, x_share
from dashboard.charts.sets_panel import grid_layer, sets_layers
from dashboard.wording.numbers import counted_as

HEIGHT = 350
CHANCE_TICKS = {False: ("0", "2", "4", "6", "8", "10"), True: ("0", "2", "5", "10")}
LEFT_END = {False: 0.62, True: 0.55}
RIGHT = {False: (0.67, 0.92), True: (0.64, 0.86)}
SHORTEST_DAYS = 27


def pain_line_chart(
    row: LineRow,
    *,
    sets: Sequence[SeenSet],
    weeks: Sequence[LineWeek],
    curve: Sequence[ChanceAtLoad],
    as_of: dt.date,
    description: str,
    dark: bool = False,
) -> alt.LayerChart | None:
    """Two panels on one load axis: what was done and felt, and the chance of pain at each load.

    Parameters
    ----------
    row : LineRow
        The answer and what was tried.
    sets : sequence of SeenSet
        Asked sets of the line, oldest first.
    weeks : sequence of LineWeek
        The line as it stood week by week; not drawn unless the line is reached.
    curve : sequence of ChanceAtLoad
        Chance of pain over loads; empty when too little was tried.
    as_of : date
        Last day of the left panel.
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None when no load was tried, so that there is no axis.
    """
    scale = load_scale(row)
    if scale is None:
        return None
    colours = look(dark)
    first = min((one.day for one in sets), default=as_of)
    first = min(first, as_of - dt.timedelta(days=SHORTEST_DAYS))
    axis = _axis(first, as_of, has_curve=bool(curve), dark=dark)
    layers: list[alt.Chart] = []
    for form in FORMS:
        left, right = _panels(form, first, as_of)
        layers.append(
            grid_layer(scale, form=form, end=right.end if curve else left.end, axis=axis, colours=colours)
        )
        if curve:
            layers += chance_layers(
                row, curve, scale, form=form, left=left, right=right, axis=axis, colours=colours
            )
        layers += sets_layers(row, sets, weeks, scale, form=form, panel=left, axis=axis, colours=colours)
        layers += seen_layers(
            row, sets, scale, form=form, right=right, axis=axis, colours=colours, bold=not curve
        )
        layers += _titles(
            row, scale, form=form, left=left, right=right, axis=axis, has_curve=bool(curve), dark=dark
        )
    return finished(layers, colours, height=HEIGHT, description=description)


def shows_weeks(row: LineRow) -> bool:
    """Whether a line of past weeks may be drawn: only a reached line has one that is not made up."""
    return isinstance(row.answer, PainLine) and row.answer.status == "reached"


def _panels(form: Form, first: dt.date, last: dt.date) -> tuple[Panel, Panel]:
    end = LEFT_END[form.narrow]
    start, stop = RIGHT[form.narrow]
    margin = 0.012
    left = Panel(start=margin, end=end - margin, domain=(0.0, float((last - first).days)), origin=first)
    return left, Panel(start=start, end=stop, domain=(0.0, 10.0))


def _axis(first: dt.date, last: dt.date, *, has_curve: bool, dark: bool) -> alt.Axis:
    labels: dict[bool, list[tuple[float, str]]] = {}
    for form in FORMS:
        left, right = _panels(form, first, last)
        dates = date_ticks(first, last, most=3 if form.narrow else 7)
        labels[form.narrow] = [(left.at_day(day), text) for day, text in dates]
        if has_curve:
            labels[form.narrow] += [(right.at(float(text)), text) for text in CHANCE_TICKS[form.narrow]]
    return share_axis(labels[False], labels[True], look(dark))


def _titles(
    row: LineRow,
    scale: LoadScale,
    *,
    form: Form,
    left: Panel,
    right: Panel,
    axis: alt.Axis,
    has_curve: bool,
    dark: bool,
) -> list[alt.Chart]:
    colours = look(dark)
    counts = "" if form.narrow else counted_as(row.tried.load_basis)
    texts = [{"x": 0.0, "text": f"Sets, {row.tried.unit}{counts}"}]
    if has_curve:
        texts.append({"x": right.start, "text": "Hurt, of 10" if form.narrow else "Would hurt, of 10 sets"})
    base = chart_of(texts, form).mark_text(
        align="left", baseline="bottom", fontWeight="bold", fontSize=LABEL, color=colours.ink, dx=0
    )
    return [base.encode(x=x_share(axis), y=alt.value(-10), text="text:N")]
