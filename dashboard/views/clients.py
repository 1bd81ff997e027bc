"""Clients: one dated sentence each, and the logs that cannot be read (layer: views)."""

from __future__ import annotations

import streamlit as st

from analysis.errors import EbblineError
from dashboard import answer, compute
from dashboard.session import are_samples, open_client, open_clients, open_folder, source
from dashboard.store.source import BrokenLog
from dashboard.wording.clients import broken_sentence, client_sentence, leading_line
from dashboard.wording.escape import esc
from dashboard.wording.line_names import exercise_name, side_name
from dashboard.wording.numbers import counted


def show_client(client: str) -> None:
    """One client: code, sentence, the way to the line it speaks of."""
    query = {"client": client}
    try:
        found = compute.client_review(open_client(client))
    except EbblineError as error:
        sentence = f"no answer: {error}"
    else:
        sentence = client_sentence(found.as_of, found.lines)
        if (row := leading_line(found.lines)) is not None:
            query |= {
                "exercise": exercise_name(row.key.exercise, row.key.variant),
                "side": side_name(row.key),
            }
    with st.container(border=True):
        st.markdown(f"**{esc(client)}**  \n{esc(sentence)}")
        with st.container(horizontal=True, gap="medium"):
            st.page_link("views/pain_line.py", label=f"Pain line of {esc(client)}", query_params=query)
            st.page_link("views/month.py", label=f"Month of {esc(client)}", query_params=query)


def show_broken(broken: BrokenLog) -> None:
    """A log that could not be read, and the way to its problems."""
    with st.container(border=True):
        st.markdown(f"**{esc(broken.path.name)}**  \n{esc(broken_sentence(len(broken.problems)))}")
        st.page_link("views/log.py", label=f"Problems of {esc(broken.path.name)}")


clients = open_clients()
unreadable = source().problems(compute.OWNER) if clients or open_folder().exists() else ()
if not clients and not unreadable:
    answer.nothing_open(str(open_folder()))
    st.page_link("views/log.py", label="Open a log")
else:
    note = "Invented sample logs; open your own on the Log page." if are_samples() else ""
    answer.title(counted(len(clients), "client"), note)
    progress = st.progress(0.0, text="Reading the logs")
    for number, ref in enumerate(clients):
        progress.progress(number / len(clients), text=f"Working out the lines of {esc(ref.client)}")
        show_client(ref.client)
    progress.empty()
    for one in unreadable:
        show_broken(one)
    answer.caution()
