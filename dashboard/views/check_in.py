"""Check-in: one page to hand over, for the trainee or for the clinician, looked at and downloaded (layer: views)."""

from __future__ import annotations

import streamlit as st

from analysis.errors import EbblineError, OptionError
from analysis.questions.review import Review
from dashboard import answer, compute
from dashboard.compute import OpenClient
from dashboard.compute_sheet import MadeSheet, made_sheet
from dashboard.controls import pick_client
from dashboard.controls_sheet import pick_paper, pick_reader, sheet_options
from dashboard.session import open_folder, unreadable
from dashboard.sheet.content import Paper, Reader
from dashboard.wording.numbers import day_words
from dashboard.wording.sheet import sheet_heading


def show_page(opened: OpenClient, found: Review, reader: Reader, paper: Paper) -> None:
    """Heading, choices at the left, the page at the right."""
    above = f"{opened.client} · as of {day_words(found.as_of)}"
    answer.title(sheet_heading(reader), above=above)
    choices, shown = st.columns((2, 3), gap="large")
    with choices:
        options = sheet_options(opened.client, reader, paper)
    with shown:
        try:
            with st.spinner("Setting the page"):
                page = made_sheet(opened, found, options)
        except OptionError as error:
            answer.sentences((str(error),))
            return
        hand_over(opened, found, page)


def hand_over(opened: OpenClient, found: Review, page: MadeSheet) -> None:
    """The button, what had no room, and the page as a picture."""
    st.download_button(
        "Download PDF",
        data=page.pdf,
        file_name=f"{opened.client} check-in {found.as_of:%Y-%m-%d}.pdf",
        mime="application/pdf",
        type="primary",
        on_click="ignore",
    )
    answer.sentences((page.left_out or "Everything chosen has room.",))
    st.image(page.png, width="stretch", caption="The page as it prints")


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    with controls:
        wanted, size = pick_reader(), pick_paper()
    try:
        with st.spinner("Working out the lines"):
            review = compute.client_review(picked)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
    else:
        show_page(picked, review, wanted, size)
