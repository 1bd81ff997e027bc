"""What was logged lately that asks for care, kept in memory (layer: compute)."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from analysis.questions.care import care_entries
from analysis.results_care import CareEntry
from analysis.training_log import TrainingLog
from dashboard.compute import OWNER, OpenClient


def client_care(opened: OpenClient, as_of: dt.date) -> tuple[CareEntry, ...]:
    """Entries of the last two weeks that ask for care, latest first."""
    return _care(OWNER, opened.client, opened.revision, as_of, opened.log)


@st.cache_resource(max_entries=400, show_spinner=False)
def _care(owner: str, client: str, revision: str, as_of: dt.date, _log: TrainingLog) -> tuple[CareEntry, ...]:
    return care_entries(_log, client, as_of=as_of)
