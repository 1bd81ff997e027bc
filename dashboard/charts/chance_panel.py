"""Right panel of the pain line: the chance of pain over the loads, today's line, what was seen (layer: charts)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import altair as alt

from analysis.questions.sets_of_line import SeenSet
from analysis.results import ChanceAtLoad, LineRow, PainLine
from dashboard.charts.look import LABEL, SHAPES, STRONG, Look
from dashboard.charts.pain_line_scale import LoadScale, stated_line
from dashboard.charts.panels import Form, Panel, Row, chart_of, x_share
from dashboard.charts.sets_panel import load_axis
from dashboard.wording.numbers import estimate_words, in_unit

MANY_SETS = 150
LAST_SETS = 60
ROW_PX = 15.0


def chance_layers(
    row: LineRow,
    curve: Sequence[ChanceAtLoad],
    scale: LoadScale,
    *,
    form: Form,
    left: Panel,
    right: Panel,
    axis: alt.Axis,
    colours: Look,
) -> list[alt.Chart]:
    """Tried range, reference rule, band, curve and today's mark, in one form, back to front."""
    colour, unit, chance = colours.sides[row.key.side], row.tried.unit, row.chance
    y = load_axis(scale, colours)
    rows: list[Row] = []
    for point in curve:
        load = in_unit(point.load_kg, unit)
        if scale.inside(load):
            rows.append(
                {
                    "y": load,
                    "x": right.at(10 * point.chance),
                    "low": right.at(10 * point.low),
                    "high": right.at(10 * point.high),
                }
            )
    tried = (
        chart_of([{"x": right.start, "x2": right.end, "y": scale.lightest, "y2": scale.heaviest}], form)
        .mark_rect(color=colours.shade)
        .encode(x=x_share(axis), x2="x2:Q", y=y, y2="y2:Q")
    )
    zero = _rule(right.start, scale, form, axis, y).mark_rule(color=colours.soft, strokeWidth=1)
    reference = _rule(right.at(10 * chance), scale, form, axis, y).mark_rule(
        color=colours.ink, strokeWidth=1.2, strokeDash=[2, 3]
    )
    base = chart_of(rows, form)
    band = base.mark_area(orient="horizontal", color=colour, opacity=0.18).encode(
        y=y, x=x_share(axis, "low"), x2="high:Q"
    )
    edges = [
        base.mark_line(color=colour, strokeWidth=1, opacity=0.9).encode(
            y=y, x=x_share(axis, end), order="y:Q"
        )
        for end in ("low", "high")
    ]
    inside = [one for one in rows if scale.lightest <= float(one["y"]) <= scale.heaviest]  # type: ignore[arg-type]
    below = [one for one in rows if float(one["y"]) <= scale.lightest]  # type: ignore[arg-type]
    above = [one for one in rows if float(one["y"]) >= scale.heaviest]  # type: ignore[arg-type]
    solid = _curve(inside, form, axis, y).mark_line(color=colour, strokeWidth=3)
    dashed = [
        _curve(part, form, axis, y).mark_line(color=colour, strokeWidth=2.5, strokeDash=[3, 4])
        for part in (below, above)
    ]
    layers = [tried, zero, reference, band, *edges, solid, *dashed]
    return layers + _today(row, scale, form=form, left=left, right=right, axis=axis, y=y, colours=colours)


def _today(
    row: LineRow,
    scale: LoadScale,
    *,
    form: Form,
    left: Panel,
    right: Panel,
    axis: alt.Axis,
    y: alt.Y,
    colours: Look,
) -> list[alt.Chart]:
    line = stated_line(row, row.tried.unit)
    answer = row.answer
    if line is None or not scale.inside(line) or not isinstance(answer, PainLine) or answer.load_kg is None:
        return []
    at = right.at(10 * row.chance)
    words = estimate_words(answer.load_kg, answer.low_kg, answer.high_kg, row.tried.unit).partition(" (")[0]
    carried = (
        chart_of([{"x": left.end, "x2": at, "y": line}], form)
        .mark_rule(color=colours.sides[row.key.side], strokeWidth=1.6, strokeDash=[2, 3])
        .encode(x=x_share(axis), x2="x2:Q", y=y)
    )
    here = chart_of([{"x": at, "y": line, "text": words}], form)
    mark = here.mark_point(
        shape=SHAPES[row.key.side],
        filled=True,
        fill=colours.sides[row.key.side],
        stroke=colours.paper,
        strokeWidth=2,
        size=170,
        opacity=1,
    ).encode(x=x_share(axis), y=y)
    halo = here.mark_text(
        align="left",
        baseline="top",
        dx=10,
        dy=6,
        fontSize=STRONG,
        fontWeight="bold",
        stroke=colours.shade,
        strokeWidth=4,
        color=colours.shade,
    ).encode(x=x_share(axis), y=y, text="text:N")
    label = here.mark_text(
        align="left", baseline="top", dx=10, dy=6, fontSize=STRONG, fontWeight="bold", color=colours.ink
    ).encode(x=x_share(axis), y=y, text="text:N")
    return [carried, mark, halo, label]


def seen_layers(
    row: LineRow,
    sets: Sequence[SeenSet],
    scale: LoadScale,
    *,
    form: Form,
    right: Panel,
    axis: alt.Axis,
    colours: Look,
    bold: bool,
) -> list[alt.Chart]:
    """What was seen at each load, as text: the plainest check of the curve.

    With too little for a curve (`bold`) the counts are the answer and stand where the curve would.
    """
    counts, heading = seen_counts(row, sets)
    px_per_load = 300 / (scale.high - scale.low)
    texts: list[Row] = []
    last_y: float | None = None
    for load, (painful, asked) in sorted(counts.items(), reverse=True):
        if last_y is not None and (last_y - load) * px_per_load < ROW_PX:
            continue
        last_y = load
        words = f"{painful}/{asked}" if form.narrow and not bold else f"{painful} of {asked}"
        texts.append(
            {"x": right.start if bold else 1.0, "y": load, "text": f"{words} hurt" if bold else words}
        )
    y = load_axis(scale, colours)
    if bold:
        strong = chart_of(texts, form).mark_text(
            align="left", fontSize=16, fontWeight="bold", color=colours.ink
        )
        return [strong.encode(x=x_share(axis), y=y, text="text:N")]
    column = chart_of(texts, form).mark_text(align="right", fontSize=LABEL, color=colours.soft)
    title = chart_of([{"x": 1.0, "text": "hurt" if heading is None else heading}], form).mark_text(
        align="right", baseline="bottom", fontSize=LABEL, color=colours.soft
    )
    return [
        column.encode(x=x_share(axis), y=y, text="text:N"),
        title.encode(x=x_share(axis), y=alt.value(-10), text="text:N"),
    ]


def seen_counts(row: LineRow, sets: Sequence[SeenSet]) -> tuple[dict[float, tuple[int, int]], str]:
    """Painful and asked sets per load in the unit shown, and what the column is called.

    With very many sets only the last ones count, so that the column speaks of now.
    """
    unit = row.tried.unit
    with_load = [one for one in sets if one.load_kg is not None]
    if len(with_load) <= MANY_SETS:
        return (
            {round(in_unit(one.load_kg, unit), 2): (one.n_painful, one.n_asked) for one in row.tried.loads},
            "hurt",
        )
    last = with_load[-LAST_SETS:]
    asked = Counter(round(in_unit(one.load_kg or 0.0, unit), 2) for one in last)
    painful = Counter(round(in_unit(one.load_kg or 0.0, unit), 2) for one in last if one.hurt)
    return {load: (painful[load], number) for load, number in asked.items()}, f"last {len(last)}"


def _rule(x: float, scale: LoadScale, form: Form, axis: alt.Axis, y: alt.Y) -> alt.Chart:
    rows: list[Row] = [{"x": x, "y": scale.low, "y2": scale.high}]
    return chart_of(rows, form).mark_rule().encode(x=x_share(axis), y=y, y2="y2:Q")


def _curve(rows: list[Row], form: Form, axis: alt.Axis, y: alt.Y) -> alt.Chart:
    return chart_of(rows, form).mark_line().encode(y=y, x=x_share(axis), order="y:Q")
