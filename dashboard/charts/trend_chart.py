"""Pain at one fixed set week by week, above the load really done and the repeated test sets (layer: charts)."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt

from analysis.results_trend import PainTrend, SeriesOfTests, TrendWeek
from dashboard.charts.look import DASHES, LABEL, SHAPES, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Panel, Row, chart_of, date_ticks, share_axis, x_share
from dashboard.wording.numbers import half_up, in_unit, load_words, plain_load, short_day
from dashboard.wording.trend import points_words

STRIP_PX = {"points": 170, "load": 62, "tests": 92}
TITLE_PX = 46
LARGEST_POINTS = 5.0
LONGEST_STEP_DAYS = 10
"""Weeks further apart than this are not joined by a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Strips:
    """Where each strip lies, shares of the height from below; one that has nothing to show is None."""

    height: int
    points: Panel
    load: Panel | None
    tests: Panel | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """What every layer needs: days across, strips, both axes, colours."""

    days: Panel
    strips: _Strips
    x: alt.Axis
    y: alt.Axis
    colours: Look

    def height_of(self, field: str = "y") -> alt.Y:
        """Vertical position as a share of the height."""
        return alt.Y(f"{field}:Q", scale=alt.Scale(domain=[0, 1], nice=False, zero=False), axis=self.y)


def trend_chart(
    trend: PainTrend,
    tests: SeriesOfTests | None,
    *,
    unit: str,
    level: int,
    description: str,
    dark: bool = False,
) -> alt.LayerChart:
    """Strips on one scale of dates: the fixed set, the load really done, the test sets.

    Parameters
    ----------
    trend : PainTrend
    tests : SeriesOfTests or None
        Test sets of the same line, a strip of their own.
    unit : str
        ``kg`` or ``lb``.
    level : int
        Score from which a set hurts: such test sets are filled.
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart
    """
    colours = look(dark)
    known = [rating.day for rating in tests.ratings] if tests else []
    first, last = min([trend.weeks[0].week, *known]), max([trend.weeks[-1].week, *known])
    days = Panel(start=0.012, end=0.985, domain=(0.0, float(max(1, (last - first).days))), origin=first)
    labels = [
        [(days.at_day(day), text) for day, text in date_ticks(first, last, most=most)] for most in (10, 4)
    ]
    strips = _strips(trend, tests, unit)
    frame = _Frame(
        days=days,
        strips=strips,
        x=share_axis(labels[0], labels[1], colours),
        y=_y_axis(trend, strips, unit, colours),
        colours=colours,
    )
    layers: list[alt.Chart] = []
    for form in FORMS:
        layers += [
            *_grid(frame, form),
            *_fixed_set(trend, frame, form),
            *_felt(trend, frame, form),
            *_loads(trend, frame, form, unit),
            *_tests(tests, frame, form, level),
            *_titles(trend, tests, frame, form, unit),
        ]
    return finished(layers, colours, height=strips.height, description=description)


def _strips(trend: PainTrend, tests: SeriesOfTests | None, unit: str) -> _Strips:
    loads = [in_unit(one.raw_load_kg, unit) for one in trend.weeks if one.raw_load_kg is not None]
    shown = [*(["tests"] if tests else []), *(["load"] if loads else []), "points"]
    height = sum(STRIP_PX[name] + TITLE_PX for name in shown)
    domains = {"points": (0.0, LARGEST_POINTS), "tests": (0.0, 10.0)}
    if loads:
        room = max(0.12 * (max(loads) - min(loads)), 0.02 * max(loads))
        domains["load"] = (min(loads) - room, max(loads) + room)
    panels: dict[str, Panel] = {}
    below = 4.0
    for name in shown:
        top = below + STRIP_PX[name]
        panels[name] = Panel(start=below / height, end=top / height, domain=domains[name])
        below = top + TITLE_PX
    return _Strips(height=height, points=panels["points"], load=panels.get("load"), tests=panels.get("tests"))


def _y_axis(trend: PainTrend, strips: _Strips, unit: str, colours: Look) -> alt.Axis:
    texts = {strips.points.at(score): "5+" if score == LARGEST_POINTS else str(score) for score in range(6)}
    if strips.tests is not None:
        texts |= {strips.tests.at(score): str(score) for score in (0, 5, 10)}
    if strips.load is not None:
        loads = [one.raw_load_kg for one in trend.weeks if one.raw_load_kg is not None]
        texts |= {
            strips.load.at(in_unit(load, unit)): plain_load(round(load, 1), unit)
            for load in (min(loads), max(loads))
        }
    shown = json.dumps({f"{place:.4f}": text for place, text in texts.items()})
    return alt.Axis(
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


def _grid(frame: _Frame, form: Form) -> list[alt.Chart]:
    strips = frame.strips
    places = [strips.points.at(score) for score in range(6)]
    if strips.tests is not None:
        places += [strips.tests.at(score) for score in (0, 5, 10)]
    rows: list[Row] = [{"x": 0.0, "x2": 1.0, "y": place} for place in places]
    rule = chart_of(rows, form).mark_rule(color=frame.colours.grid)
    return [rule.encode(x=x_share(frame.x), x2="x2:Q", y=frame.height_of())]


def _fixed_set(trend: PainTrend, frame: _Frame, form: Form) -> list[alt.Chart]:
    """Interval of each week as a bar, medians joined where the weeks follow each other."""
    at = frame.strips.points.at
    rows: list[Row] = [
        {
            "x": frame.days.at_day(one.week),
            "y": at(one.points),
            "low": at(one.low),
            "high": at(one.high),
            "run": run,
            "words": f"Week of {short_day(one.week)}: {points_words(one.points)}"
            f" ({points_words(one.low)} to {points_words(one.high)})",
        }
        for one, run in zip(trend.weeks, _runs(trend.weeks), strict=True)
    ]
    colour = frame.colours.sides[trend.key.side]
    base, tooltip = chart_of(rows, form), alt.Tooltip("words:N", title=" ")
    bar = base.mark_rule(color=colour, strokeWidth=4 if form.narrow else 7, opacity=0.35).encode(
        x=x_share(frame.x), y=frame.height_of("low"), y2="high:Q", tooltip=tooltip
    )
    line = base.mark_line(color=colour, strokeWidth=2.5, strokeDash=DASHES[trend.key.side]).encode(
        x=x_share(frame.x), y=frame.height_of(), detail="run:N"
    )
    dots = base.mark_point(
        shape=SHAPES[trend.key.side], filled=True, fill=colour, opacity=1, size=26 if form.narrow else 44
    ).encode(x=x_share(frame.x), y=frame.height_of(), tooltip=tooltip)
    return [bar, line, dots]


def _runs(weeks: Sequence[TrendWeek]) -> list[int]:
    """Number of the unbroken stretch each week belongs to."""
    runs, before = [0], weeks[0].week
    for one in weeks[1:]:
        runs.append(runs[-1] + ((one.week - before).days > LONGEST_STEP_DAYS))
        before = one.week
    return runs


def _felt(trend: PainTrend, frame: _Frame, form: Form) -> list[alt.Chart]:
    """What was really felt, at whatever load was done: a short tick."""
    rows: list[Row] = [
        {
            "x": frame.days.at_day(one.week),
            "y": frame.strips.points.at(one.raw_points),
            "words": f"Week of {short_day(one.week)}: logged mean {points_words(one.raw_points)}, {one.n_asked} sets",
        }
        for one in trend.weeks
        if one.raw_points is not None
    ]
    tick = chart_of(rows, form).mark_tick(
        orient="horizontal", color=frame.colours.ink, size=8 if form.narrow else 15, thickness=2
    )
    tooltip = alt.Tooltip("words:N", title=" ")
    return [tick.encode(x=x_share(frame.x), y=frame.height_of(), tooltip=tooltip)]


def _loads(trend: PainTrend, frame: _Frame, form: Form, unit: str) -> list[alt.Chart]:
    panel = frame.strips.load
    if panel is None:
        return []
    done = [one for one in trend.weeks if one.raw_load_kg is not None]
    rows: list[Row] = [
        {
            "x": frame.days.at_day(one.week),
            "y": panel.at(in_unit(one.raw_load_kg or 0.0, unit)),
            "run": run,
            "words": f"Week of {short_day(one.week)}: mean load {half_up(in_unit(one.raw_load_kg or 0.0, unit), 1)}"
            f" {unit}, {one.n_asked} sets",
        }
        for one, run in zip(done, _runs(done), strict=True)
    ]
    base, tooltip = chart_of(rows, form), alt.Tooltip("words:N", title=" ")
    line = base.mark_line(color=frame.colours.ink, strokeWidth=1.5).encode(
        x=x_share(frame.x), y=frame.height_of(), detail="run:N"
    )
    dots = base.mark_tick(
        orient="horizontal", color=frame.colours.ink, size=8 if form.narrow else 15, thickness=3
    )
    return [line, dots.encode(x=x_share(frame.x), y=frame.height_of(), tooltip=tooltip)]


def _tests(tests: SeriesOfTests | None, frame: _Frame, form: Form, level: int) -> list[alt.Chart]:
    panel = frame.strips.tests
    if panel is None or tests is None:
        return []
    rows: list[Row] = [
        {
            "x": frame.days.at_day(one.day),
            "y": panel.at(one.pain),
            "hurt": one.pain >= level,
            "words": f"{short_day(one.day)}: test set, pain {one.pain}",
        }
        for one in tests.ratings
    ]
    size, shape = 36 if form.narrow else 80, SHAPES[tests.key.side]
    ink, tooltip = frame.colours.ink, alt.Tooltip("words:N", title=" ")
    hollow = chart_of([one for one in rows if not one["hurt"]], form).mark_point(
        shape=shape,
        size=size,
        fill=frame.colours.paper,
        stroke=frame.colours.soft,
        strokeWidth=1.4,
        opacity=1,
    )
    filled = chart_of([one for one in rows if one["hurt"]], form).mark_point(
        shape=shape, size=size, fill=ink, stroke=ink, opacity=1
    )
    return [one.encode(x=x_share(frame.x), y=frame.height_of(), tooltip=tooltip) for one in (hollow, filled)]


def _titles(
    trend: PainTrend, tests: SeriesOfTests | None, frame: _Frame, form: Form, unit: str
) -> list[alt.Chart]:
    at = "" if trend.load_kg is None else f" at {load_words(trend.load_kg, unit)}"
    points = (
        f"Expected pain{at}" if form.narrow else f"Expected pain of the usual set{at}, with its 80 % interval"
    )
    felt = "; tick: logged" if form.narrow else "; short tick: mean logged, at whatever load was done"
    texts = [(frame.strips.points, points + felt)]
    if frame.strips.load is not None:
        texts.append((frame.strips.load, f"Mean load done, {unit}"))
    if frame.strips.tests is not None and tests is not None:
        load = "" if tests.load_kg is None else f" at {load_words(tests.load_kg, unit)}"
        texts.append((frame.strips.tests, f"Test set{load}: pain, 0 to 10; filled: it hurt"))
    rows: list[Row] = [
        {"x": 0.0, "y": panel.end + 9.0 / frame.strips.height, "text": text} for panel, text in texts
    ]
    title = chart_of(rows, form).mark_text(
        align="left", baseline="bottom", fontWeight="bold", fontSize=LABEL, color=frame.colours.ink
    )
    return [title.encode(x=x_share(frame.x), y=frame.height_of(), text="text:N")]
