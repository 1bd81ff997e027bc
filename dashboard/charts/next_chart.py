"""What happened next, drawn: a row for each set that hurt, or for each thing done (layer: charts)."""

from __future__ import annotations

from dataclasses import dataclass

import altair as alt

from analysis.results_what_next import WhatNext
from dashboard.charts.look import finished, look
from dashboard.charts.next_counts_panel import COUNTS, counts_panel
from dashboard.charts.next_sets_panel import SETS, sets_panel
from dashboard.charts.panels import FORMS, Panel, share_axis

MOST_ROWS = 12
"""More sets than this become one row a deed."""
ROW_PX = 42
DEED_PX = 54
FOOT_PX = 40
TICKS = (0, 2, 4, 6, 8, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """One of the two kinds of this chart: its rows, their height, and its panel on a wide and a narrow page."""

    n_rows: int
    row_px: int
    wide: Panel
    narrow: Panel


def is_by_set(found: WhatNext) -> bool:
    """Whether every set has a row of its own; otherwise every deed has one."""
    return len(found.events) <= MOST_ROWS


def next_chart(found: WhatNext, *, description: str, dark: bool = False) -> alt.LayerChart | None:
    """The real sets, grouped by what was done; beyond twelve a row a deed with a circle for each score.

    Parameters
    ----------
    found : WhatNext
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None when nothing hurt, or when there are many sets and none was followed.
    """
    colours = look(dark)
    by_set = is_by_set(found)
    if by_set:
        kind = _Kind(n_rows=len(found.events), row_px=ROW_PX, wide=SETS[False], narrow=SETS[True])
    else:
        followed = sum(one.n_asked_next > 0 for one in found.deeds)
        kind = _Kind(n_rows=followed, row_px=DEED_PX, wide=COUNTS[False], narrow=COUNTS[True])
    if kind.n_rows == 0:
        return None
    axis = share_axis(
        [(kind.wide.at(score), str(score)) for score in TICKS],
        [(kind.narrow.at(score), str(score)) for score in TICKS],
        colours,
    )
    draw = sets_panel if by_set else counts_panel
    layers = [layer for form in FORMS for layer in draw(found, form, axis, colours)]
    return finished(
        layers,
        colours,
        height=kind.row_px * kind.n_rows + FOOT_PX,
        description=description,
        padding={"left": 2, "right": 4, "top": 6, "bottom": 4},
    )
