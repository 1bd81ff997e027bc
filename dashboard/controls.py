"""Choosers of client, line and month; every choice stands in the address (layer: controls)."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import streamlit as st

from analysis.results import LineKey
from dashboard.compute import OpenClient
from dashboard.session import open_client, open_clients
from dashboard.wording.line_names import side_name
from dashboard.wording.numbers import month_words

SIDE_ORDER = ("left", "right", "midline")
CLIENT, EXERCISE, VARIANT, SIDE, MONTH = "client", "exercise", "variant", "side", "month"


def pick_client() -> OpenClient | None:
    """Chooser of the client; None when no log can be read, which the view has to say."""
    clients = [ref.client for ref in open_clients()]
    if not clients:
        return None
    _keep_only(CLIENT, clients, clients[0])
    client = st.selectbox("Client", clients, key=CLIENT, bind="query-params", index=None)
    return open_client(client or clients[0])


def line_query(client: str, key: LineKey | None) -> dict[str, str]:
    """What stands in the address for a client's line; the choosers here read it back."""
    if key is None:
        return {CLIENT: client}
    return {CLIENT: client, EXERCISE: key.exercise, VARIANT: key.variant, SIDE: side_name(key)}


def pick_line(keys: Sequence[LineKey], first: LineKey) -> LineKey:
    """Choosers of exercise, variant and side among the lines there are; `first` unless chosen."""
    left = list(keys)
    exercise = _one_of(EXERCISE, "Exercise", [key.exercise for key in left], first.exercise)
    left = [key for key in left if key.exercise == exercise]
    variant = _one_of(VARIANT, "Variant", [key.variant for key in left], first.variant)
    left = [key for key in left if key.variant == variant]
    left.sort(key=lambda key: (SIDE_ORDER.index(key.side), key.works != key.side))
    sides = {side_name(key): key for key in left}
    usual = side_name(first) if first in left else next(iter(sides))
    _keep_only(SIDE, list(sides), usual)
    side = st.segmented_control("Side that hurts", list(sides), key=SIDE, bind="query-params")
    return sides.get(side or usual, left[0])


def _one_of(name: str, label: str, values: Sequence[str], first: str) -> str:
    """Chooser of one of a few texts, shown even when there is one, so that the address always fits."""
    options = list(dict.fromkeys(values))
    usual = first if first in options else options[0]
    _keep_only(name, options, usual)
    return st.selectbox(label, options, key=name, bind="query-params", index=None) or usual


def pick_month(months: Sequence[str]) -> str:
    """Chooser of a month with sets, the newest unless chosen."""
    newest_first = list(reversed(months))
    _keep_only(MONTH, newest_first, newest_first[0], shown=month_words)
    month = st.selectbox(
        "Month", newest_first, key=MONTH, bind="query-params", format_func=month_words, index=None
    )
    return month or newest_first[0]


def _keep_only(key: str, options: Sequence[str], usual: str, shown: Callable[[str], str] = str) -> None:
    """Forget a choice that this client does not have, and begin with the usual one unless the address says.

    The choosers themselves have no default: Streamlit leaves a default out of the address, and a link to the
    default would then keep what was chosen before, another client even.
    """
    if key in st.session_state and st.session_state[key] not in options:
        del st.session_state[key]
    asked = st.query_params.get(key)
    if key not in st.session_state and asked not in [shown(option) for option in options]:
        st.session_state[key] = usual
