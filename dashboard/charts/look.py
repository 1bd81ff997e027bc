"""Ink, colours, shapes and dashes that every chart shares, for light and for dark (layer: charts)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import altair as alt

FONT = "Source Sans, Liberation Sans, sans-serif"
LABEL = 13
STRONG = 17
NARROW_BELOW = 600
SHAPES = {"left": "square", "right": "circle", "midline": "diamond"}
DASHES = {"left": [1, 0], "right": [6, 3], "midline": [2, 2]}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Colours of one theme; `sides` by the side that hurts."""

    ink: str
    soft: str
    grid: str
    shade: str
    paper: str
    sides: dict[str, str]


LIGHT = Look(
    ink="#1b1b1b",
    soft="#595959",
    grid="#e2e2e2",
    shade="#efefef",
    paper="#ffffff",
    sides={"left": "#0072B2", "right": "#D55E00", "midline": "#007A5A"},
)
DARK = Look(
    ink="#f2f2f2",
    soft="#b8bcc4",
    grid="#2b303b",
    shade="#1d222c",
    paper="#0e1117",
    sides={"left": "#56B4E9", "right": "#E69F00", "midline": "#2FBF9B"},
)


def look(dark: bool) -> Look:
    """Colours for the theme of the page."""
    return DARK if dark else LIGHT


def finished(
    layers: Sequence[alt.Chart],
    colours: Look,
    *,
    height: int,
    description: str,
    padding: dict[str, int] | None = None,
) -> alt.LayerChart:
    """Chart of these layers with its size, its one description for those who hear it, and no frame."""
    # The layers come last: every step before would copy them.
    chart = (
        alt.LayerChart(layer=[])
        .properties(
            height=height,
            width="container",
            description=description,
            background="transparent",
            padding=padding or {"left": 2, "right": 4, "top": 26, "bottom": 4},
            autosize=alt.AutoSizeParams(type="fit", contains="padding"),
        )
        .configure(font=FONT)
        .configure_view(stroke=None, clip=False)
        .configure_mark(aria=False)
        .configure_axis(
            aria=False,
            labelColor=colours.ink,
            titleColor=colours.ink,
            labelFontSize=LABEL,
            domainColor=colours.soft,
            gridColor=colours.grid,
            tickColor=colours.soft,
        )
        .configure_text(color=colours.ink, fontSize=LABEL)
    )
    chart.layer = list(layers)
    return chart
