"""New client: what is asked when someone begins, and what comes first once it is written (layer: views)."""

from __future__ import annotations

import streamlit as st

from dashboard import answer
from dashboard.controls import line_query
from dashboard.controls_new_client import (
    BACK,
    FAILED,
    Saved,
    begin_another,
    key,
    problems,
    save,
    saved_client,
    take_back,
)
from dashboard.views.new_client_questions import (
    ask_agreed,
    ask_consent,
    ask_how,
    ask_signs,
    ask_what_for,
    ask_where,
    ask_who,
)
from dashboard.wording import new_client as words
from dashboard.wording.escape import esc


def show_form() -> None:
    """Every question, the button, and what keeps it from being written."""
    found = problems()
    answer.title(words.HEADING, words.ABOUT)
    if back := st.session_state.get(BACK):
        st.info(esc(words.taken_back_words(back)))
    with st.container(width=760):
        ask_who(found)
        ask_where(found)
        ask_signs(found)
        ask_how(found)
        ask_agreed(found)
        ask_what_for(found)
        ask_consent(found)
        if found:
            st.error(esc(words.left_words(len(found))))
        if failed := st.session_state.get(FAILED):
            st.error(esc(failed))
        st.button("Save this client", type="primary", key=key("save"), on_click=save)
    st.page_link("views/clients.py", label="Back to the clients")
    answer.caution()


def show_saved(saved: Saved) -> None:
    """What was written and where, what comes first, and the way back."""
    client, signs = saved.begun.client, saved.signs
    written = words.written_words(saved.begun.where, saved.begun.contents)
    where = (written, words.restart_words(str(saved.folder))) if saved.switched else (written,)
    if signs:
        answer.title(words.saved_heading(client, signs), words.YES_TO)
        answer.listed(signs)
        assert saved.intake.started is not None  # nothing is saved without a first day
        answer.sentences(words.sign_words(saved.intake.started))
        answer.sentences(where)
        st.page_link("views/clients.py", label="To the clients")
    else:
        answer.title(words.saved_heading(client, signs), " ".join(where))
        st.subheader("What comes first", anchor=False)
        answer.listed(words.FIRST_STEPS)
        st.page_link("views/today.py", label=f"Today of {esc(client)}", query_params=line_query(client, None))
    st.subheader("Or", anchor=False)
    if failed := st.session_state.get(FAILED):
        st.error(esc(failed))
    with st.container(horizontal=True):
        st.button("Begin another client", on_click=begin_another)
        st.button(f"Undo: take {esc(client)} back", on_click=take_back)
    answer.caution()


if (just_saved := saved_client()) is not None:
    show_saved(just_saved)
else:
    show_form()
