"""Panels as shares of the width, and axes that read differently on a wide and on a narrow page (layer: charts)."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt

from analysis.errors import OptionError
from dashboard.charts.look import NARROW_BELOW, Look

Row = dict[str, object]
SHARES = alt.Scale(domain=[0, 1], nice=False, zero=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A stretch of the chart's width, 0 to 1, standing for `domain`; days count from `origin`."""

    start: float
    end: float
    domain: tuple[float, float]
    origin: dt.date | None = None

    def at(self, value: float) -> float:
        """Share of the chart's width at which `value` stands."""
        low, high = self.domain
        return round(self.start + (self.end - self.start) * (value - low) / (high - low), 5)

    def at_day(self, day: dt.date) -> float:
        """Share of the chart's width at which a day stands."""
        if self.origin is None:
            raise OptionError("this panel has no days; give it an origin")
        return self.at(float((day - self.origin).days))


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One of the two forms of a chart: drawn while the page is at least, or under, `NARROW_BELOW` wide."""

    narrow: bool
    px: float

    def keep(self, chart: alt.Chart) -> alt.Chart:
        """The chart, drawn in this form only."""
        return chart.transform_filter(f"width {'<' if self.narrow else '>='} {NARROW_BELOW}")


WIDE = Form(narrow=False, px=1000)
NARROW = Form(narrow=True, px=340)
FORMS = (WIDE, NARROW)


def chart_of(rows: Sequence[Row], form: Form) -> alt.Chart:
    """A chart over plain rows, in one form; an empty list draws nothing."""
    return form.keep(alt.Chart(alt.Data(values=list(rows))))


def share_axis(
    wide: Sequence[tuple[float, str]], narrow: Sequence[tuple[float, str]], colours: Look
) -> alt.Axis:
    """One x axis for both forms: labels at positions given as shares, each shown in its own form only."""
    positions = sorted({round(position, 4) for position, _ in [*wide, *narrow]})
    expression = f"width<{NARROW_BELOW} ? ({_dictionary(narrow)}) : ({_dictionary(wide)})"
    return alt.Axis(
        values=positions,
        labelExpr=expression,
        ticks=False,
        labelOverlap=False,
        domain=False,
        grid=False,
        title=None,
        labelColor=colours.ink,
        labelPadding=6,
    )


def _dictionary(labels: Sequence[tuple[float, str]]) -> str:
    return json.dumps({f"{position:.4f}": text for position, text in labels}) + "[format(datum.value,'.4f')]"


def x_share(axis: alt.Axis, field: str = "x") -> alt.X:
    """Horizontal position as a share of the width."""
    return alt.X(f"{field}:Q", scale=SHARES, axis=axis)


def date_ticks(first: dt.date, last: dt.date, *, most: int) -> list[tuple[dt.date, str]]:
    """Dates to label between two days: Mondays for weeks, firsts for months, at most `most` of them."""
    days = (last - first).days
    if days <= 45:
        monday = first + dt.timedelta(days=(7 - first.weekday()) % 7)
        mondays = [monday + dt.timedelta(days=7 * week) for week in range(days // 7 + 1)]
        ticks = [(day, f"{day.day} {day:%b}") for day in mondays if first <= day <= last]
    else:
        ticks = [(day, f"{day.day} {day:%b}" if days < 200 else f"{day:%b}") for day in _firsts(first, last)]
    if not ticks:
        ticks = [(first, f"{first.day} {first:%b}")]
    return ticks[:: max(1, math.ceil(len(ticks) / most))]


def _firsts(first: dt.date, last: dt.date) -> list[dt.date]:
    months = range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    starts = [dt.date(month // 12, month % 12 + 1, 1) for month in months]
    return [day for day in starts if first <= day <= last]


def round_ticks(low: float, high: float, *, most: int) -> list[float]:
    """Round numbers between two ends, at most `most`: steps of 1, 2, 5 and their tens; 2.5 and 5 where those fit."""
    span = high - low
    if span <= 0:
        return [low]
    for step in (0.5, 1, 2, 2.5, 4, 5, 10, 20, 25, 50, 100, 200):
        first = math.ceil(low / step - 1e-9)
        ticks = [index * step for index in range(first, math.floor(high / step + 1e-9) + 1)]
        if len(ticks) <= most:
            return ticks
    return [low, high]
