"""Today. What the next session can try, for each exercise and side of one client (layer: views)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import streamlit as st

from analysis.errors import EbblineError
from analysis.questions.first_look import left_out
from analysis.questions.proposal import next_session_day
from analysis.questions.proposal_settings import ProposalSettings
from analysis.questions.review import Review
from analysis.results import Setting
from analysis.results_proposal import Proposal
from dashboard import answer, cautions, compute
from dashboard.compute import OpenClient
from dashboard.compute_care import client_care
from dashboard.compute_proposal import in_kg, lines_at, proposals_on, rulers_spec, what_if
from dashboard.controls import pick_client
from dashboard.controls_settings import PROPOSAL_FIELDS, pick_may_hurt, proposal_settings, set_numbers
from dashboard.session import open_clients, open_folder, present_day, unreadable
from dashboard.wording.care import asks_first
from dashboard.wording.clients import left_out_sentence
from dashboard.wording.escape import esc
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import day_words, in_unit
from dashboard.wording.proposal import (
    chart_description,
    proposal_evidence,
    proposal_heading,
    proposal_sentences,
    recent,
    short_words,
    what_if_words,
)
from dashboard.wording.proposal_method import chart_guide, method_words
from dashboard.wording.stop_signs import DURING_A_SESSION


def pick_day(found: Review) -> dt.date:
    """Day of the session: today, or the first possible one after it; the day of the last sets is one under way."""
    usual = max(next_session_day(found.fit), present_day(open_clients()))
    first = found.fit.last_set_day or usual
    return st.date_input(
        "Day of the session",
        value=usual,
        min_value=first,
        max_value=usual + dt.timedelta(days=365),
        key=f"day {found.client} {usual.isoformat()}",
        format="YYYY-MM-DD",
    )


def show_today(opened: OpenClient, found: Review, day: dt.date, settings: ProposalSettings) -> None:
    """Sentence, rulers, every reason, what if, what is not done lately, settings, stop signs."""
    every = proposals_on(opened, found, day, settings)
    if not every and (pause := left_out(opened.log, opened.client, day=day)) is not None:
        answer.title("Nothing to propose: every exercise is left out", left_out_sentence(pause))
        show_cautions(opened, found)
        return
    if not every:
        answer.title(
            "Nothing to propose yet",
            f"{opened.client}: no set of the last twelve weeks was asked about pain. Ask for the worst joint pain,"
            " 0 to 10, after each set and log it on its side.",
        )
        show_cautions(opened, found)
        return
    shown = recent(every)
    answer.title(
        proposal_heading(shown, asks_first=asks_first(client_care(opened, found.as_of))),
        proposal_evidence(shown, day),
        above=f"{opened.client} · as of {day_words(found.as_of)}",
    )
    cautions.read_first(opened, found.as_of)
    answer.sentences((chart_guide(settings.may_hurt),))
    lines = lines_at(opened, found, settings.may_hurt)
    spec = rulers_spec(
        opened,
        tuple((one, lines.get(one.key)) for one in shown),
        day,
        settings,
        description=chart_description(shown),
        dark=answer.is_dark(),
    )
    answer.chart(spec)
    st.subheader("Every reason, and what else could change", anchor=False)
    show_reasons(shown)
    older = tuple(one for one in every if one not in shown)
    if older:
        st.subheader("Not done for three weeks", anchor=False)
        show_reasons(older)
    ask_what_if(found, [one for one in (*shown, *older) if one.tried.heaviest_kg is not None])
    set_numbers(PROPOSAL_FIELDS, ProposalSettings())
    answer.fold("How this was worked out", method_words(settings))
    show_cautions(opened, found)


def show_reasons(proposals: Sequence[Proposal]) -> None:
    """One fold a line."""
    for one in proposals:
        answer.fold(esc(f"{line_name(one.key)}: {short_words(one)[0]}"), proposal_sentences(one))


@st.fragment
def ask_what_if(found: Review, proposals: Sequence[Proposal]) -> None:
    """A chance on request: a load and a way of doing it, worked out when the button is pressed."""
    if not proposals:
        return
    st.subheader("What if", anchor=False)
    names = {line_name(one.key): one for one in proposals}
    with st.container(horizontal=True, vertical_alignment="bottom"):
        one = names[st.selectbox("Exercise and side", list(names), key="what if line")]
        unit = one.tried.unit
        kept = f"{found.client} {line_name(one.key)}"
        start = in_unit(one.load_kg or one.last_kg or one.tried.loads[-1].load_kg, unit)
        step = in_unit(one.tried.load_step_kg or 1.0, unit)
        load = st.number_input(
            f"Load, {unit}", min_value=0.1, value=start, step=step, key=f"what if load {kept}"
        )
        lowering = st.number_input(
            "Lowering, s",
            min_value=0.0,
            value=_usual(one, "lowering_s"),
            step=1.0,
            key=f"what if lowering {kept}",
        )
        reps = st.number_input(
            "Reps", min_value=1.0, value=_usual(one, "reps"), step=1.0, key=f"what if reps {kept}"
        )
        asked = st.button("Work it out", key="what if asked")
    if asked:
        at = Setting(lowering_s=lowering, reps=reps)
        load_kg = in_kg(load, unit)
        answer.sentences((what_if_words(what_if(found, one.key, load_kg, at), load_kg, one, at),))


def _usual(one: Proposal, name: str) -> float | None:
    """What is usual for the exercise; None leaves the field empty, which stands for usual."""
    value = None if one.at is None else getattr(one.at, name)
    return None if value is None else float(value)


def show_cautions(opened: OpenClient, found: Review) -> None:
    """What to do when it hurts, and when to stop and see a clinician."""
    st.subheader("During the session", anchor=False)
    answer.listed(DURING_A_SESSION)
    cautions.foot(opened, found.as_of, plans=True)


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        with st.spinner("Working out the lines"):
            review = compute.client_review(picked)
        with controls:
            chosen = pick_day(review)
            pick_may_hurt()
        show_today(picked, review, chosen, proposal_settings())
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
