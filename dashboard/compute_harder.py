"""The chart of easier and harder variants, kept in memory (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.harder import harder
from analysis.questions.harder_settings import HarderSettings
from analysis.questions.review import Review
from analysis.results_harder import HarderRow
from dashboard.charts.ladder_chart import ladder_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, USUAL, OpenClient


def harder_rows(opened: OpenClient, found: Review, settings: HarderSettings) -> tuple[HarderRow, ...]:
    """The next harder variant of each exercise and side by these criteria."""
    if settings == HarderSettings():
        return found.harder
    return _harder_rows(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, settings), _opened=opened, _found=found
    )


def ladder_spec(
    opened: OpenClient,
    rows: tuple[HarderRow, ...],
    settings: HarderSettings,
    *,
    unit: str,
    description: str,
    dark: bool,
) -> Spec | None:
    """Chart of all exercises of a client; None when no exercise has an order of variants."""
    return _ladder_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL),
        *(settings, unit, description, dark),
        _rows=rows,
    )


@st.cache_resource(max_entries=100, show_spinner=False)
def _harder_rows(
    owner: str,
    client: str,
    revision: str,
    model: str,
    settings: HarderSettings,
    *,
    _opened: OpenClient,
    _found: Review,
) -> tuple[HarderRow, ...]:
    return harder(_opened.log, client, lines=_found.lines, as_of=_found.as_of, settings=settings)


@st.cache_data(max_entries=200, show_spinner=False)
def _ladder_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    settings: HarderSettings,
    unit: str,
    description: str,
    dark: bool,
    *,
    _rows: tuple[HarderRow, ...],
) -> Spec | None:
    return spec_of(lambda: ladder_chart(_rows, unit=unit, description=description, dark=dark))
