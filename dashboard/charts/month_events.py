"""What happened and what was changed, above a month's chart; months' names, weeks and gaps (layer: charts)."""

from __future__ import annotations

import altair as alt

from analysis.questions.month import Month
from dashboard.charts.look import LABEL
from dashboard.charts.month_bands import HALF_DAY, mondays
from dashboard.charts.month_labels import drawn_gaps, event_labels
from dashboard.charts.month_marks import Paper
from dashboard.charts.panels import Row, x_share
from dashboard.wording.month import before_name
from dashboard.wording.numbers import counted, month_words, short_day

SHORTEST_NAMED_PX = 78
"""A gap at least so wide has its name inside."""


def event_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """Rules inside the bands, each carried up to its label."""
    bands = paper.bands
    rules: list[Row] = []
    labels: list[Row] = []
    for one in event_labels(month, bands.days, paper.form):
        place = bands.days.at_day(one.day)
        words = f"{short_day(one.day)}: {one.words}"
        rules += [{"x": place, "y": band.start, "y2": band.end, "words": words} for band in bands.drawn()]
        if one.shown:
            height = bands.lanes[one.lane]
            labels.append({"x": place, "y": height, "text": one.shown, "align": one.align})
            foot = bands.lanes[0] - 8 / bands.height
            rules.append({"x": place, "y": foot, "y2": height + 7 / bands.height, "words": words})
    rule = (
        paper.chart(rules)
        .mark_rule(color=paper.colours.soft, strokeDash=[2, 3])
        .encode(
            x=x_share(paper.axis), y=paper.y, y2=alt.Y2("y2:Q"), tooltip=alt.Tooltip("words:N", title=" ")
        )
    )
    begin, end = ([row for row in labels if row["align"] == align] for align in ("left", "right"))
    texts = (
        paper.chart(begin).mark_text(align="left", dx=4, color=paper.colours.ink, fontSize=LABEL),
        paper.chart(end).mark_text(align="right", dx=-4, color=paper.colours.ink, fontSize=LABEL),
    )
    return [rule, *(one.encode(x=x_share(paper.axis), y=paper.y, text=alt.Text("text:N")) for one in texts)]


def gap_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """Days without a session as a shade over all bands, named where there is room."""
    bands, days = paper.bands, paper.bands.days
    rows: list[Row] = []
    names: list[Row] = []
    for gap in drawn_gaps(month):
        start = max(days.at((gap.first - paper.first_day).days - HALF_DAY), 0.0)
        end = min(days.at((gap.last - paper.first_day).days + HALF_DAY), 1.0)
        rows += [{"x": start, "x2": end, "y": band.start, "y2": band.end} for band in bands.drawn()]
        text = "away" if gap.away else "no session"
        if (end - start) * paper.form.px >= SHORTEST_NAMED_PX:
            names.append({"x": (start + end) / 2, "y": bands.pain.at(9.2), "text": text})
            names.append(
                {"x": (start + end) / 2, "y": bands.pain.at(8.0), "text": counted(gap.n_days, "day")}
            )
    shade = (
        paper.chart(rows)
        .mark_rect(color=paper.colours.shade)
        .encode(x=x_share(paper.axis), x2=alt.X2("x2:Q"), y=paper.y, y2=alt.Y2("y2:Q"))
    )
    name = (
        paper.chart(names)
        .mark_text(color=paper.colours.soft, fontSize=LABEL)
        .encode(x=x_share(paper.axis), y=paper.y, text=alt.Text("text:N"))
    )
    return [shade, name]


def week_marks(month: Month, paper: Paper) -> list[alt.Chart]:
    """A thin rule each Monday, so that weeks can be counted, and the lines of every scale."""
    bands = paper.bands
    weeks: list[Row] = [
        {"x": bands.days.at_day(day), "y": bands.drawn()[-1].start - 0.006, "y2": bands.pain.end}
        for day in mondays(paper.first_day, month.last_day)
    ]
    scores = [bands.pain.at(score) for score in (0, 5, 10)]
    scores += [panel.at(0) for panel in (bands.burn, bands.mornings) if panel.end > panel.start]
    lines: list[Row] = [{"x": 0.0, "x2": 1.0, "y": place} for place in scores]
    colour = paper.colours.grid
    return [
        paper.chart(weeks)
        .mark_rule(color=colour)
        .encode(x=x_share(paper.axis), y=paper.y, y2=alt.Y2("y2:Q")),
        paper.chart(lines)
        .mark_rule(color=colour)
        .encode(x=x_share(paper.axis), x2=alt.X2("x2:Q"), y=paper.y),
    ]


def month_names(month: Month, paper: Paper) -> list[alt.Chart]:
    """Names of the two months on either side of the rule between them."""
    bands, colours = paper.bands, paper.colours
    if bands.divider is None:
        return []
    rule: list[Row] = [{"x": bands.divider, "y": band.start, "y2": band.end} for band in bands.drawn()]
    rule.append(
        {"x": bands.divider, "y": bands.names - 8 / bands.height, "y2": bands.names + 8 / bands.height}
    )
    this: list[Row] = [{"x": bands.divider, "y": bands.names, "text": month_words(month.month).split()[0]}]
    before: list[Row] = [{"x": bands.divider, "y": bands.names, "text": before_name(month)}]
    return [
        paper.chart(rule)
        .mark_rule(color=colours.soft, strokeWidth=1)
        .encode(x=x_share(paper.axis), y=paper.y, y2=alt.Y2("y2:Q")),
        paper.chart(this)
        .mark_text(align="left", dx=6, fontWeight="bold", fontSize=LABEL, color=colours.ink)
        .encode(x=x_share(paper.axis), y=paper.y, text=alt.Text("text:N")),
        paper.chart(before)
        .mark_text(align="right", dx=-6, fontSize=LABEL, color=colours.soft)
        .encode(x=x_share(paper.axis), y=paper.y, text=alt.Text("text:N")),
    ]
