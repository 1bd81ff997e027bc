"""Review: Pain line. Where pain comes back now, for one exercise and side of one client (layer: views)."""

from __future__ import annotations

import streamlit as st

from analysis.errors import EbblineError
from analysis.questions.review import Review
from analysis.results import LineKey, LineRow, PainLine
from analysis.results_trend import PainTrend
from dashboard import answer, cautions, compute
from dashboard.compute import OpenClient
from dashboard.compute_charts import line_spec
from dashboard.compute_trend import line_trend, trend_spec
from dashboard.controls import pick_client, pick_line
from dashboard.session import open_folder, unreadable
from dashboard.wording.blanks import both_readings
from dashboard.wording.clients import leading_line
from dashboard.wording.line_names import line_name
from dashboard.wording.line_table import line_table
from dashboard.wording.method import TRACE, method_paragraphs
from dashboard.wording.numbers import day_words
from dashboard.wording.pain_line import (
    chance_sentences,
    chart_words,
    evidence_words,
    pain_line_heading,
    painkiller_words,
    stale_words,
)
from dashboard.wording.trend import moved_sentences, trend_words
from dashboard.wording.trend_tests import HOW_TO_TEST, longest_series, series_sentence


def show_answer(opened: OpenClient, found: Review, key: LineKey) -> None:
    """Sentence, evidence, chart, chances, table, fold."""
    row = next(one for one in found.lines if one.key == key and one.chance == found.lines[0].chance)
    n_left_out = sum(one.painkiller for one in compute.line_sets(opened, key))
    answer.title(
        pain_line_heading(row),
        " ".join(
            filter(
                None, (evidence_words(row), painkiller_words(n_left_out), stale_words(row.tried, found.as_of))
            )
        ),
        above=f"{opened.client} · {line_name(key)} · as of {day_words(found.as_of)}",
    )
    spec = line_spec(opened, row, found.as_of, description=chart_words(row), dark=answer.is_dark())
    answer.chart(spec)
    if isinstance(row.answer, PainLine):
        answer.sentences(chance_sentences(row.answer))
    if (both := both_readings(row, found.lines_if_blanks_quiet)) is not None:
        answer.sentences((both,))
    show_moved(opened, found, row)
    show_table(found)
    answer.fold("How this was computed", (*method_paragraphs(found.fit, row), TRACE))
    cautions.foot(opened, found.as_of)


def show_moved(opened: OpenClient, found: Review, row: LineRow) -> None:
    """What changed since then, and pain at one fixed set week by week."""
    key, unit = row.key, row.tried.unit
    if moved := moved_sentences(found.trend, key, unit):
        st.subheader("Has it moved?", anchor=False)
        answer.listed(moved)
    st.subheader("Pain at one set, week by week", anchor=False)
    trend, tests = line_trend(opened, found, key), longest_series(found.trend.tests, key)
    told = [trend_words(trend, unit)]
    if tests is not None:
        told.append(series_sentence(tests, unit))
    elif isinstance(trend, PainTrend):
        told.append(HOW_TO_TEST)
    answer.sentences(told)
    if isinstance(trend, PainTrend):
        description, level = " ".join(told), found.fit.level
        answer.chart(
            trend_spec(
                opened, trend, tests, unit=unit, level=level, description=description, dark=answer.is_dark()
            )
        )


def show_table(found: Review) -> None:
    """Every line of this client."""
    rows: list[LineRow] = [row for row in found.lines if row.chance == found.lines[0].chance]
    st.subheader("All lines of this client", anchor=False)
    answer.table(line_table(rows), name="lines")


controls = st.container(horizontal=True, vertical_alignment="bottom")
with controls:
    picked = pick_client()
if picked is None:
    answer.nothing_open(str(open_folder()), len(unreadable()))
else:
    try:
        with st.spinner("Working out the lines"):
            review = compute.client_review(picked)
    except EbblineError as error:
        answer.title("No answer for this client", str(error))
        answer.sentences(
            (
                "The records are untouched. Check them on the Log page; if nothing is wrong there, report"
                " this with the model version.",
            )
        )
    else:
        leading = leading_line(review.lines)
        if leading is None:
            answer.title(
                "No set was asked about pain yet",
                f"{picked.client}: {review.fit.n_sets} sets are logged. Ask for the"
                " worst joint pain, 0 to 10, after each set and log it on its side.",
            )
        else:
            with controls:
                chosen = pick_line([row.key for row in review.lines], leading.key)
            show_answer(picked, review, chosen)
