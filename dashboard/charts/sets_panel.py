"""Left panel of the pain line: sets over dates, the line of each week with its band, today's line (layer: charts)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import altair as alt

from analysis.questions.sets_of_line import SeenSet
from analysis.results import LineRow, LineWeek, PainLine
from dashboard.charts.look import DASHES, SHAPES, Look
from dashboard.charts.pain_line_scale import LoadScale
from dashboard.charts.panels import Form, Panel, Row, chart_of, x_share
from dashboard.charts.set_marks import SIDE_BY_SIDE_PX, Mark, marks_for
from dashboard.wording.numbers import equipment_below, in_unit, load_words

SCORE_ROOM_PX = 20.0
WEEK_BREAK_DAYS = 13


def load_axis(scale: LoadScale, colours: Look, field: str = "y") -> alt.Y:
    """Vertical position: the load in the client's unit, with the ticks of the scale."""
    axis = alt.Axis(
        values=list(scale.ticks),
        title=None,
        format=".2~f",
        ticks=False,
        domain=False,
        grid=False,
        labelColor=colours.ink,
        labelPadding=8,
    )
    return alt.Y(
        f"{field}:Q", scale=alt.Scale(domain=[scale.low, scale.high], nice=False, zero=False), axis=axis
    )


def grid_layer(scale: LoadScale, *, form: Form, end: float, axis: alt.Axis, colours: Look) -> alt.Chart:
    """Thin rules at the ticks of the load, which stop before the column of counts."""
    rows: list[Row] = [{"x": 0.0, "x2": end, "y": tick} for tick in scale.ticks]
    return (
        chart_of(rows, form)
        .mark_rule(color=colours.grid, strokeWidth=1)
        .encode(x=x_share(axis), x2="x2:Q", y=load_axis(scale, colours))
    )


def sets_layers(
    row: LineRow,
    sets: Sequence[SeenSet],
    weeks: Sequence[LineWeek],
    scale: LoadScale,
    *,
    form: Form,
    panel: Panel,
    axis: alt.Axis,
    colours: Look,
) -> list[alt.Chart]:
    """Every layer of the left panel in one form, back to front."""
    colour = colours.sides[row.key.side]
    y = load_axis(scale, colours)
    layers: list[alt.Chart] = []
    answer = row.answer
    if isinstance(answer, PainLine) and answer.status == "reached":
        layers += _week_layers(row, weeks, scale, form=form, panel=panel, axis=axis, y=y, colours=colours)
    elif isinstance(answer, PainLine) and answer.low_kg is not None:
        layers += _bound_layers(
            answer, scale, form=form, panel=panel, axis=axis, y=y, colours=colours, colour=colour
        )
    layers += _mark_layers(row, sets, form=form, panel=panel, axis=axis, y=y, colours=colours)
    return layers


def _week_layers(
    row: LineRow,
    weeks: Sequence[LineWeek],
    scale: LoadScale,
    *,
    form: Form,
    panel: Panel,
    axis: alt.Axis,
    y: alt.Y,
    colours: Look,
) -> list[alt.Chart]:
    colour = colours.sides[row.key.side]
    rows: list[Row] = []
    run, before = 0, None
    unit = row.tried.unit
    for week in weeks:
        day = _inside(week.day, panel)
        if before is not None and (week.week - before).days > WEEK_BREAK_DAYS:
            run += 1
        before = week.week
        rows.append(
            {
                "x": panel.at_day(day),
                "y": in_unit(week.load_kg, unit),
                "run": run,
                "low": max(in_unit(week.low_kg, unit), scale.low),
                "high": min(in_unit(week.high_kg, unit), scale.high),
            }
        )
    rows = [one for one in rows if one["low"] < one["high"]]  # type: ignore[operator]
    base = chart_of(rows, form).encode(x=x_share(axis))
    low, high = load_axis(scale, colours, "low"), load_axis(scale, colours, "high")
    band = base.mark_area(color=colour, opacity=0.18).encode(y=low, y2="high:Q")
    edges = [
        chart_of([one for one in rows if scale.low < float(one[end]) < scale.high], form)  # type: ignore[arg-type]
        .mark_line(color=colour, strokeWidth=1, opacity=0.9)
        .encode(x=x_share(axis), y=y_end)
        for end, y_end in (("low", low), ("high", high))
    ]
    visible = [one for one in rows if scale.inside(float(one["y"]))]  # type: ignore[arg-type]
    line = (
        chart_of(visible, form)
        .mark_line(color=colour, strokeWidth=3, strokeDash=DASHES[row.key.side])
        .encode(x=x_share(axis), y=y, detail="run:N")
    )
    return [band, *edges, line]


def _inside(day: dt.date, panel: Panel) -> dt.date:
    if panel.origin is None:
        return day
    last = panel.origin + dt.timedelta(days=int(panel.domain[1]))
    return min(max(day, panel.origin), last)


def _bound_layers(
    answer: PainLine,
    scale: LoadScale,
    *,
    form: Form,
    panel: Panel,
    axis: alt.Axis,
    y: alt.Y,
    colours: Look,
    colour: str,
) -> list[alt.Chart]:
    """No line, only what it is above: a pale bar at the load with a triangle pointing up."""
    unit, tried = answer.tried.unit, answer.tried
    low_kg = answer.low_kg if answer.low_kg is not None else scale.heaviest
    floor_kg = equipment_below(low_kg, [load.load_kg for load in tried.loads], tried.load_step_kg)
    floor = in_unit(floor_kg, unit)
    if not scale.inside(floor):
        return []
    bar = (
        chart_of([{"x": panel.start, "x2": panel.end, "y": floor}], form)
        .mark_rule(color=colour, strokeWidth=9, opacity=0.28, strokeCap="butt")
        .encode(x=x_share(axis), x2="x2:Q", y=y)
    )
    at = [{"x": panel.end, "y": floor, "text": f"above {load_words(floor_kg, unit)}"}]
    arrow = (
        chart_of(at, form)
        .mark_point(shape="triangle-up", filled=True, color=colour, size=110, opacity=1, yOffset=-9)
        .encode(x=x_share(axis), y=y)
    )
    words = (
        chart_of(at, form)
        .mark_text(
            align="right", baseline="bottom", dx=-10, dy=-7, fontSize=15, fontWeight="bold", color=colours.ink
        )
        .encode(x=x_share(axis), y=y, text="text:N")
    )
    return [bar, arrow, words]


def _mark_layers(
    row: LineRow,
    sets: Sequence[SeenSet],
    *,
    form: Form,
    panel: Panel,
    axis: alt.Axis,
    y: alt.Y,
    colours: Look,
) -> list[alt.Chart]:
    px = (panel.end - panel.start) * form.px
    placed = marks_for(sets, unit=row.tried.unit, panel_px=px, narrow=form.narrow)
    size = 34 if form.narrow else 78
    rows: list[Row] = [
        {
            "x": panel.at_day(mark.day),
            "y": mark.load,
            "k": _offset(mark),
            "hurt": mark.hurt,
            "words": mark.words,
            "size": size
            if not placed.merged
            else (14 + 36 * mark.area if form.narrow else 22 + 90 * mark.area),
            "score": "",
        }
        for mark in placed.marks
    ]
    scores = [] if placed.merged or form.narrow else _scores(placed.marks, panel, px)
    shape = SHAPES[row.key.side]
    tooltip = alt.Tooltip("words:N", title=" ")
    position = {
        "x": x_share(axis),
        "y": y,
        "size": alt.Size("size:Q", scale=None, legend=None),
        "tooltip": tooltip,
    }
    hollow = (
        chart_of([one for one in rows if not one["hurt"]], form)
        .mark_point(
            shape=shape,
            fill=colours.paper,
            stroke=colours.soft,
            strokeWidth=1.4,
            opacity=1,
            xOffset=alt.expr("datum.k"),
        )
        .encode(**position)
    )
    filled = (
        chart_of([one for one in rows if one["hurt"]], form)
        .mark_point(
            shape=shape,
            fill=colours.ink,
            stroke=colours.paper,
            strokeWidth=1,
            opacity=1,
            xOffset=alt.expr("datum.k"),
        )
        .encode(**position)
    )
    written = chart_of(scores, form).encode(x=x_share(axis), y=y, text="score:N")
    beside = alt.expr("datum.k + 7")
    halo = written.mark_text(
        align="left",
        fontWeight="bold",
        stroke=colours.paper,
        strokeWidth=4,
        xOffset=beside,
        strokeJoin="round",
    )
    numbers = written.mark_text(align="left", fontWeight="bold", color=colours.ink, xOffset=beside)
    return [hollow, filled, halo, numbers]


def _offset(mark: Mark) -> float:
    return round((mark.order - (mark.of - 1) / 2) * SIDE_BY_SIDE_PX, 2)


def _scores(marks: Sequence[Mark], panel: Panel, px: float) -> list[Row]:
    """Scores right of their group, newest first; one that would run into a mark of its row is left out."""
    width = px / (panel.end - panel.start)
    taken: dict[float, list[tuple[float, float]]] = {}
    for mark in marks:
        centre = panel.at_day(mark.day) * width + _offset(mark)
        taken.setdefault(mark.load, []).append((centre - 4, centre + 4))
    placed: list[Row] = []
    for mark in sorted(
        (one for one in marks if one.score is not None), key=lambda one: one.day, reverse=True
    ):
        last_of_group = _offset(mark) + (mark.of - 1 - mark.order) * SIDE_BY_SIDE_PX
        start = panel.at_day(mark.day) * width + last_of_group + 5
        room = (start, start + SCORE_ROOM_PX - 8)
        if any(room[0] < end and begin < room[1] for begin, end in taken[mark.load]):
            continue
        taken[mark.load].append(room)
        placed.append(
            {"x": panel.at_day(mark.day), "y": mark.load, "k": last_of_group, "score": str(mark.score)}
        )
    return placed
