"""Charts kept in memory as specifications, one for each line or month and each theme (layer: compute)."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.month import Month
from analysis.results import LineKey, LineRow, PainLine
from dashboard.charts.month_chart import month_chart
from dashboard.charts.pain_line_chart import pain_line_chart
from dashboard.charts.pain_line_scale import curve_loads_kg
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, USUAL, OpenClient, line_drawing


def line_spec(
    opened: OpenClient, row: LineRow, as_of: dt.date, *, description: str, dark: bool
) -> Spec | None:
    """Chart of one pain line; None without a load."""
    return _line_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL),
        *(row.key, row.chance, as_of, description, dark),
        _opened=opened,
        _row=row,
    )


def month_spec(opened: OpenClient, month: Month, *, description: str, dark: bool) -> Spec | None:
    """Chart of one line in one month; None when nothing was asked."""
    return _month_spec(
        OWNER, opened.client, opened.revision, month.month, month.key, description, dark, _month=month
    )


@st.cache_data(max_entries=400, show_spinner=False)
def _line_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    key: LineKey,
    chance: float,
    as_of: dt.date,
    description: str,
    dark: bool,
    *,
    _opened: OpenClient,
    _row: LineRow,
) -> Spec | None:
    loads = curve_loads_kg(_row) if isinstance(_row.answer, PainLine) else ()
    sets, weeks, curve = line_drawing(_opened, key, loads)
    return spec_of(
        lambda: pain_line_chart(
            _row, sets=sets, weeks=weeks, curve=curve, as_of=as_of, description=description, dark=dark
        )
    )


@st.cache_data(max_entries=400, show_spinner=False)
def _month_spec(
    owner: str,
    client: str,
    revision: str,
    month: str,
    key: LineKey | None,
    description: str,
    dark: bool,
    *,
    _month: Month,
) -> Spec | None:
    return spec_of(lambda: month_chart(_month, description=description, dark=dark))
