"""A chart as the plain specification a browser draws, ready to be kept (layer: charts)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import altair as alt
from altair.utils.schemapi import debug_mode

Spec = dict[str, Any]


def spec_of(draw: Callable[[], alt.LayerChart | None]) -> Spec | None:
    """Specification of a chart with its rows inside it.

    Altair checks each part against the grammar as it is made, which takes longer than all the rest; the
    tests of the charts do that, so it is left out here.

    Parameters
    ----------
    draw : callable
        Makes the chart, or None where there is nothing to draw.
    """
    with debug_mode(False), alt.data_transformers.enable(consolidate_datasets=False):
        chart = draw()
        return None if chart is None else chart.to_dict(validate=False)
