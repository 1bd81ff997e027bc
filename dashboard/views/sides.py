"""Review: Sides. Whether left and right are even, at equal pain and beside it (layer: views)."""

from __future__ import annotations

import streamlit as st

from analysis.errors import EbblineError
from analysis.questions.review import Review
from dashboard import answer, cautions, compute
from dashboard.compute import OpenClient
from dashboard.compute_sides import sides_spec, sides_then
from dashboard.controls import pick_client
from dashboard.session import open_folder, unreadable
from dashboard.wording.numbers import day_words
from dashboard.wording.sides import not_yet, side_sentences, sides_evidence, sides_heading
from dashboard.wording.sides_table import sides_method, sides_table


def show_sides(opened: OpenClient, found: Review) -> None:
    """Sentence, chart, the comparisons in words, what is not known, table, fold."""
    then = sides_then(opened, found)
    rows = found.sides
    answer.title(
        sides_heading(rows),
        sides_evidence(rows, sum(row.key in then for row in rows)),
        above=f"{opened.client} · as of {day_words(found.as_of)}",
    )
    facts = side_sentences(rows, then)
    answer.chart(sides_spec(opened, found, description=" ".join(facts), dark=answer.is_dark()))
    if facts:
        answer.listed(facts)
    if reasons := not_yet(rows):
        st.subheader("Not known yet", anchor=False)
        answer.listed(reasons)
    if rows:
        st.subheader("Every comparison", anchor=False)
        answer.table(sides_table(rows), name="comparisons")
        answer.fold("How this was computed, and other indices of asymmetry", sides_method(rows))
    cautions.foot(opened, found.as_of)


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        with st.spinner("Working out the sides"):
            review = compute.client_review(picked)
            sides_then(picked, review)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
    else:
        show_sides(picked, review)
