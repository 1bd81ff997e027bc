"""Marks of a month's chart: pain, load, burn and mornings, the month before paler (layer: charts)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import altair as alt

from analysis.questions.month import Month
from analysis.results_month import Gap, SessionPain
from dashboard.charts.look import DASHES, SHAPES, Look
from dashboard.charts.month_bands import Bands
from dashboard.charts.month_labels import courses, drawn_burn, drawn_gaps, drawn_sessions
from dashboard.charts.panels import Form, Row, chart_of, x_share
from dashboard.wording.numbers import half_up, in_unit, load_words, short_day

BREAK_DAYS = 14
PALE = 0.55
"""How much of a colour is left in the month before; the rest is paper."""
CROSS = "M-1,-1L1,1M-1,1L1,-1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """What every mark is drawn with: bands, form, axes, colours, the first day drawn."""

    bands: Bands
    form: Form
    axis: alt.Axis
    y: alt.Y
    y2: alt.Y
    colours: Look
    first_day: dt.date

    def chart(self, rows: list[Row]) -> alt.Chart:
        """A chart over rows, in this form only."""
        return chart_of(rows, self.form)

    def both(self, rows: list[Row]) -> list[tuple[list[Row], Look]]:
        """Rows of the month before with its paler colours, and of this month with the full ones."""
        pale, full = ([row for row in rows if row["before"] is flag] for flag in (True, False))
        found = [(pale, paler(self.colours)), (full, self.colours)]
        return [(some, colours) for some, colours in found if some]


def paler(colours: Look) -> Look:
    """Every colour mixed with the paper, so that the month before stands back."""

    def mixed(colour: str) -> str:
        parts = zip(bytes.fromhex(colour[1:]), bytes.fromhex(colours.paper[1:]), strict=True)
        return "#" + "".join(f"{round(PALE * one + (1 - PALE) * other):02x}" for one, other in parts)

    return replace(
        colours,
        ink=mixed(colours.ink),
        soft=mixed(colours.soft),
        sides={side: mixed(colour) for side, colour in colours.sides.items()},
    )


TOOLTIP = alt.Tooltip("words:N", title=" ")


def pain_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """Worst score as the side's shape, filled where it hurt; the median as a tick; a thin rule between."""
    pain, narrow = paper.bands.pain, paper.form.narrow
    rows: list[Row] = [
        {
            "x": paper.bands.days.at_day(one.day),
            "y": pain.at(one.worst),
            "y2": pain.at(one.median),
            "hurt": one.n_painful > 0,
            "before": flag,
            "words": _session_words(one, month.unit),
        }
        for one, flag in drawn_sessions(month)
    ]
    shape = "square" if month.key is None else SHAPES[month.key.side]
    found = []
    for some, colours in paper.both(rows):
        base = paper.chart(some)
        found += [
            base.mark_rule(color=colours.ink).encode(x=x_share(paper.axis), y=paper.y, y2=alt.Y2("y2:Q")),
            base.mark_tick(orient="horizontal", color=colours.ink, size=9, thickness=1.6).encode(
                x=x_share(paper.axis), y=paper.y2
            ),
        ]
        for hurt, fill, stroke in ((False, colours.paper, colours.soft), (True, colours.ink, colours.ink)):
            if marked := [row for row in some if row["hurt"] is hurt]:
                point = paper.chart(marked).mark_point(
                    shape=shape,
                    size=40 if narrow else 90,
                    fill=fill,
                    stroke=stroke,
                    strokeWidth=1.4,
                    opacity=1,
                )
                found.append(point.encode(x=x_share(paper.axis), y=paper.y, tooltip=TOOLTIP))
    return found


def load_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """Load of each session's worst set as steps in the side's colour and dash; broken where nothing was done."""
    load = paper.bands.load
    if load is None or month.key is None:
        return []
    rows: list[Row] = []
    gaps = drawn_gaps(month)
    run, last = 0, None
    for one, flag in drawn_sessions(month):
        if one.load_kg is None:
            continue
        is_apart = last is not None and _is_apart(last, one, gaps)
        run += is_apart
        place = {
            "x": paper.bands.days.at_day(one.day),
            "y": load.at(in_unit(one.load_kg, month.unit)),
            "run": int(run),
        }
        if rows and rows[-1]["before"] and not flag and not is_apart:
            rows.append({**place, "before": True, "joint": True})  # the step from one month into the next
        rows.append({**place, "before": flag, "joint": False})
        last = one
    found = []
    for some, colours in paper.both(rows):
        colour = colours.sides[month.key.side]
        found += [
            paper.chart(some)
            .mark_line(
                interpolate="step-after",
                color=colour,
                strokeWidth=2.5,
                strokeDash=DASHES[month.key.side],
            )
            .encode(x=x_share(paper.axis), y=paper.y, detail=alt.Detail("run:N")),
            paper.chart([row for row in some if not row["joint"]])
            .mark_point(
                shape=SHAPES[month.key.side],
                filled=True,
                fill=colour,
                opacity=1,
                size=24 if paper.form.narrow else 46,
            )
            .encode(x=x_share(paper.axis), y=paper.y),
        ]
    return found


def burn_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """Median burn of each session as a cross: no shape of a side, neither filled nor hollow."""
    rows: list[Row] = [
        {
            "x": paper.bands.days.at_day(one.day),
            "y": paper.bands.burn.at(one.median),
            "before": flag,
            "words": f"{short_day(one.day)}: median burn {half_up(one.median, 1).removesuffix('.0')}",
        }
        for one, flag in drawn_burn(month)
    ]
    size = 18 if paper.form.narrow else 34
    return [
        paper.chart(some)
        .mark_point(shape=CROSS, size=size, filled=False, stroke=colours.ink, strokeWidth=1.8, opacity=1)
        .encode(x=x_share(paper.axis), y=paper.y, tooltip=TOOLTIP)
        for some, colours in paper.both(rows)
    ]


def morning_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """A bar a morning, 0 a stub and nothing where it is missing; thick where it was up."""
    mornings, narrow = paper.bands.mornings, paper.form.narrow
    rows: list[Row] = [
        {
            "x": paper.bands.days.at_day(one.day),
            "y": mornings.at(0),
            "y2": max(mornings.at(one.pain), mornings.at(0.35)),
            "up": one.up,
            "before": flag,
            "words": f"{short_day(one.day)}: morning {one.pain}",
        }
        for course, flag in courses(month)
        for one in course.mornings
        if one.day >= paper.first_day
    ]
    found = []
    for some, colours in paper.both(rows):
        for up, colour, width in (
            (False, colours.soft, 2 if narrow else 4),
            (True, colours.ink, 4 if narrow else 9),
        ):
            if bars := [row for row in some if row["up"] is up]:
                found.append(
                    paper.chart(bars)
                    .mark_rule(color=colour, strokeWidth=width)
                    .encode(x=x_share(paper.axis), y=paper.y, y2=alt.Y2("y2:Q"), tooltip=TOOLTIP)
                )
    return found


def _session_words(one: SessionPain, unit: str) -> str:
    at = "" if one.load_kg is None else f" at {load_words(one.load_kg, unit)}"
    return f"{short_day(one.day)}: worst {one.worst}{at}, {one.n_painful} of {one.n_asked} hurt"


def _is_apart(one: SessionPain, other: SessionPain, gaps: list[Gap]) -> bool:
    """Whether a line between two sessions would cross a gap."""
    if (other.day - one.day).days > BREAK_DAYS:
        return True
    return any(one.day < gap.first and gap.last < other.day for gap in gaps)
