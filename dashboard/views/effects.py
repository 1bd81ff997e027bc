"""Review: What brings it on. Each change of the usual set, loads by ranges, and a test (layer: views)."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.errors import EbblineError
from analysis.questions.review import Review
from analysis.results import LineKey, Withheld
from analysis.results_effects import BringsItOn, LoadByRange
from dashboard import answer, cautions, compute
from dashboard.compute import OpenClient
from dashboard.compute_effects import effects_spec, grid_spec, line_effects
from dashboard.controls import pick_client, pick_line
from dashboard.session import open_folder, unreadable
from dashboard.wording.effects import (
    CHART_GUIDE,
    CHOSEN,
    choice_words,
    effects_evidence,
    effects_heading,
    effects_table,
    known,
    notes,
    unknown_sentences,
)
from dashboard.wording.escape import esc
from dashboard.wording.line_names import line_name
from dashboard.wording.load_by_range import (
    NOT_ADJUSTED,
    companion_paragraphs,
    counted_sentences,
    grid_guide,
    grid_heading,
    grid_sentence,
    range_test_sentences,
)
from dashboard.wording.method import BACK_TO_USUAL, METHOD
from dashboard.wording.numbers import day_words

KNOWN_WHEN = (
    "A change is shown once the data narrow it to less than half of what was assumed beforehand, or its direction has a"
    " probability of .95 or more; until then it stands among those not known yet. Points and chances are for the usual"
    " set of this line, on an average of good and bad days."
)


def show_effects(opened: OpenClient, found: Review, key: LineKey) -> None:
    """Sentence, chart, table, what is not known, load and range, test, counts, fold."""
    told = line_effects(opened, key)
    tried = found.fit.tried[key]
    answer.title(
        effects_heading(told),
        effects_evidence(told, found.fit, tried),
        above=f"{opened.client} · {line_name(key)} · as of {day_words(found.as_of)}",
    )
    if known(told):
        answer.sentences((CHART_GUIDE,))
        answer.chart(effects_spec(opened, told, dark=answer.is_dark()))
        answer.table(effects_table(told), name="changes")
        answer.sentences(notes(told))
    answer.sentences(tuple(filter(None, (CHOSEN, choice_words(told.choice)))))
    if unknown := unknown_sentences(told):
        st.subheader("Not known yet, and how to find out", anchor=False)
        answer.listed(unknown)
    show_range(opened, told, unit=tried.unit, basis=tried.load_basis)
    st.subheader("Counted, outside the model", anchor=False)
    answer.listed(counted_sentences(told))
    answer.sentences((NOT_ADJUSTED,))
    effects = found.effects
    companion = companion_paragraphs(effects.companion) if not isinstance(effects, Withheld) else []
    answer.fold("How this was computed", (KNOWN_WHEN, METHOD, BACK_TO_USUAL, *companion))
    cautions.foot(opened, found.as_of)


def show_range(opened: OpenClient, told: BringsItOn, *, unit: str, basis: str) -> None:
    """The grid of loads by ranges, and the test that tells the two apart."""
    grid = told.grid
    if isinstance(grid, LoadByRange):
        st.subheader(esc(grid_heading(grid)), anchor=False)
        answer.sentences((grid_sentence(grid), grid_guide(grid)))
        answer.chart(grid_spec(opened, grid, dark=answer.is_dark()))
    else:
        st.subheader("Load and range", anchor=False)
        answer.sentences((f"{grid.reason} {grid.remedy}",))
    st.subheader("A test of range in three sessions", anchor=False)
    answer.listed(range_test_sentences(told.test, unit, basis))


def show(opened: OpenClient, where: DeltaGenerator) -> None:
    """The page of one client."""
    with st.spinner("Working out the effects"):
        found = compute.client_review(opened)
    if isinstance(found.effects, Withheld):
        answer.title(
            "No set was asked about pain yet",
            f"{opened.client}: {found.fit.n_sets} sets are logged. Ask for the"
            " worst joint pain, 0 to 10, after each set and log it on its side.",
        )
        return
    with where:
        key = pick_line(tuple(found.fit.tried), found.effects.leading.key)
    show_effects(opened, found, key)


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        show(picked, controls)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
