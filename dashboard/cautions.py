"""Cautions where a plan is made or what was logged asks for care: a note above, stop signs below (layer: views)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import streamlit as st

from analysis.client_settings import client_settings
from dashboard import answer
from dashboard.compute import OpenClient
from dashboard.compute_care import client_care
from dashboard.wording.care import MOST, READ_FIRST, care_sentences, older_entries
from dashboard.wording.stop_signs import DEFER, stop_signs


def read_first(opened: OpenClient, as_of: dt.date) -> None:
    """Above a plan: what was logged in the last two weeks that asks for care; nothing where nothing does."""
    if told := care_sentences(client_care(opened, as_of)):
        st.subheader("Ask first", anchor=False)
        show_entries(told)
        answer.sentences((READ_FIRST,))


def show_entries(told: Sequence[str]) -> None:
    """The latest entries, the older ones folded."""
    answer.listed(told[:MOST])
    if told[MOST:]:
        answer.fold(older_entries(len(told) - MOST), told[MOST:])


def foot(opened: OpenClient, as_of: dt.date, *, plans: bool = False) -> None:
    """The foot of a page: stop signs by region where it plans or where care is asked for, and what records are not.

    Parameters
    ----------
    opened : OpenClient
    as_of : date
    plans : bool, default False
        Whether something is planned on the page: stop signs then stand on it whatever was logged.
    """
    told = care_sentences(client_care(opened, as_of))
    if told and not plans:
        st.subheader("Logged lately: ask about it", anchor=False)
        show_entries(told)
    if told or plans:
        own = client_settings(opened.log, opened.client, as_of=as_of)
        st.subheader("Stop and see a clinician", anchor=False)
        answer.listed(stop_signs(own.site_region))
        answer.sentences((DEFER,))
    answer.caution()
