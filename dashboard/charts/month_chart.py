"""A month drawn: pain of one line above the load it was at, mornings below, what was changed when (layer: charts)."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence

import altair as alt

from analysis.questions.month import Month
from dashboard.charts.look import LABEL, SHAPES, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Panel, Row, chart_of, date_ticks, share_axis, x_share
from dashboard.wording.month import event_label
from dashboard.wording.numbers import counted_as, in_unit, plain_load, short_day

HEIGHT = 420
PAIN = Panel(start=0.50, end=0.84, domain=(0.0, 10.0))
LOAD = (0.245, 0.40)
MORNINGS = Panel(start=0.0, end=0.125, domain=(0.0, 10.0))
LANES = (0.935, 0.985)
BREAK_DAYS = 14
LETTER_SHARE = 0.0075


def month_chart(month: Month, *, description: str, dark: bool = False) -> alt.LayerChart | None:
    """Bands over the days of one month, on one scale of dates.

    Parameters
    ----------
    month : Month
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None when nothing was asked in the month.
    """
    if month.key is None or not month.sessions:
        return None
    colours = look(dark)
    days = Panel(
        start=0.012,
        end=0.985,
        domain=(0.0, float(max(1, (month.last_day - month.first_day).days))),
        origin=month.first_day,
    )
    labels = [
        [(days.at_day(day), text) for day, text in date_ticks(month.first_day, month.last_day, most=most)]
        for most in (6, 4)
    ]
    axis = share_axis(labels[0], labels[1], colours)
    load = _load_panel(month)
    y = _y_axis(month, load, colours)
    layers: list[alt.Chart] = []
    for form in FORMS:
        layers += _grid(load, form, axis, y, colours)
        layers += _events(month, days, form, axis, y, colours)
        layers += _pain(month, days, form, axis, (y, _y_axis(month, load, colours, "y2")), colours)
        layers += _loads(month, days, load, form, axis, y, colours)
        layers += _mornings(month, days, form, axis, y, colours)
        layers += _titles(month, load, form, axis, y, colours)
    return finished(alt.LayerChart(layer=layers), colours, height=HEIGHT, description=description)


def _load_panel(month: Month) -> Panel | None:
    loads = [in_unit(one.load_kg, month.unit) for one in month.sessions if one.load_kg is not None]
    if not loads:
        return None
    low, high = min(loads), max(loads)
    room = max((high - low) * 0.15, high * 0.02, 0.5)
    return Panel(start=LOAD[0], end=LOAD[1], domain=(low - room, high + room))


def _y_axis(month: Month, load: Panel | None, colours: Look, field: str = "y") -> alt.Y:
    texts = {PAIN.at(score): str(score) for score in (0, 5, 10)}
    if month.mornings:
        texts |= {MORNINGS.at(0): "0", MORNINGS.at(10): "10"}
    for kg in _load_ends(month):
        if load is not None:
            texts[load.at(in_unit(kg, month.unit))] = plain_load(kg, month.unit)
    shown = json.dumps({f"{place:.4f}": text for place, text in texts.items()})
    axis = alt.Axis(
        values=sorted(texts),
        labelExpr=f"({shown})[format(datum.value,'.4f')]",
        grid=False,
        ticks=False,
        domain=False,
        title=None,
        labelColor=colours.ink,
        labelPadding=6,
        labelOverlap=False,
    )
    return alt.Y(f"{field}:Q", scale=alt.Scale(domain=[0, 1], nice=False, zero=False), axis=axis)


def _load_ends(month: Month) -> list[float]:
    loads = [one.load_kg for one in month.sessions if one.load_kg is not None]
    return sorted({min(loads), max(loads)}) if loads else []


def _grid(load: Panel | None, form: Form, axis: alt.Axis, y: alt.Y, colours: Look) -> list[alt.Chart]:
    places = [PAIN.at(score) for score in (0, 5, 10)] + [MORNINGS.at(0)]
    rows: list[Row] = [{"x": 0.0, "x2": 1.0, "y": place} for place in places]
    return [chart_of(rows, form).mark_rule(color=colours.grid).encode(x=x_share(axis), x2="x2:Q", y=y)]


def _events(
    month: Month, days: Panel, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    """Rules inside the bands; on a wide page labels in lanes filled from the latest, on a phone numbers."""
    rules: list[Row] = []
    labels: list[Row] = []
    taken = [1.0] * len(LANES)
    for number, event in sorted(enumerate(month.events, start=1), reverse=True):
        place = days.at_day(event.day)
        text = event_label(event, month.unit)
        words = f"{short_day(event.day)}: {text}"
        lane = next(
            (one for one in range(len(LANES)) if place + LETTER_SHARE * len(text) + 0.01 < taken[one]), None
        )
        top = LANES[lane or 0] if form.narrow or lane is not None else PAIN.end
        rules += [
            {"x": place, "y": bottom, "y2": end, "words": words}
            for bottom, end in ((PAIN.start, PAIN.end), LOAD, (MORNINGS.start, MORNINGS.end))
        ]
        if form.narrow:
            labels.append({"x": place, "y": LANES[0], "text": str(number)})
        elif lane is not None:
            taken[lane] = place
            labels.append({"x": place, "y": top, "text": text})
            rules.append({"x": place, "y": PAIN.end + 0.055, "y2": top + 0.012, "words": words})
    rule = (
        chart_of(rules, form)
        .mark_rule(color=colours.soft, strokeDash=[2, 3])
        .encode(x=x_share(axis), y=y, y2="y2:Q", tooltip=alt.Tooltip("words:N", title=" "))
    )
    text = (
        chart_of(labels, form)
        .mark_text(align="left", dx=4, color=colours.ink, fontSize=LABEL)
        .encode(x=x_share(axis), y=y, text="text:N")
    )
    return [rule, text]


def _pain(
    month: Month, days: Panel, form: Form, axis: alt.Axis, heights: tuple[alt.Y, alt.Y], colours: Look
) -> list[alt.Chart]:
    y, median = heights
    rows: list[Row] = [
        {
            "x": days.at_day(one.day),
            "y": PAIN.at(one.worst),
            "y2": PAIN.at(one.median),
            "hurt": one.n_painful > 0,
            "words": f"{short_day(one.day)}: worst {one.worst}, {one.n_painful} of {one.n_asked} hurt",
        }
        for one in month.sessions
    ]
    size = 40 if form.narrow else 90
    key = month.key
    shape = SHAPES[key.side] if key is not None else "square"
    tooltip = alt.Tooltip("words:N", title=" ")
    base = chart_of(rows, form)
    stem = base.mark_rule(color=colours.ink).encode(x=x_share(axis), y=y, y2="y2:Q")
    tick = base.mark_tick(orient="horizontal", color=colours.ink, size=9, thickness=1.6).encode(
        x=x_share(axis), y=median
    )
    hollow = chart_of([one for one in rows if not one["hurt"]], form).mark_point(
        shape=shape, size=size, fill=colours.paper, stroke=colours.soft, strokeWidth=1.4, opacity=1
    )
    filled = chart_of([one for one in rows if one["hurt"]], form).mark_point(
        shape=shape, size=size, fill=colours.ink, stroke=colours.ink, opacity=1
    )
    return [
        stem,
        tick,
        hollow.encode(x=x_share(axis), y=y, tooltip=tooltip),
        filled.encode(x=x_share(axis), y=y, tooltip=tooltip),
    ]


def _loads(
    month: Month, days: Panel, load: Panel | None, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    if load is None or month.key is None:
        return []
    rows: list[Row] = []
    run, before = 0, None
    for one in month.sessions:
        if one.load_kg is None:
            continue
        run += before is not None and (one.day - before).days > BREAK_DAYS
        before = one.day
        rows.append(
            {"x": days.at_day(one.day), "y": load.at(in_unit(one.load_kg, month.unit)), "run": int(run)}
        )
    colour = colours.sides[month.key.side]
    line = (
        chart_of(rows, form)
        .mark_line(interpolate="step-after", color=colour, strokeWidth=2.5)
        .encode(x=x_share(axis), y=y, detail="run:N")
    )
    dots = (
        chart_of(rows, form)
        .mark_point(
            shape=SHAPES[month.key.side], filled=True, fill=colour, opacity=1, size=24 if form.narrow else 46
        )
        .encode(x=x_share(axis), y=y)
    )
    return [line, dots]


def _mornings(
    month: Month, days: Panel, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    rows: list[Row] = [
        {
            "x": days.at_day(one.day),
            "y": MORNINGS.at(0),
            "y2": max(MORNINGS.at(one.pain), MORNINGS.at(0.25)),
            "up": one.up,
            "words": f"{short_day(one.day)}: morning {one.pain}",
        }
        for one in month.mornings
    ]
    tooltip = alt.Tooltip("words:N", title=" ")
    usual = chart_of([one for one in rows if not one["up"]], form).mark_rule(
        color=colours.soft, strokeWidth=2.5 if form.narrow else 5
    )
    up = chart_of([one for one in rows if one["up"]], form).mark_rule(
        color=colours.ink, strokeWidth=5 if form.narrow else 11
    )
    return [one.encode(x=x_share(axis), y=y, y2="y2:Q", tooltip=tooltip) for one in (usual, up)]


def _titles(
    month: Month, load: Panel | None, form: Form, axis: alt.Axis, y: alt.Y, colours: Look
) -> list[alt.Chart]:
    pain = "Pain in sets: worst, median" if form.narrow else "Pain in sets, 0 to 10: worst, with median"
    texts: list[tuple[float, str]] = [(PAIN.end, pain)]
    if load is not None:
        texts.append((LOAD[1], f"Load, {month.unit}{counted_as(month.load_basis or '')}"))
    texts.append((MORNINGS.end, _morning_title(month, form)))
    rows: list[Row] = [{"x": 0.0, "y": place + 0.018, "text": text} for place, text in texts]
    return [
        chart_of(rows, form)
        .mark_text(align="left", baseline="bottom", fontWeight="bold", fontSize=LABEL, color=colours.ink)
        .encode(x=x_share(axis), y=y, text="text:N")
    ]


def _morning_title(month: Month, form: Form) -> str:
    if not month.mornings:
        return "Mornings: not logged"
    return (
        "Mornings; thick: above usual" if form.narrow else "Mornings, 0 to 10; thick: 2 or more above usual"
    )


def event_numbers(month: Month) -> Sequence[str]:
    """The numbers that stand for events on a phone, with what they mean."""
    return [
        f"{number} {event_label(event, month.unit)} ({_day(event.day)})"
        for number, event in enumerate(month.events, start=1)
    ]


def _day(day: dt.date) -> str:
    return short_day(day)
