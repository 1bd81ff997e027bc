"""Review: Month. What one month held beside the month before, one line of it drawn (layer: views)."""

from __future__ import annotations

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from analysis.errors import EbblineError
from analysis.questions.month import Month
from dashboard import answer, cautions, compute
from dashboard.charts.month_labels import event_numbers
from dashboard.compute import OpenClient
from dashboard.compute_charts import month_spec
from dashboard.controls import pick_client, pick_line, pick_month
from dashboard.session import open_folder, unreadable
from dashboard.wording.escape import esc
from dashboard.wording.line_names import line_name
from dashboard.wording.line_table import line_table
from dashboard.wording.markdown_table import markdown_table
from dashboard.wording.month import before_name, month_evidence, month_heading, month_sentences
from dashboard.wording.month_beside import (
    each_line_rows,
    everything_rows,
    line_rows,
    month_cautions,
    month_columns,
    nothing_before,
)
from dashboard.wording.month_method import month_method
from dashboard.wording.numbers import month_words
from dashboard.wording.trend import better_sentences

SHOWN = ("line", "answer", "hurt")
"""Columns of the pain lines that fit a phone; the rest stand on the line's own page."""


def show_month(opened: OpenClient, where: DeltaGenerator) -> None:
    """Sentence, three facts, chart, the month before, lines."""
    newest = compute.client_month(opened, None, None)
    if not newest.months:
        answer.title(
            "No set is logged yet",
            f"{opened.client}: a month can be seen here from the first set on. Log one row a set, and ask for the worst"
            " joint pain, 0 to 10, after each.",
        )
        answer.caution()
        return
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
    if numbered := event_numbers(month):
        answer.sentences((f"What was changed when: {'; '.join(numbered)}.",))
    show_beside(month)
    show_lines(opened, month)
    answer.fold("How these numbers come about", month_method(month))
    if month.month == newest.month:
        cautions.foot(opened, month.last_day)
    else:
        answer.caution()


def show_beside(month: Month) -> None:
    """The month and the month before, number by number: the line drawn and all exercises, then each line."""
    this, before = month_words(month.month).split()[0], before_name(month)
    is_alone = month.beside.everything_before is None
    st.subheader(esc(f"{this} in numbers" if is_alone else f"{this} beside {before}"), anchor=False)
    if cautions := [*filter(None, (nothing_before(month),)), *month_cautions(month)]:
        answer.listed(cautions)
    tables = (
        ("" if month.key is None else line_name(month.key), month.beside.line, month.beside.line_before),
        ("All exercises", month.beside.everything, month.beside.everything_before),
    )
    for place, (name, now, then), rows in zip(
        st.columns(2, gap="medium"), tables, (line_rows(month), everything_rows(month)), strict=True
    ):
        if now is not None:
            place.markdown(f"**{esc(name)}**")
            place.markdown(markdown_table(month_columns(month, now, then), rows))
    if month.beside.lines:
        with st.expander("Each exercise and side: what hurt, and at what load"):
            st.markdown(markdown_table(("", this, before), each_line_rows(month)))


def show_lines(opened: OpenClient, month: Month) -> None:
    """What has changed since the log began, and the pain lines as they stand now."""
    with st.spinner("Working out the lines"):
        found = compute.client_review(opened)
    st.subheader("Better than at the start?", anchor=False)
    answer.listed(better_sentences(found.trend, month.key, month.unit))
    if rows := [row for row in found.lines if row.chance == found.lines[0].chance]:
        with st.expander("Pain lines now"):
            cells = [[str(row[name]) for name in SHOWN] for row in line_table(rows)]
            st.markdown(markdown_table(SHOWN, cells))


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
