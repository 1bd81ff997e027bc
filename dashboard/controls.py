"""Choosers of client, line and month; every choice stands in the address (layer: controls)."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from analysis.results import LineKey
from dashboard.compute import OpenClient
from dashboard.session import open_client, open_clients
from dashboard.wording.line_names import exercise_name, side_name
from dashboard.wording.numbers import month_words

CLIENT, EXERCISE, SIDE, MONTH = "client", "exercise", "side", "month"


def pick_client() -> OpenClient | None:
    """Chooser of the client; None when no log can be read, which the view has to say."""
    clients = [ref.client for ref in open_clients()]
    if not clients:
        return None
    _keep_only(CLIENT, clients)
    client = st.selectbox("Client", clients, key=CLIENT, bind="query-params")
    return None if client is None else open_client(client)


def pick_line(keys: Sequence[LineKey], first: LineKey) -> LineKey:
    """Choosers of exercise (with its variant) and side among the lines there are; `first` unless chosen."""
    names = list(dict.fromkeys(exercise_name(key.exercise, key.variant) for key in keys))
    _keep_only(EXERCISE, names)
    name = st.selectbox(
        "Exercise",
        names,
        key=EXERCISE,
        bind="query-params",
        index=names.index(exercise_name(first.exercise, first.variant)),
    )
    of_exercise = [key for key in keys if exercise_name(key.exercise, key.variant) == name]
    sides = {side_name(key): key for key in of_exercise}
    usual = side_name(first) if first in of_exercise else next(iter(sides))
    _keep_only(SIDE, list(sides))
    side = st.segmented_control(
        "Side that hurts", list(sides), key=SIDE, bind="query-params", default=usual, required=True
    )
    return sides.get(side or usual, of_exercise[0])


def pick_month(months: Sequence[str]) -> str:
    """Chooser of a month with sets, the newest unless chosen."""
    newest_first = list(reversed(months))
    _keep_only(MONTH, newest_first)
    month = st.selectbox("Month", newest_first, key=MONTH, bind="query-params", format_func=month_words)
    return month or newest_first[0]


def _keep_only(key: str, options: Sequence[str]) -> None:
    """Forget a choice that this client does not have, rather than show an empty chooser."""
    if key in st.session_state and st.session_state[key] not in options:
        del st.session_state[key]
