"""Charts at the size they have on paper, as SVG (layer: sheet)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import vl_convert as vlc

from analysis.questions.line_history import chance_curve, line_history
from analysis.questions.review import Review
from analysis.questions.sets_of_line import sets_of_line
from analysis.results import LineRow, PainLine
from analysis.training_log import TrainingLog
from dashboard.charts.look import LABEL
from dashboard.charts.pain_line_chart import pain_line_chart
from dashboard.charts.pain_line_scale import curve_loads_kg
from dashboard.charts.spec import Spec, spec_of
from dashboard.sheet.glyphs import FAMILIES, FONTS
from dashboard.wording.pain_line import chart_words

RIGHT_EDGE = 1.0
"""Where the chart has its column of what was seen, as a share of its width."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing and what it shows in words."""

    svg: str
    words: str


def line_picture(
    log: TrainingLog,
    found: Review,
    row: LineRow,
    *,
    wide_pt: float,
    high_pt: float,
    label_pt: float,
    with_counts: bool = True,
) -> Picture | None:
    """The chart of one pain line; None where there is no load to draw it on.

    Parameters
    ----------
    log : TrainingLog
    found : Review
    row : LineRow
    wide_pt, high_pt : float
        Size on paper, points.
    label_pt : float
        Size of its labels on paper, points.
    with_counts : bool, default True
        Whether the column of what was seen at each load is drawn.
    """
    loads = curve_loads_kg(row) if isinstance(row.answer, PainLine) else ()
    words = chart_words(row)
    spec = spec_of(
        lambda: pain_line_chart(
            row,
            sets=sets_of_line(log, found.client, row.key),
            weeks=line_history(found.fit, row.key),
            curve=chance_curve(found.fit, row.key, loads) if loads else (),
            as_of=found.as_of,
            description=words,
        )
    )
    if spec is None:
        return None
    px_per_pt = LABEL / label_pt
    high_px = high_pt * px_per_pt
    return Picture(
        svg=_svg(_with_room(spec, high_px, with_counts), wide_pt * px_per_pt, high_px), words=words
    )


def _with_room(spec: Spec, high_px: float, with_counts: bool) -> Spec:
    """The chart with the counts at its right edge thinned out to this height, or taken away.

    Layers that are only drawn on a wide page would stay empty, and are left out at once.
    """
    shown = [layer for layer in spec["layer"] if not _is_wide(layer)]
    return {**spec, "layer": [_thinned(layer, high_px, with_counts) for layer in shown]}


def _is_wide(layer: Spec) -> bool:
    return any(str(one.get("filter", "")).startswith("width >=") for one in layer.get("transform", ()))


def _thinned(layer: Spec, high_px: float, with_counts: bool) -> Spec:
    rows = layer.get("data", {}).get("values") or []
    if layer["mark"]["type"] != "text" or not all(row.get("x") == RIGHT_EDGE for row in rows):
        return layer
    domain = layer["encoding"]["y"].get("scale", {}).get("domain")
    kept: list[Spec] = []
    if with_counts and domain is None:
        kept = rows
    elif with_counts:
        least = LABEL * (domain[1] - domain[0]) / high_px
        for row in sorted(rows, key=lambda row: -row["y"]):
            if not kept or kept[-1]["y"] - row["y"] >= least:
                kept.append(row)
    return {**layer, "data": {"values": kept}}


def _svg(spec: Spec, wide_px: float, high_px: float) -> str:
    _register_fonts()
    sized = {
        **spec,
        "width": round(wide_px),
        "height": round(high_px),
        "config": {**spec["config"], "font": FAMILIES[0]},
    }
    return _named(vlc.vegalite_to_svg(sized))


def _named(svg: str) -> str:
    """The drawing with every letter set in the page's own font."""
    return re.sub(r'font-family="[^"]*"', f'font-family="{FAMILIES[0]}"', svg)


@cache
def _register_fonts() -> None:
    vlc.register_font_directory(str(FONTS))
