"""Where the bands of a month's chart lie, and the days they share (layer: charts)."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass

import altair as alt

from analysis.questions.month import Month
from dashboard.charts.look import Look
from dashboard.charts.month_labels import courses, drawn_burn, drawn_sessions, event_labels, first_drawn
from dashboard.charts.panels import FORMS, Panel, share_axis
from dashboard.wording.numbers import in_unit, plain_load

TITLE_PX, NAMES_PX, LANE_PX, FOOT_PX = 30, 22, 19, 4
PAIN_PX, LOAD_PX, SMALL_PX = 150, 60, 50
SCORES = (0.0, 10.0)
HALF_DAY = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """Places of everything, as shares of the chart's width and height.

    Attributes
    ----------
    height : int
        Pixels.
    names, lanes : float, tuple of float
        Heights of the months' names and of the labels of events, lowest lane first.
    pain, burn, mornings : Panel
        Each 0 to 10 in full; a panel without height where nothing is logged.
    load : Panel or None
        None without a load.
    days : Panel
    divider : float or None
        Where the month begins; None when the month before is not drawn.
    """

    height: int
    names: float
    lanes: tuple[float, ...]
    pain: Panel
    load: Panel | None
    burn: Panel
    mornings: Panel
    days: Panel
    divider: float | None

    def drawn(self) -> tuple[Panel, ...]:
        """Bands that have a height, top to bottom."""
        every = (self.pain, self.load, self.burn, self.mornings)
        return tuple(one for one in every if one is not None and one.end > one.start)


def bands_of(month: Month) -> Bands:
    """Bands of a month from its bottom up; those without anything logged have their title only."""
    loads = [in_unit(one.load_kg, month.unit) for one, _ in drawn_sessions(month) if one.load_kg is not None]
    heights = {
        "mornings": SMALL_PX if any(course.mornings for course, _ in courses(month)) else 0,
        "burn": SMALL_PX if drawn_burn(month) else 0,
        "load": LOAD_PX if loads else None,
        "pain": PAIN_PX,
    }
    ends: dict[str, tuple[int, int]] = {}
    bottom = FOOT_PX
    for name, height in heights.items():
        if height is not None:
            ends[name] = (bottom, bottom + height)
            bottom += height + TITLE_PX
    first = first_drawn(month)
    days = Panel(
        start=0.012,
        end=0.985,
        domain=(0.0, float(max(1, (month.last_day - first).days))),
        origin=first,
    )
    lanes = [one.lane for form in FORMS for one in event_labels(month, days, form)]
    n_lanes = max(lanes) + 1 if lanes else 0
    is_beside = first < month.first_day
    total = bottom + n_lanes * LANE_PX + (NAMES_PX if is_beside else 0)

    def panel(name: str, domain: tuple[float, float] = SCORES) -> Panel:
        low, high = ends[name]
        return Panel(start=round(low / total, 5), end=round(high / total, 5), domain=domain)

    return Bands(
        height=total,
        names=round((total - 0.5 * NAMES_PX) / total, 5),
        lanes=tuple(round((bottom + (lane + 0.5) * LANE_PX) / total, 5) for lane in range(n_lanes)),
        pain=panel("pain"),
        load=panel("load", _with_room(loads)) if loads else None,
        burn=panel("burn"),
        mornings=panel("mornings"),
        days=days,
        divider=days.at((month.first_day - first).days - HALF_DAY) if is_beside else None,
    )


def _with_room(loads: list[float]) -> tuple[float, float]:
    low, high = min(loads), max(loads)
    room = max((high - low) * 0.15, high * 0.02, 0.5)
    return low - room, high + room


def day_axis(month: Month, bands: Bands, colours: Look) -> alt.Axis:
    """Every Monday has its mark on the axis; on a phone every other one, or every third, has its date."""
    days = mondays(first_drawn(month), month.last_day)
    labels = [(bands.days.at_day(day), f"{day.day} {day:%b}") for day in days]
    step = 1 if len(labels) <= 5 else 2
    return share_axis(labels, labels[::-1][::step][::-1], colours)


def mondays(first: dt.date, last: dt.date) -> list[dt.date]:
    """Every Monday between two days, both inclusive; the first day itself where there is none."""
    monday = first + dt.timedelta(days=(7 - first.weekday()) % 7)
    found = [monday + dt.timedelta(days=7 * week) for week in range((last - monday).days // 7 + 1)]
    return found or [first]


def height_axis(month: Month, bands: Bands, colours: Look, field: str = "y") -> alt.Y:
    """The ends of every band, and the middle of the pain scale."""
    texts = {bands.pain.at(score): str(score) for score in (0, 5, 10)}
    for panel in (bands.burn, bands.mornings):
        if panel.end > panel.start:
            texts |= {panel.at(0): "0", panel.at(10): "10"}
    loads = [one.load_kg for one, _ in drawn_sessions(month) if one.load_kg is not None]
    if bands.load is not None:
        for kg in (min(loads), max(loads)):
            texts[bands.load.at(in_unit(kg, month.unit))] = plain_load(kg, month.unit)
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
