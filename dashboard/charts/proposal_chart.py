"""What the next session can try: one ruler of loads an exercise and side (layer: charts)."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import altair as alt

from analysis.results import LineRow, PainLine
from analysis.results_proposal import Proposal
from dashboard.charts.look import LABEL, SHAPES, Look, finished, look
from dashboard.charts.panels import FORMS, Form, Row, chart_of, share_axis, x_share
from dashboard.charts.proposal_scale import Ruler, ruler
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import in_unit, load_words
from dashboard.wording.proposal import short_words

ROW_PX = 116
SHARES = {False: (0.25, 0.68), True: (0.04, 0.96)}
WORDS_AT = 0.72
NAME_LETTERS, WORD_LETTERS = {False: 26, True: 46}, {False: 38, True: 48}
MIDDLE = {False: -0.42, True: -0.66}
"""Where the ruler lies in its row, from the row's top; on a phone the words stand above it."""
NUMBER_SIZE = 15
INTERVAL = re.compile(r"\((\d+) to (\d+)\)")
LINE_PX = 16


@dataclass(slots=True)
class _Rows:
    """Rows of every kind of mark, in one form."""

    lines: list[Row] = field(default_factory=list)
    marks: list[Row] = field(default_factory=list)
    numbers: list[Row] = field(default_factory=list)
    tried: list[Row] = field(default_factory=list)
    strips: list[Row] = field(default_factory=list)
    middles: list[Row] = field(default_factory=list)
    open_ends: list[Row] = field(default_factory=list)
    last: list[Row] = field(default_factory=list)
    moved: list[Row] = field(default_factory=list)
    held: list[Row] = field(default_factory=list)
    loads: list[Row] = field(default_factory=list)
    names: list[Row] = field(default_factory=list)
    heads: list[Row] = field(default_factory=list)
    words: list[Row] = field(default_factory=list)


def proposal_chart(
    rows: Sequence[tuple[Proposal, LineRow | None]], *, description: str, dark: bool = False
) -> alt.LayerChart | None:
    """Rulers in the order given.

    Parameters
    ----------
    rows : sequence of (Proposal, LineRow or None)
        With the line at the share that may hurt.
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None where no proposal has a load.
    """
    loaded = [(one, row) for one, row in rows if one.tried.loads]
    if not loaded:
        return None
    colours = look(dark)
    axis = share_axis([], [], colours)
    y = alt.Y("y:Q", scale=alt.Scale(domain=[-len(loaded), 0], nice=False, zero=False), axis=None)
    layers: list[alt.Chart] = []
    for form in FORMS:
        found = _Rows()
        for place, (one, row) in enumerate(loaded):
            line = row.answer if row is not None and isinstance(row.answer, PainLine) else None
            _row(found, one, line, form, top=float(-place), colours=colours)
        layers += _layers(found, form, axis, y, colours)
    return finished(
        layers,
        colours,
        height=ROW_PX * len(loaded),
        description=description,
        padding={"left": 2, "right": 4, "top": 4, "bottom": 4},
    )


def _row(
    found: _Rows, one: Proposal, line: PainLine | None, form: Form, *, top: float, colours: Look
) -> None:
    """Everything drawn for one proposal."""
    scale = ruler(one, line, shares=SHARES[form.narrow], px=form.px, narrow=form.narrow)
    assert scale is not None
    y = top + MIDDLE[form.narrow]
    unit = one.tried.unit
    colour = colours.sides[one.key.side]
    found.lines.append({"x": scale.panel.start, "x2": scale.panel.end, "y": y})
    found.marks += [{"x": scale.at(mark), "y": y + 0.035, "y2": y - 0.035} for mark in scale.marks]
    found.numbers += [{"x": scale.at(mark), "y": y - 0.13, "text": f"{mark:.4g}"} for mark in scale.numbers]
    if one.tried.lightest_kg is not None and one.tried.heaviest_kg is not None:
        low, high = in_unit(one.tried.lightest_kg, unit), in_unit(one.tried.heaviest_kg, unit)
        found.tried.append({"x": scale.at(low), "x2": scale.at(high), "y": y})
    if line is not None:
        _strip(found, line, scale, unit, y=y + 0.15, colour=colour)
    if one.last_kg is not None:
        found.last.append({"x": scale.at(in_unit(one.last_kg, unit)), "y": y, "side": one.key.side})
    if one.load_kg is not None:
        here: Row = {"x": scale.at(in_unit(one.load_kg, unit)), "y": y}
        if one.action == "hold":
            found.held.append(here | {"y": y + 0.1, "y2": y - 0.1})
        else:
            found.moved.append(here | {"y": y - 0.1})
        found.loads.append(here | {"y": y - 0.27, "text": load_words(one.load_kg, unit)})
    _words(found, one, form, top=top)


def _strip(found: _Rows, line: PainLine, scale: Ruler, unit: str, *, y: float, colour: str) -> None:
    """The pain line with its interval above the ruler; an end that is not stated ends in an arrow."""
    if line.low_kg is None and line.high_kg is None:
        return
    low, high = scale.panel.domain
    start = low if line.low_kg is None else in_unit(line.low_kg, unit)
    end = high if line.high_kg is None else in_unit(line.high_kg, unit)
    found.strips.append({"x": scale.at(start), "x2": scale.at(end), "y": y, "colour": colour})
    if line.high_kg is None or end > high:
        found.open_ends.append({"x": scale.panel.end, "y": y, "angle": 90, "colour": colour})
    if line.low_kg is None or start < low:
        found.open_ends.append({"x": scale.panel.start, "y": y, "angle": 270, "colour": colour})
    if line.load_kg is not None:
        middle = in_unit(line.load_kg, unit)
        if low <= middle <= high:
            found.middles.append({"x": scale.at(middle), "y": y + 0.055, "y2": y - 0.055, "colour": colour})


def _words(found: _Rows, one: Proposal, form: Form, *, top: float) -> None:
    """Name, what to do, chance or reason: beside the ruler on a wide page, above it on a phone."""
    head, words = short_words(one)
    name = line_name(one.key)
    if form.narrow:
        lines = _wrapped(name, NAME_LETTERS[True])
        below = top - 0.04 - len(lines) * LINE_PX / ROW_PX
        found.heads.append({"x": 0.0, "y": top - 0.04, "text": lines})
        found.words.append(
            {"x": 0.0, "y": below, "text": _wrapped(f"{head.replace(':', '')}: {words}", WORD_LETTERS[True])}
        )
        return
    found.names.append({"x": 0.0, "y": top + MIDDLE[False], "text": _wrapped(name, NAME_LETTERS[False])})
    found.heads.append({"x": WORDS_AT, "y": top - 0.22, "text": head})
    found.words.append({"x": WORDS_AT, "y": top - 0.38, "text": _wrapped(words, WORD_LETTERS[False])})


def _wrapped(text: str, letters: int) -> list[str]:
    """Lines of so many letters; an interval in brackets stays together."""
    kept = INTERVAL.sub("(\\1\u00a0to\u00a0\\2)", text)
    return textwrap.wrap(kept, letters) or [""]


def _layers(found: _Rows, form: Form, axis: alt.Axis, y: alt.Y, colours: Look) -> list[alt.Chart]:
    """Back to front."""
    base: dict[str, Any] = {"x": x_share(axis), "y": y}
    colour = alt.Color("colour:N", scale=None, legend=None)
    text: dict[str, Any] = {"align": "left", "fontSize": LABEL}
    top: dict[str, Any] = {**text, "baseline": "top"}
    layers = [
        chart_of(found.lines, form).mark_rule(color=colours.soft).encode(**base, x2="x2:Q"),
        chart_of(found.marks, form).mark_rule(color=colours.soft).encode(**base, y2="y2:Q"),
        chart_of(found.tried, form)
        .mark_rule(color=colours.soft, strokeWidth=5, opacity=0.55)
        .encode(**base, x2="x2:Q"),
        chart_of(found.strips, form)
        .mark_rule(strokeWidth=11, opacity=0.35)
        .encode(**base, x2="x2:Q", color=colour),
        chart_of(found.middles, form).mark_rule(strokeWidth=3).encode(**base, y2="y2:Q", color=colour),
        *(
            chart_of([one for one in found.open_ends if one["angle"] == angle], form)
            .mark_point(shape="triangle-up", angle=angle, filled=True, size=90, opacity=1)
            .encode(**base, color=colour)
            for angle in (90, 270)
        ),
        chart_of(found.numbers, form)
        .mark_text(baseline="top", fontSize=12, color=colours.ink)
        .encode(**base, text="text:N"),
        *(
            chart_of([one for one in found.last if one["side"] == side], form)
            .mark_point(
                shape=shape, size=95, fill=colours.paper, stroke=colours.ink, strokeWidth=1.5, opacity=1
            )
            .encode(**base)
            for side, shape in SHAPES.items()
        ),
        chart_of(found.held, form).mark_rule(color=colours.ink, strokeWidth=5).encode(**base, y2="y2:Q"),
        chart_of(found.moved, form)
        .mark_point(shape="triangle-up", filled=True, fill=colours.ink, size=150, opacity=1)
        .encode(**base),
        chart_of(found.loads, form)
        .mark_text(baseline="middle", fontSize=NUMBER_SIZE, fontWeight="bold", color=colours.ink)
        .encode(**base, text="text:N"),
        chart_of(found.names, form)
        .mark_text(**text, baseline="middle", fontWeight="bold", color=colours.ink, lineHeight=LINE_PX)
        .encode(**base, text="text:N"),
        chart_of(found.heads, form)
        .mark_text(**top, fontWeight="bold", color=colours.ink, lineHeight=LINE_PX)
        .encode(**base, text="text:N"),
        chart_of(found.words, form)
        .mark_text(**top, color=colours.ink, lineHeight=LINE_PX)
        .encode(**base, text="text:N"),
    ]
    return layers
