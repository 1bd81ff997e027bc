"""Pain at one fixed set of a chosen line, and its chart, kept in memory (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.review import Review
from analysis.questions.trend import line_trend as trend_of_line
from analysis.results import LineKey, Withheld
from analysis.results_trend import PainTrend, SeriesOfTests
from dashboard.charts.spec import Spec, spec_of
from dashboard.charts.trend_chart import trend_chart
from dashboard.compute import OWNER, USUAL, OpenClient


def line_trend(opened: OpenClient, found: Review, key: LineKey) -> PainTrend | Withheld:
    """Pain at the usual set of one line, week by week."""
    if isinstance(found.trend.trend, PainTrend) and found.trend.trend.key == key:
        return found.trend.trend
    return _line_trend(
        OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, key, _opened=opened, _found=found
    )


def trend_spec(
    opened: OpenClient,
    trend: PainTrend,
    tests: SeriesOfTests | None,
    *,
    unit: str,
    level: int,
    description: str,
    dark: bool,
) -> Spec | None:
    """Chart of the fixed set, the load done and the test sets."""
    return _trend_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL),
        *(trend.key, unit, level, description, dark),
        _trend=trend,
        _tests=tests,
    )


@st.cache_resource(max_entries=400, show_spinner=False)
def _line_trend(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    key: LineKey,
    *,
    _opened: OpenClient,
    _found: Review,
) -> PainTrend | Withheld:
    return trend_of_line(_opened.log, _found.fit, key)


@st.cache_data(max_entries=400, show_spinner=False)
def _trend_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    key: LineKey,
    unit: str,
    level: int,
    description: str,
    dark: bool,
    *,
    _trend: PainTrend,
    _tests: SeriesOfTests | None,
) -> Spec | None:
    return spec_of(
        lambda: trend_chart(_trend, _tests, unit=unit, level=level, description=description, dark=dark)
    )
