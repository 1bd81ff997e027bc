"""Left against right kept in memory: the comparisons of weeks ago, and the chart (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION, PainFit
from analysis.questions.review import Review
from analysis.questions.sides_then import ratios_then
from analysis.results_sides import SideKey
from analysis.training_log import TrainingLog
from dashboard.charts.sides_chart import sides_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, USUAL, OpenClient
from dashboard.wording.sides import known_loads


def sides_then(opened: OpenClient, found: Review) -> dict[SideKey, float]:
    """Log ratio of the sides as the log stood eight weeks before."""
    return _sides_then(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, opened.log, found.fit)


def sides_spec(opened: OpenClient, found: Review, *, description: str, dark: bool) -> Spec | None:
    """Chart of every comparison that is known; None where none is."""
    return _sides_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, description, dark),
        _opened=opened,
        _found=found,
    )


@st.cache_resource(max_entries=200, show_spinner=False)
def _sides_then(
    owner: str, client: str, revision: str, model: str, setting: str, _log: TrainingLog, _fit: PainFit
) -> dict[SideKey, float]:
    return ratios_then(_log, _fit)


@st.cache_data(max_entries=400, show_spinner=False)
def _sides_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    description: str,
    dark: bool,
    *,
    _opened: OpenClient,
    _found: Review,
) -> Spec | None:
    then = sides_then(_opened, _found)
    return spec_of(lambda: sides_chart(known_loads(_found.sides), then, description=description, dark=dark))
