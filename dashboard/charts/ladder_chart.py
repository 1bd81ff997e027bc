"""Variants of each exercise from easy to hard, with what was seen on each and which is next (layer: charts)."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from analysis.results_harder import HarderRow, HarderStep, Rung
from dashboard.charts.look import Look, finished, look
from dashboard.charts.next_marks import row_place, words, y_share
from dashboard.charts.panels import FORMS, Form, Row, chart_of, share_axis, x_share
from dashboard.wording.harder import row_name, rung_words

ROW_PX = 84
NAMES_END = {False: 0.2, True: 0.0}
"""Where the variants begin, by whether the page is narrow: there the name stands above them."""
GAP = 0.012
BOX_UP = {False: 0.36, True: 0.2}
BOX_DOWN = 0.38
LEAST_SHADE, MORE_SHADE = 0.06, 0.34
LONGEST = {False: 30, True: 18}


def ladder_chart(
    rows: Sequence[HarderRow], *, unit: str, description: str, dark: bool = False
) -> alt.LayerChart | None:
    """A row for each exercise and side, a box for each variant: the one worked with framed, the next one dashed.

    Parameters
    ----------
    rows : sequence of HarderRow
        Those without an order of variants are left out.
    unit : str
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None when no exercise has an order.
    """
    shown = [row for row in rows if len(row.rungs) > 1]
    if not shown:
        return None
    colours = look(dark)
    axis = share_axis([], [], colours)
    layers = [layer for form in FORMS for layer in _form(shown, unit, form, axis, colours)]
    return finished(
        layers,
        colours,
        height=ROW_PX * len(shown),
        description=description,
        padding={"left": 2, "right": 4, "top": 4, "bottom": 4},
    )


def _form(
    shown: Sequence[HarderRow], unit: str, form: Form, axis: alt.Axis, colours: Look
) -> list[alt.Chart]:
    n = len(shown)
    names: list[Row] = []
    boxes: list[Row] = []
    titles: list[Row] = []
    seen: list[Row] = []
    for place, row in enumerate(shown):
        names.append(
            {"x": 0.0, "y": row_place(place, n, up=0.38 if form.narrow else 0.0), "text": row_name(row)}
        )
        rungs = _shown_rungs(row, form)
        width = (1.0 - NAMES_END[form.narrow]) / len(rungs)
        for number, rung in enumerate(rungs):
            left = NAMES_END[form.narrow] + number * width
            boxes.append(
                {
                    "x": left,
                    "x2": left + width - GAP,
                    "y": row_place(place, n, up=BOX_UP[form.narrow]),
                    "y2": row_place(place, n, up=-BOX_DOWN),
                    "shade": _shade(rung),
                    "part": _part(row, rung),
                }
            )
            middle = (BOX_UP[form.narrow] - BOX_DOWN) / 2
            titles.append(
                {
                    "x": left + GAP,
                    "y": row_place(place, n, up=middle + 0.13),
                    "text": _short(rung.variant, LONGEST[form.narrow]),
                }
            )
            seen.append(
                {"x": left + GAP, "y": row_place(place, n, up=middle - 0.13), "text": rung_words(rung, unit)}
            )
    return [
        *_boxes(boxes, form, axis, colours),
        words(names, form, axis, colours, bold=True),
        words(titles, form, axis, colours),
        words(seen, form, axis, colours),
    ]


def _shown_rungs(row: HarderRow, form: Form) -> tuple[Rung, ...]:
    """All of them; on a phone the one worked with and the next, or the last two."""
    if not form.narrow or len(row.rungs) <= 2:
        return row.rungs
    now = next((place for place, rung in enumerate(row.rungs) if rung.variant == row.now), 0)
    return row.rungs[min(now, len(row.rungs) - 2) :][:2]


def _part(row: HarderRow, rung: Rung) -> str:
    if rung.variant == row.now:
        return "now"
    step = row.answer
    if isinstance(step, HarderStep) and step.next_variant == rung.variant and step.decision.startswith("due"):
        return "due"
    return "other"


def _shade(rung: Rung) -> float:
    """Darker where a larger share hurt; nothing where it was not tried."""
    if rung.n_sets == 0:
        return 0.0
    return LEAST_SHADE + MORE_SHADE * (rung.n_painful / rung.n_asked if rung.n_asked else 0.0)


def _boxes(rows: Sequence[Row], form: Form, axis: alt.Axis, colours: Look) -> list[alt.Chart]:
    y2, x2 = alt.Y2("y2:Q"), alt.X2("x2:Q")
    filled = (
        chart_of(rows, form)
        .mark_rect(fill=colours.ink, stroke=None)
        .encode(
            x=x_share(axis), x2=x2, y=y_share(), y2=y2, fillOpacity=alt.FillOpacity("shade:Q", scale=None)
        )
    )
    frames = [
        chart_of([one for one in rows if one["part"] == part], form)
        .mark_rect(fillOpacity=0, stroke=colours.ink, strokeWidth=width, strokeDash=dash)
        .encode(x=x_share(axis), x2=x2, y=y_share(), y2=y2)
        for part, width, dash in (("now", 2.0, [1, 0]), ("due", 2.0, [5, 4]))
    ]
    return [filled, *frames]


def _short(name: str, longest: int) -> str:
    return name if len(name) <= longest else f"{name[: longest - 1].rstrip(' ,')}…"
