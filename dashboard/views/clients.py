"""Clients: one dated sentence each, and the logs that cannot be read (layer: views)."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.errors import EbblineError
from dashboard import answer, compute
from dashboard.controls import line_query
from dashboard.session import are_samples, open_client, open_clients, open_folder, unreadable
from dashboard.store.source import BrokenLog, ClientRef
from dashboard.wording.clients import broken_sentence, client_sentence, leading_line, waiting_sentence
from dashboard.wording.escape import esc
from dashboard.wording.numbers import counted

Place = tuple[DeltaGenerator, DeltaGenerator]
"""Where a client's sentence and links stand on the page."""


def place_for(ref: ClientRef) -> Place:
    """One client's line of the page with what is known without a fit."""
    code, words, links = line_of_page()
    code.markdown(f"**{esc(ref.client)}**")
    sentence, ways = words.empty(), links.empty()
    sentence.markdown(esc(waiting_sentence(ref.n_sets, ref.last_date)))
    return sentence, ways


def fill(place: Place, client: str) -> None:
    """The sentence of one client, and the way to the line it speaks of."""
    query = line_query(client, None)
    try:
        found = compute.client_review(open_client(client))
    except EbblineError as error:
        sentence = f"no answer: {error}"
    else:
        sentence = client_sentence(found.as_of, found.lines)
        if (row := leading_line(found.lines)) is not None:
            query = line_query(client, row.key)
    words, links = place
    words.markdown(esc(sentence))
    with links.container(gap=None):
        st.page_link("views/pain_line.py", label=f"Pain line of {esc(client)}", query_params=query)
        st.page_link("views/month.py", label=f"Month of {esc(client)}", query_params=query)


def show_broken(broken: BrokenLog) -> None:
    """A log that could not be read, and the way to its problems."""
    name, words, links = line_of_page()
    name.markdown(f"**{esc(broken.path.name)}**")
    words.markdown(esc(broken_sentence(compute.problem_count(broken))))
    links.page_link("views/log.py", label=f"Problems of {esc(broken.path.name)}")


def line_of_page() -> list[DeltaGenerator]:
    """Code, sentence and links side by side under a thin rule; below each other on a phone."""
    st.html("<hr>")
    return st.columns([2, 8, 3], vertical_alignment="top")


clients = open_clients()
broken_logs = unreadable()
if not clients and not broken_logs:
    answer.nothing_open(str(open_folder()))
else:
    note = (
        "Invented sample logs, two of them faulty on purpose to show how that is told; open your own on the Log page."
        if are_samples()
        else ""
    )
    answer.title(counted(len(clients), "client"), note)
    progress = st.empty()
    places = [place_for(ref) for ref in clients]
    for one in broken_logs:
        show_broken(one)
    answer.caution()
    for number, (ref, place) in enumerate(zip(clients, places, strict=True)):
        progress.progress(number / len(clients), text=f"Working out the lines of {esc(ref.client)}")
        fill(place, ref.client)
    progress.empty()
