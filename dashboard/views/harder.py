"""Review: Easier and harder. Whether a harder variant is due for a trial, for each exercise and side (layer: views)."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from analysis.client_settings import client_settings
from analysis.errors import EbblineError
from analysis.questions.harder_settings import HarderSettings
from analysis.questions.review import Review
from analysis.results_harder import HarderRow
from dashboard import answer, cautions, compute
from dashboard.compute import OpenClient
from dashboard.compute_harder import harder_rows, ladder_spec
from dashboard.controls import pick_client
from dashboard.controls_settings import HARDER_FIELDS, harder_settings, set_numbers
from dashboard.session import open_folder, unreadable
from dashboard.wording.harder import (
    CHART_GUIDE,
    HOW_A_TRIAL_IS_DONE,
    criteria_table,
    due_sentences,
    harder_evidence,
    harder_heading,
    method_words,
    not_yet_sentences,
    trial_table,
    withheld_sentences,
)
from dashboard.wording.numbers import day_words


def show_harder(opened: OpenClient, found: Review) -> None:
    """Sentence, due ones, chart, not-yet list, criteria, trials, fold."""
    own = client_settings(opened.log, opened.client, as_of=found.as_of)
    settings = harder_settings()
    rows = harder_rows(opened, found, settings)
    due = due_sentences(rows, own.unit)
    not_yet = not_yet_sentences(rows, own.unit)
    answer.title(
        harder_heading(rows),
        harder_evidence(settings, own.limit_during, own.limit_next_morning),
        above=f"{opened.client} · as of {day_words(found.as_of)}",
    )
    cautions.read_first(opened, found.as_of)
    if due:
        answer.listed(due)
        answer.sentences((HOW_A_TRIAL_IS_DONE,))
    description = " ".join([*due, *not_yet]) or harder_heading(rows)
    spec = ladder_spec(opened, rows, settings, unit=own.unit, description=description, dark=answer.is_dark())
    if spec is not None:
        answer.sentences((CHART_GUIDE,))
    answer.chart(spec)
    if not_yet:
        st.subheader("Not yet, and the first reason", anchor=False)
        answer.listed(not_yet)
    show_tables(rows, own.unit)
    if without := withheld_sentences(rows):
        st.subheader("No next variant", anchor=False)
        answer.listed(without)
    set_numbers(HARDER_FIELDS, HarderSettings())
    answer.fold("How this was worked out", method_words(settings))
    cautions.foot(opened, found.as_of, plans=True)


def show_tables(rows: Sequence[HarderRow], unit: str) -> None:
    """Criteria of every exercise and side, and every trial."""
    for heading, table in (
        ("Every criterion", criteria_table(rows, unit)),
        ("Trials", trial_table(rows, unit)),
    ):
        if table:
            st.subheader(heading, anchor=False)
            answer.table(table, name=heading)


with st.container(horizontal=True, vertical_alignment="bottom"):
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        with st.spinner("Working out the lines"):
            review = compute.client_review(picked)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
    else:
        show_harder(picked, review)
