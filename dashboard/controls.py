"""Choosers of client, line and month; every choice stands in the address (layer: controls).

The address is kept here and not by Streamlit's own binding: that leaves a chooser's default out of the address,
and a link to the default then keeps what was chosen before, another client even.
"""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from analysis.results import LineKey
from dashboard.compute import OpenClient
from dashboard.session import open_client, open_clients
from dashboard.wording.line_names import side_name
from dashboard.wording.numbers import month_words

CLIENT, EXERCISE, VARIANT, SIDE, MONTH = "client", "exercise", "variant", "side", "month"
ALL_EXERCISES = "All exercises"
SIDE_ORDER = ("left", "right", "midline")
_CHOSEN = "chosen"
"""Session key of the choices last shown, by name; outlives a change of page, which a chooser does not."""


def pick_client() -> OpenClient | None:
    """Chooser of the client; None when no log can be read, which the view has to say."""
    clients = [ref.client for ref in open_clients()]
    if not clients:
        return None
    _begin(CLIENT, clients, clients[0])
    return open_client(_keep(CLIENT, st.selectbox("Client", clients, key=CLIENT)))


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
    _begin(SIDE, list(sides), side_name(first) if first in left else next(iter(sides)))
    side = st.segmented_control("Side that hurts", list(sides), key=SIDE, required=True)
    return sides[_keep(SIDE, side or next(iter(sides)))]


def pick_exercise_and_side(pairs: Sequence[tuple[str, str]]) -> tuple[str, str] | None:
    """Choosers of an exercise and a named side among the pairs there are; None for all exercises."""
    exercise = _one_of(EXERCISE, "Exercise", [ALL_EXERCISES, *(one for one, _ in pairs)], ALL_EXERCISES)
    sides = sorted(
        (side for one, side in pairs if one == exercise),
        key=lambda side: SIDE_ORDER.index(side.partition(",")[0]),
    )
    if not sides:
        return None
    _begin(SIDE, sides, sides[0])
    side = st.segmented_control("Side that hurts", sides, key=SIDE, required=True)
    return exercise, _keep(SIDE, side or sides[0])


def _one_of(name: str, label: str, values: Sequence[str], first: str) -> str:
    """Chooser of one of a few texts, shown even when there is one, so that the address always fits."""
    options = list(dict.fromkeys(values))
    _begin(name, options, first if first in options else options[0])
    return _keep(name, st.selectbox(label, options, key=name))


def pick_month(months: Sequence[str]) -> str:
    """Chooser of a month with sets, the newest unless chosen."""
    newest_first = list(reversed(months))
    _begin(MONTH, newest_first, newest_first[0])
    return _keep(MONTH, st.selectbox("Month", newest_first, key=MONTH, format_func=month_words))


def _begin(name: str, options: Sequence[str], usual: str) -> None:
    """What a chooser starts from: an address that changed, else what it shows, was left at, or the usual."""
    asked = st.query_params.get(name)
    before = st.session_state.setdefault(_CHOSEN, {}).get(name)
    if asked in options and asked != before:
        st.session_state[name] = asked
    elif (shown := st.session_state.get(name)) in options:
        # Said again: the chooser of another page is a new one, which starts at its first option otherwise.
        st.session_state[name] = shown
    else:
        st.session_state[name] = before if before in options else usual


def _keep(name: str, value: str) -> str:
    """Remember a choice and put it into the address."""
    st.session_state[_CHOSEN][name] = value
    if st.query_params.get(name) != value:
        st.query_params[name] = value
    return value
