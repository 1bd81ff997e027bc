"""Review: What happened next. What was done after the sets that hurt, and what pain did (layer: views)."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.errors import EbblineError
from analysis.results_what_next import WhatNext
from dashboard import answer, cautions
from dashboard.charts.next_chart import is_by_set
from dashboard.compute import OpenClient
from dashboard.compute_what_next import client_what_next, next_spec
from dashboard.controls import pick_client, pick_exercise_and_side
from dashboard.session import open_folder, unreadable
from dashboard.wording.numbers import day_words
from dashboard.wording.what_next import (
    NOT_WHAT_MADE_IT,
    chart_guide,
    method_words,
    scope_names,
    what_next_evidence,
    what_next_heading,
    what_next_sentences,
    what_next_table,
)


def show_what_next(opened: OpenClient, where: DeltaGenerator) -> None:
    """Sentence, counts, chart, the sets themselves, fold."""
    every = client_what_next(opened)
    found = every[0]
    if len(every) > 1:
        scopes = scope_names(every)
        with where:
            chosen = pick_exercise_and_side(list(scopes))
        found = scopes[chosen] if chosen is not None else found
    answer.title(
        what_next_heading(found),
        what_next_evidence(found),
        above=f"{opened.client} · as of {day_words(found.as_of)}",
    )
    if found.events:
        show_sets(opened, found)
    answer.fold("How this was counted", method_words(found))
    cautions.foot(opened, found.as_of)


def show_sets(opened: OpenClient, found: WhatNext) -> None:
    """Counts in sentences, the chart with its key in words, the table."""
    facts = what_next_sentences(found)
    answer.listed(facts)
    spec = next_spec(opened, found, description=" ".join(facts), dark=answer.is_dark())
    if spec is not None:
        answer.sentences((chart_guide(by_set=is_by_set(found)),))
    answer.chart(spec)
    answer.sentences((NOT_WHAT_MADE_IT,))
    st.subheader("The sets that hurt", anchor=False)
    rows = what_next_table(found.events, found.unit)
    answer.table(rows, name="sets that hurt")


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        show_what_next(picked, controls)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
