"""The questions of the page on which a client begins, each with what is wrong below it (layer: views)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Literal

import streamlit as st

from analysis.schema import DEFAULT_PAIN_LEVEL, TABLES
from dashboard.controls_new_client import (
    MOST_SITES,
    MOST_TASKS,
    count,
    key,
    logs_folder,
    one_less,
    one_more,
    signs_to_ask,
    words_for,
)
from dashboard.store.folder_intake import FieldProblem
from dashboard.wording import new_client as words
from dashboard.wording.escape import esc

REGIONS = next(column.choices for column in TABLES["sites"].columns if column.name == "region")
SCORES = tuple(range(11))
LIMITS = {
    "limit_during": "During a set",
    "limit_after": "After a session",
    "limit_next_morning": "Next morning",
}
KEPT: Literal["session"] = "session"  # answers outlive a change of page


def mend(field: str, found: Sequence[FieldProblem]) -> None:
    """What is wrong with one answer, right below it."""
    for said in words_for(field, found):
        st.markdown(f":red[**To mend:** {esc(said)}]")


def ask_who(found: Sequence[FieldProblem]) -> None:
    """Code, first day, unit, bodyweight."""
    st.subheader("Who", anchor=False)
    code, day = st.columns(2)
    with code:
        st.text_input("Code of the client", key=key("client"), persist_state=KEPT, placeholder="such as M-14")
        mend("client", found)
    with day:
        st.date_input(
            "First day with you",
            value=dt.date.today(),
            key=key("started"),
            persist_state=KEPT,
            format="YYYY-MM-DD",
        )
        mend("started", found)
    unit, bodyweight = st.columns(2)
    with unit:
        st.segmented_control(
            "Loads in", ["kg", "lb"], default="kg", required=True, key=key("unit"), persist_state=KEPT
        )
        mend("unit", found)
    with bodyweight:
        st.text_input(
            "Bodyweight in kg, for exercises with it (may stay empty)",
            key=key("bodyweight_kg"),
            persist_state=KEPT,
        )
        mend("bodyweight_kg", found)


def ask_where(found: Sequence[FieldProblem]) -> None:
    """Painful places, and which is the main one."""
    st.subheader("Where it hurts", anchor=False)
    n_sites = count("sites")
    for number in range(n_sites):
        which = "" if n_sites == 1 else f" {number + 1}"
        place, region, side = st.columns([4, 3, 3])
        place.text_input(
            f"Place{which}, in the client's words",
            key=key(f"site {number}"),
            persist_state=KEPT,
            placeholder="such as front of knee",
        )
        region.selectbox(
            f"Region{which}",
            REGIONS,
            index=None,
            key=key(f"region {number}"),
            persist_state=KEPT,
            placeholder="choose",
        )
        side.selectbox(
            f"Side{which}",
            list(words.SIDE_WORDS),
            index=None,
            format_func=lambda one: words.SIDE_WORDS[one],
            key=key(f"side {number}"),
            persist_state=KEPT,
            placeholder="choose",
        )
        mend(f"site {number}", found)
    if n_sites > 1:
        st.radio(
            "Main place: the one that each set is asked about",
            range(n_sites),
            index=None,
            format_func=lambda number: f"Place {number + 1}",
            horizontal=True,
            key=key("main"),
            persist_state=KEPT,
        )
        mend("main", found)
    more_or_less("sites", "place", MOST_SITES)


def more_or_less(name: str, what: str, most: int) -> None:
    """Buttons for a further one and for one less."""
    with st.container(horizontal=True):
        if count(name) < most:
            st.button(f"A further {what}", key=key(f"more {name}"), on_click=one_more, args=(name,))
        if count(name) > 1:
            st.button(f"Remove the last {what}", key=key(f"less {name}"), on_click=one_less, args=(name,))


def ask_how(found: Sequence[FieldProblem]) -> None:
    """Since when, how it came on, irritability."""
    st.subheader("How it behaves", anchor=False)
    since, onset = st.columns(2)
    since.text_input(
        "Since when",
        key=key("since"),
        persist_state=KEPT,
        placeholder="such as spring 2026, after a long descent",
    )
    onset.selectbox(
        "How it came on",
        words.ONSETS,
        index=None,
        key=key("onset"),
        persist_state=KEPT,
        placeholder="not asked",
    )
    st.selectbox(
        "Irritability",
        list(words.IRRITABILITY_WORDS),
        index=None,
        format_func=lambda one: words.IRRITABILITY_WORDS[one],
        key=key("irritability"),
        persist_state=KEPT,
        placeholder="not asked",
        help=words.IRRITABILITY_HELP,
    )
    mend("irritability", found)


def ask_agreed(found: Sequence[FieldProblem]) -> None:
    """Pain that counts, and the limits agreed on."""
    st.subheader("What was agreed", anchor=False)
    st.segmented_control(
        "A set hurts from this pain on, of 10",
        [1, 2, 3, 4, 5],
        default=DEFAULT_PAIN_LEVEL,
        required=True,
        key=key("pain_level"),
        persist_state=KEPT,
        help=words.LEVEL_HELP,
    )
    mend("pain_level", found)
    st.markdown("Highest pain agreed on:")
    for (name, label), place in zip(LIMITS.items(), st.columns(3), strict=True):
        with place:
            st.selectbox(
                label,
                SCORES,
                index=None,
                key=key(name),
                persist_state=KEPT,
                placeholder="not agreed",
                help=words.LIMIT_HELP,
            )
            mend(name, found)


def ask_what_for(found: Sequence[FieldProblem]) -> None:
    """Goal, own tasks, anything else."""
    st.subheader("What for", anchor=False)
    st.text_area("Goal, in the client's words", key=key("goal"), persist_state=KEPT, height=80)
    mend("goal", found)
    st.markdown(esc(words.TASKS_ABOUT))
    n_tasks = count("tasks")
    for number in range(n_tasks):
        which = "" if n_tasks == 1 else f" {number + 1}"
        task, difficulty = st.columns([7, 3])
        task.text_input(
            f"Task{which}",
            key=key(f"task {number}"),
            persist_state=KEPT,
            placeholder="such as two floors of stairs down",
        )
        difficulty.selectbox(
            f"How hard now{which}, 0 to 10",
            SCORES,
            index=None,
            key=key(f"difficulty {number}"),
            persist_state=KEPT,
            placeholder="choose",
        )
        mend(f"task {number}", found)
    more_or_less("tasks", "task", MOST_TASKS)
    st.text_area("Anything else; no names, no diagnoses", key=key("note"), persist_state=KEPT, height=80)
    mend("note", found)


def ask_signs(found: Sequence[FieldProblem]) -> None:
    """Stop signs, a no or a yes to each."""
    st.subheader("Before any plan", anchor=False)
    st.markdown(esc(words.SCREENING_ABOUT))
    for number, sign in enumerate(signs_to_ask()):
        told = st.radio(
            esc(sign), ["no", "yes"], index=None, horizontal=True, key=key(f"sign {sign}"), persist_state=KEPT
        )
        if told == "yes":
            st.markdown(f"**{words.SEE_A_CLINICIAN}.**")
        mend(f"sign {number}", found)


def ask_consent(found: Sequence[FieldProblem]) -> None:
    """Whether these records may be kept, and where they will lie."""
    st.subheader("Consent", anchor=False)
    st.checkbox("The client agreed to these records being kept", key=key("consent"), persist_state=KEPT)
    mend("consent", found)
    folder, why = logs_folder()
    st.markdown(esc(words.where_words(str(folder), is_other=bool(why), why=why)))
