"""A row a deed: how many next sets had each score, and how many were quiet (layer: charts)."""

from __future__ import annotations

from collections import Counter

import altair as alt

from analysis.results_what_next import Deed, WhatNext
from dashboard.charts.look import LABEL, Look
from dashboard.charts.next_marks import row_place, score_grid, words, y_share
from dashboard.charts.panels import Form, Panel, Row, chart_of, x_share
from dashboard.wording.numbers import counted
from dashboard.wording.what_next import count_words, deed_words

COUNTS = {
    False: Panel(start=0.24, end=0.78, domain=(0.0, 10.0)),
    True: Panel(start=0.04, end=0.96, domain=(0.0, 10.0)),
}
"""The panel of scores, by whether the page is narrow."""
LARGEST_AREA = {False: 900.0, True: 620.0}
SMALLEST_AREA = 50.0
AREA_WITH_NUMBER = 170.0
NARROW_MARKS_UP = -0.18
NARROW_WORDS_UP = 0.33
HALF = 0.42
NARROW_HALF = 0.24


def counts_panel(found: WhatNext, form: Form, axis: alt.Axis, colours: Look) -> list[alt.Chart]:
    """Words, grid and circles in one form; circles have areas that follow the counts.

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
    followed = [one for one in found.deeds if one.n_asked_next and one.deed is not None]
    n = len(followed)
    panel = COUNTS[form.narrow]
    seen = _seen(found)
    most = max(max(counts.values()) for counts in seen.values())
    up, half = (NARROW_MARKS_UP, NARROW_HALF) if form.narrow else (0.0, HALF)
    text_up = NARROW_WORDS_UP if form.narrow else 0.0
    names: list[Row] = []
    shares: list[Row] = []
    circles: dict[bool, list[Row]] = {True: [], False: []}
    for row, one in enumerate(followed):
        if one.deed is None:
            continue
        y = row_place(row, n, up=text_up)
        names.append({"x": 0.0, "y": y, "text": _capital(deed_words(one.deed))})
        shares.append({"x": 1.0, "y": y, "text": count_words(one)})
        for (pain, hurt), number in seen[one.deed].items():
            area = max(SMALLEST_AREA, LARGEST_AREA[form.narrow] * number / most)
            circles[hurt].append(
                {
                    "x": panel.at(pain),
                    "y": row_place(row, n, up=up),
                    "area": area,
                    "text": str(number) if area >= AREA_WITH_NUMBER else "",
                    "words": f"{deed_words(one.deed)}: {counted(number, 'next set')} at {pain}",
                }
            )
    places = [row_place(row, n, up=up) for row in range(n)]
    return [
        *score_grid(panel, found.pain_level, places, half / n, form, axis, colours),
        words(names, form, axis, colours, bold=True),
        words(shares, form, axis, colours, align="right"),
        *_circles(circles[False], False, form, axis, colours),
        *_circles(circles[True], True, form, axis, colours),
    ]


def _seen(found: WhatNext) -> dict[Deed, Counter[tuple[int, bool]]]:
    """How many next sets of each deed had each score, hurt or quiet; painkiller days left out."""
    seen: dict[Deed, Counter[tuple[int, bool]]] = {}
    for event in found.events:
        after = event.following[0] if event.following else None
        if event.painkiller or after is None or after.pain is None:
            continue
        seen.setdefault(event.deed, Counter())[after.pain, bool(after.hurt)] += 1
    return seen


def _circles(rows: list[Row], hurt: bool, form: Form, axis: alt.Axis, colours: Look) -> list[alt.Chart]:
    area = alt.Size("area:Q", scale=None, legend=None)
    points = (
        chart_of(rows, form)
        .mark_point(
            shape="circle",
            fill=colours.ink if hurt else colours.paper,
            stroke=colours.ink if hurt else colours.soft,
            strokeWidth=1.6,
            opacity=1,
        )
        .encode(x=x_share(axis), y=y_share(), size=area, tooltip=alt.Tooltip("words:N", title=" "))
    )
    numbers = (
        chart_of(rows, form)
        .mark_text(
            align="center",
            baseline="middle",
            fontSize=LABEL - 1,
            color=colours.paper if hurt else colours.ink,
        )
        .encode(x=x_share(axis), y=y_share(), text="text:N")
    )
    return [points, numbers]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
