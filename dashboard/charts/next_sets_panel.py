"""A row a set that hurt: its score, the score of the next set, the next morning (layer: charts)."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from analysis.results_what_next import PainfulSet, WhatNext
from dashboard.charts.look import SHAPES, Look
from dashboard.charts.next_marks import row_place, score_grid, words, y_share
from dashboard.charts.panels import Form, Panel, Row, chart_of, x_share
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import short_day
from dashboard.wording.what_next import event_deed, event_loads, next_words, score_words

SETS = {
    False: Panel(start=0.52, end=0.985, domain=(0.0, 10.0)),
    True: Panel(start=0.03, end=0.97, domain=(0.0, 10.0)),
}
"""The panel of scores, by whether the page is narrow."""
COLUMNS = (0.0, 0.075, 0.27)
"""Where date, loads and deed begin on a wide page; loads give way to names where exercises differ."""
MORNING_PX = 9.5
LONGEST_NAME = 26
NARROW_MARKS_UP = -0.15
NARROW_WORDS_UP = 0.28
HALF = 0.42
NARROW_HALF = 0.22


def ordered(found: WhatNext) -> list[PainfulSet]:
    """Sets by what was done, the most frequent first and the last sets of a day at the end; newest first."""
    place = {count.deed: number for number, count in enumerate(found.deeds)}
    newest = sorted(
        found.events, key=lambda one: (one.day, one.session, one.set_number), reverse=True
    )  # stable: within a deed the newest stays first
    return sorted(newest, key=lambda one: (place.get(one.deed, len(place)), one.deed))


def sets_panel(found: WhatNext, form: Form, axis: alt.Axis, colours: Look) -> list[alt.Chart]:
    """Words, grid, marks and the rules between deeds, in one form.

    Parameters
    ----------
    found : WhatNext
    form : Form
    axis : Axis
        Shared by both forms.
    colours : Look

    Returns
    -------
    list of Chart
    """
    events = ordered(found)
    n = len(events)
    panel = SETS[form.narrow]
    up, half = (NARROW_MARKS_UP, NARROW_HALF) if form.narrow else (0.0, HALF)
    places = [row_place(row, n, up=up) for row in range(n)]
    return [
        *score_grid(panel, found.pain_level, places, half / n, form, axis, colours),
        _rules(events, form, axis, colours),
        *_words(found, events, form, axis, colours),
        *_marks(events, places, panel, form, axis, colours),
    ]


def _rules(events: Sequence[PainfulSet], form: Form, axis: alt.Axis, colours: Look) -> alt.Chart:
    breaks = [row for row in range(1, len(events)) if events[row].deed != events[row - 1].deed]
    rows: list[Row] = [{"x": 0.0, "x2": 1.0, "y": row_place(row, len(events), up=0.5)} for row in breaks]
    return (
        chart_of(rows, form)
        .mark_rule(color=colours.soft, opacity=0.7)
        .encode(x=x_share(axis), x2="x2:Q", y=y_share())
    )


def _words(
    found: WhatNext, events: Sequence[PainfulSet], form: Form, axis: alt.Axis, colours: Look
) -> list[alt.Chart]:
    n = len(events)
    up = NARROW_WORDS_UP if form.narrow else 0.0
    columns: list[list[Row]] = [[], [], []]
    for row, event in enumerate(events):
        y = row_place(row, n, up=up)
        loads = event_loads(event, found.unit)
        middle = loads if found.exercise is not None else _short(line_name(event.key))
        if form.narrow:
            columns[0].append(
                {"x": 0.0, "y": y, "text": f"{short_day(event.day)}{': ' if middle else ''}{middle}"}
            )
            columns[2].append({"x": 1.0, "y": y, "text": event_deed(event)})
        else:
            texts = (short_day(event.day), middle, event_deed(event))
            for column, x, text in zip(columns, COLUMNS, texts, strict=True):
                column.append({"x": x, "y": y, "text": text})
    return [
        words(columns[0], form, axis, colours),
        words(columns[1], form, axis, colours),
        words(columns[2], form, axis, colours, align="right" if form.narrow else "left", bold=True),
    ]


def _marks(
    events: Sequence[PainfulSet],
    places: Sequence[float],
    panel: Panel,
    form: Form,
    axis: alt.Axis,
    colours: Look,
) -> list[alt.Chart]:
    """Line to the next score, both marks, the morning just below."""
    links: list[Row] = []
    marks: dict[tuple[str, bool], list[Row]] = {}
    mornings: list[Row] = []
    for event, y in zip(events, places, strict=True):
        told = f"{short_day(event.day)}: {score_words(event.pain, at_least=event.at_least)}"
        after = event.following[0] if event.following else None
        if after is not None:
            told += f", next {next_words(after)}"
        if after is not None and after.pain is not None:
            links.append({"x": panel.at(event.pain), "x2": panel.at(after.pain), "y": y})
            marks.setdefault((event.key.side, bool(after.hurt)), []).append(
                {"x": panel.at(after.pain), "y": y, "words": told}
            )
        marks.setdefault((event.key.side, True), []).append(
            {"x": panel.at(event.pain), "y": y, "words": told}
        )
        if event.morning_pain is not None:
            mornings.append(
                {"x": panel.at(event.morning_pain), "y": y, "words": f"next morning {event.morning_pain}"}
            )
    tooltip = alt.Tooltip("words:N", title=" ")
    layers = [
        chart_of(links, form)
        .mark_rule(color=colours.ink, strokeWidth=2)
        .encode(x=x_share(axis), x2="x2:Q", y=y_share())
    ]
    layers += [
        chart_of(rows, form)
        .mark_point(
            shape=SHAPES[side],
            size=90,
            fill=colours.ink if hurt else colours.paper,
            stroke=colours.ink if hurt else colours.soft,
            strokeWidth=1.6,
            opacity=1,
        )
        .encode(x=x_share(axis), y=y_share(), tooltip=tooltip)
        for (side, hurt), rows in sorted(marks.items())
    ]
    layers.append(
        chart_of(mornings, form)
        .mark_point(
            shape="triangle-up",
            size=38,
            filled=True,
            color=colours.sides["left"],
            opacity=1,
            yOffset=MORNING_PX,
        )
        .encode(x=x_share(axis), y=y_share(), tooltip=tooltip)
    )
    return layers


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1].rstrip(' ,')}…"
