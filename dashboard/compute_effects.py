"""What brings it on, kept in memory: the answers at each line and their charts (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.brings_it_on import brings_it_on
from analysis.results import LineKey
from analysis.results_effects import BringsItOn, LoadByRange
from dashboard.charts.effects_chart import effects_chart
from dashboard.charts.load_by_range_chart import load_by_range_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, OpenClient, client_review
from dashboard.wording.effects import chart_words, known
from dashboard.wording.load_by_range import grid_words


def line_effects(opened: OpenClient, key: LineKey) -> BringsItOn:
    """What brings pain on at one line."""
    return _line_effects(OWNER, opened.client, opened.revision, MODEL_VERSION, key, _opened=opened)


def effects_spec(opened: OpenClient, found: BringsItOn, *, dark: bool) -> Spec | None:
    """Chart of the known changes; None where none is known."""
    return _effects_spec(OWNER, opened.client, opened.revision, MODEL_VERSION, found.key, dark, _found=found)


def grid_spec(opened: OpenClient, grid: LoadByRange, *, dark: bool) -> Spec | None:
    """Chart of the loads by ranges."""
    return _grid_spec(OWNER, opened.client, opened.revision, grid.key, dark, _grid=grid)


@st.cache_resource(max_entries=400, show_spinner=False)
def _line_effects(
    owner: str, client: str, revision: str, model: str, key: LineKey, *, _opened: OpenClient
) -> BringsItOn:
    found = client_review(_opened)
    return brings_it_on(found.fit, _opened.log, key)


@st.cache_data(max_entries=400, show_spinner=False)
def _effects_spec(
    owner: str, client: str, revision: str, model: str, key: LineKey, dark: bool, *, _found: BringsItOn
) -> Spec | None:
    return spec_of(lambda: effects_chart(known(_found), description=chart_words(_found), dark=dark))


@st.cache_data(max_entries=400, show_spinner=False)
def _grid_spec(
    owner: str, client: str, revision: str, key: LineKey, dark: bool, *, _grid: LoadByRange
) -> Spec | None:
    return spec_of(lambda: load_by_range_chart(_grid, description=grid_words(_grid), dark=dark))
