"""A month drawn, the month before paler beside it: events, pain, its load, burn apart, mornings (layer: charts)."""

from __future__ import annotations

from typing import Any

import altair as alt

from analysis.questions.month import Month
from dashboard.charts.look import LABEL, finished, look
from dashboard.charts.month_bands import bands_of, day_axis, height_axis
from dashboard.charts.month_events import event_marks, gap_marks, month_names, week_marks
from dashboard.charts.month_labels import courses, first_drawn
from dashboard.charts.month_marks import Paper, burn_marks, load_marks, morning_marks, pain_marks
from dashboard.charts.panels import FORMS, Panel, Row, x_share
from dashboard.wording.numbers import counted_as


def month_chart(month: Month, *, description: str, dark: bool = False) -> alt.LayerChart | None:
    """Bands over the days of one month and the month before, on one scale of dates.

    Parameters
    ----------
    month : Month
    description : str
        The chart in words, for those who hear it.
    dark : bool
        Colours for a dark page.

    Returns
    -------
    LayerChart or None
        None when nothing was asked in the month.
    """
    if month.key is None or not month.sessions:
        return None
    colours, bands = look(dark), bands_of(month)
    layers: list[Any] = []
    for form in FORMS:
        paper = Paper(
            bands=bands,
            form=form,
            axis=day_axis(month, bands, colours),
            y=height_axis(month, bands, colours),
            y2=height_axis(month, bands, colours, "y2"),
            colours=colours,
            first_day=first_drawn(month),
        )
        layers += [
            *gap_marks(month, paper),
            *week_marks(month, paper),
            *month_names(month, paper),
            *event_marks(month, paper),
            *pain_marks(month, paper),
            *load_marks(month, paper),
            *burn_marks(month, paper),
            *morning_marks(month, paper),
            *_titles(month, paper),
        ]
    return finished(
        layers,
        colours,
        height=bands.height,
        description=description,
        padding={"left": 2, "right": 4, "top": 4, "bottom": 4},
    )


def _titles(month: Month, paper: Paper) -> list[alt.Chart]:
    """What each band shows; a band without anything logged says so."""
    bands, narrow = paper.bands, paper.form.narrow
    texts: list[tuple[Panel, str]] = [
        (bands.pain, "Pain in sets: worst, median" if narrow else "Pain in sets, 0 to 10: worst, with median")
    ]
    if bands.load is not None:
        texts.append((bands.load, f"Load, {month.unit}{counted_as(month.load_basis or '')}"))
    texts += [(bands.burn, _burn_title(month, narrow)), (bands.mornings, _morning_title(month, narrow))]
    rows: list[Row] = [{"x": 0.0, "y": panel.end + 6 / bands.height, "text": text} for panel, text in texts]
    return [
        paper.chart(rows)
        .mark_text(
            align="left", baseline="bottom", fontWeight="bold", fontSize=LABEL, color=paper.colours.ink
        )
        .encode(x=x_share(paper.axis), y=paper.y, text=alt.Text("text:N"))
    ]


def _burn_title(month: Month, narrow: bool) -> str:
    if not any(course.burn for course, _ in courses(month)):
        return "Burn in the muscle: not logged"
    return "Burn in the muscle (not pain)" if narrow else "Burn in the muscle, 0 to 10 (not pain): median"


def _morning_title(month: Month, narrow: bool) -> str:
    if not any(course.mornings for course, _ in courses(month)):
        return "Mornings: not logged"
    return "Mornings; thick: above usual" if narrow else "Mornings, 0 to 10; thick: 2 or more above usual"
