"""The chart of easier and harder variants, kept in memory (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.results_harder import HarderRow
from dashboard.charts.ladder_chart import ladder_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, USUAL, OpenClient


def ladder_spec(
    opened: OpenClient, rows: tuple[HarderRow, ...], *, unit: str, description: str, dark: bool
) -> Spec | None:
    """Chart of all exercises of a client; None when no exercise has an order of variants."""
    return _ladder_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL), unit, description, dark, _rows=rows
    )


@st.cache_data(max_entries=200, show_spinner=False)
def _ladder_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    unit: str,
    description: str,
    dark: bool,
    *,
    _rows: tuple[HarderRow, ...],
) -> Spec | None:
    return spec_of(lambda: ladder_chart(_rows, unit=unit, description=description, dark=dark))
