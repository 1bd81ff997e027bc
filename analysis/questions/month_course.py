"""The course of one line over some days: sessions, burn, mornings, events, gaps (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from analysis.questions.changes import MonthEvent, logged_events, made_changes
from analysis.questions.month_figures import session_burns, session_pains
from analysis.questions.month_gaps import gaps
from analysis.questions.mornings import Morning
from analysis.results import LineKey
from analysis.results_month import Gap, SessionBurn, SessionPain
from analysis.training_log import TrainingLog

WORK = ("date", "session", "set", "session_key", "exercise", "variant", "works", "load_term_kg")
OF_SETS = (
    *WORK,
    *("kind", "lowering_s", "range_stop", "rom_pct", "asked"),
    *("burn", "rir_logged", "rpe", "felt", "compensation", "chosen_for"),
)
OF_ANSWERS = (*WORK, "asked_side", "load_basis", "pain_low", "pain_high", "hurt", "censored")
"""Columns a month needs; the others would only be copied along."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthCourse:
    """What is drawn of one line over some days.

    Attributes
    ----------
    first_day, last_day : date
        Inclusive.
    sessions : tuple of SessionPain
    burn : tuple of SessionBurn
        Of the line's exercise, variant and working side; burn is never counted as pain.
    mornings : tuple of Morning
    events : tuple of MonthEvent
        Logged events and changes made, oldest first.
    gaps : tuple of Gap
        Stretches of 10 days or more without a session, or with an event "away", that touch these days.
    """

    first_day: dt.date
    last_day: dt.date
    sessions: tuple[SessionPain, ...]
    burn: tuple[SessionBurn, ...]
    mornings: tuple[Morning, ...]
    events: tuple[MonthEvent, ...]
    gaps: tuple[Gap, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LineRows:
    """Rows of a client, and those of one line among them.

    Attributes
    ----------
    key : LineKey or None
    sets, line_sets : DataFrame
        All sets, and those of the line's exercise, variant and working side; with ``rir_logged``.
    answers, line_answers : DataFrame
        Answers about pain: all, and those of the line.
    """

    key: LineKey | None
    sets: pd.DataFrame
    line_sets: pd.DataFrame
    answers: pd.DataFrame
    line_answers: pd.DataFrame


def line_rows(sets: pd.DataFrame, answers: pd.DataFrame, key: LineKey | None) -> LineRows:
    """Rows of a client split by one line; without a line its frames are empty."""
    sets, answers = sets[list(OF_SETS)], answers[list(OF_ANSWERS)]
    if key is None:
        return LineRows(
            key=None, sets=sets, line_sets=sets.iloc[:0], answers=answers, line_answers=answers.iloc[:0]
        )
    return LineRows(
        key=key,
        sets=sets,
        line_sets=sets[_is_work(sets, key)],
        answers=answers,
        line_answers=answers[_is_work(answers, key) & (answers["asked_side"] == key.side)],
    )


def rows_between(rows: LineRows, first: dt.date, last: dt.date) -> LineRows:
    """The same of some days only, both inclusive."""
    return LineRows(
        key=rows.key,
        sets=between(rows.sets, first, last),
        line_sets=between(rows.line_sets, first, last),
        answers=between(rows.answers, first, last),
        line_answers=between(rows.line_answers, first, last),
    )


def between(frame: pd.DataFrame, first: dt.date, last: dt.date) -> pd.DataFrame:
    """Rows from one day to another, both inclusive."""
    return frame[(frame["date"] >= pd.Timestamp(first)) & (frame["date"] <= pd.Timestamp(last))]


def month_course(
    log: TrainingLog,
    client: str,
    rows: LineRows,
    here: LineRows,
    found_mornings: Sequence[Morning],
    first: dt.date,
    last: dt.date,
) -> MonthCourse:
    """What happened to one line between two days.

    Parameters
    ----------
    log : TrainingLog
    client : str
    rows, here : LineRows
        Of all days that count, and of those between the two.
    found_mornings : sequence of Morning
        Of all days that count.
    first, last : date
        Both inclusive.

    Returns
    -------
    MonthCourse
    """
    logged = logged_events(log, client, dt.date(first.year - 1, 1, 1), last)
    made = made_changes(rows.sets, rows.key, first, last) if rows.key is not None else ()
    events = [*(one for one in logged if one.day >= first), *made]
    return MonthCourse(
        first_day=first,
        last_day=last,
        sessions=session_pains(here.line_answers),
        burn=session_burns(here.line_sets),
        mornings=tuple(one for one in found_mornings if first <= one.day <= last),
        events=tuple(sorted(events, key=lambda one: one.day)),
        gaps=gaps(
            [day.date() for day in rows.sets["date"].unique()],
            [one.day for one in logged if one.event == "away"],
            first,
            last,
        ),
    )


def _is_work(frame: pd.DataFrame, key: LineKey) -> pd.Series:
    return (
        (frame["exercise"] == key.exercise)
        & (frame["variant"] == key.variant)
        & (frame["works"] == key.works)
    )
