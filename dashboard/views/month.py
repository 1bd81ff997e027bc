"""Review: Month. What one month held, one line of it drawn (layer: views)."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.errors import EbblineError
from dashboard import answer, compute
from dashboard.charts.month_chart import event_numbers
from dashboard.compute import OpenClient
from dashboard.compute_charts import month_spec
from dashboard.controls import pick_client, pick_line, pick_month
from dashboard.session import open_folder, unreadable
from dashboard.wording.escape import esc
from dashboard.wording.line_names import line_name
from dashboard.wording.line_table import line_table
from dashboard.wording.month import month_evidence, month_heading, month_sentences
from dashboard.wording.trend import client_sentences


def show_month(opened: OpenClient, where: DeltaGenerator) -> None:
    """Sentence, three facts, chart, lines."""
    newest = compute.client_month(opened, None, None)
    with where:
        chosen = pick_month(newest.months)
    month = compute.client_month(opened, chosen, None)
    if month.key is not None:
        with where:
            key = pick_line(month.keys, month.key)
        month = compute.client_month(opened, chosen, key)
    answer.title(month_heading(month), month_evidence(month), above=opened.client)
    facts = month_sentences(month)
    answer.listed(facts)
    if month.key is not None:
        st.subheader(esc(line_name(month.key)), anchor=False)
    answer.chart(month_spec(opened, month, description=" ".join(facts), dark=answer.is_dark()))
    if month.events:
        answer.sentences(("What was changed when: " + "; ".join(event_numbers(month)) + ".",))
    show_lines(opened, month.unit)
    answer.caution()


def show_lines(opened: OpenClient, unit: str) -> None:
    """What has changed since the log began, and the pain lines as they stand now."""
    with st.spinner("Working out the lines"):
        found = compute.client_review(opened)
    st.subheader("Better than at the start?", anchor=False)
    answer.listed(client_sentences(found.trend, unit))
    rows = [row for row in found.lines if row.chance == found.lines[0].chance]
    if rows:
        st.subheader("Pain lines now", anchor=False)
        st.dataframe(line_table(rows), hide_index=True, height="content" if len(rows) < 14 else 480)


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        show_month(picked, controls)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(("The records are untouched. Check them on the Log page.",))
