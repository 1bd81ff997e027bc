"""What happened next, kept in memory: the counts of a client and the chart of one scope (layer: compute)."""

from __future__ import annotations

import streamlit as st

from analysis.questions.what_next import what_next
from analysis.results_what_next import WhatNext
from analysis.training_log import TrainingLog
from dashboard.charts.next_chart import next_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, OpenClient


def client_what_next(opened: OpenClient) -> tuple[WhatNext, ...]:
    """What followed the sets that hurt, of all exercises first."""
    return _what_next(OWNER, opened.client, opened.revision, opened.log)


def next_spec(opened: OpenClient, found: WhatNext, *, description: str, dark: bool) -> Spec | None:
    """Chart of one scope; None when there is nothing to draw."""
    return _next_spec(
        OWNER,
        opened.client,
        opened.revision,
        found.exercise,
        found.side,
        found.works,
        description,
        dark,
        _found=found,
    )


@st.cache_resource(max_entries=200, show_spinner=False)
def _what_next(owner: str, client: str, revision: str, _log: TrainingLog) -> tuple[WhatNext, ...]:
    return what_next(_log, client)


@st.cache_data(max_entries=400, show_spinner=False)
def _next_spec(
    owner: str,
    client: str,
    revision: str,
    exercise: str | None,
    side: str | None,
    works: str | None,
    description: str,
    dark: bool,
    *,
    _found: WhatNext,
) -> Spec | None:
    return spec_of(lambda: next_chart(_found, description=description, dark=dark))
