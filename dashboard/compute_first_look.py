"""What is new about each client, remembered for as long as its log stays the same (layer: compute)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from analysis.errors import EbblineError
from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.first_look import first_look
from analysis.results import LineRow, Remark
from analysis.results_first_look import FirstLook
from dashboard.compute import OWNER, OpenClient, client_review


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeenClient:
    """What the page of clients says about one of them.

    Attributes
    ----------
    look : FirstLook
    is_worked_out : bool
        Whether lines and trials were looked at; until then only mornings and days.
    as_of : date or None
        Last day of the review; None without one.
    lines : tuple of LineRow
    no_answer : str or None
        Why there is no review, where it went wrong.
    """

    look: FirstLook
    is_worked_out: bool
    as_of: dt.date | None = None
    lines: tuple[LineRow, ...] = ()
    no_answer: str | None = None


Known = tuple[tuple[str, ...], SeenClient]


def seen_so_far(opened: OpenClient, today: dt.date) -> SeenClient:
    """What is known without working out any line: at once."""
    return _known(
        opened,
        today,
        lambda: SeenClient(look=first_look(opened.log, opened.client, today=today), is_worked_out=False),
        lines=False,
    )


def seen_wholly(opened: OpenClient, today: dt.date, remarks: Callable[[], tuple[Remark, ...]]) -> SeenClient:
    """The same with lines, trials and remarks; works the lines out where that was not done yet."""
    return _known(opened, today, lambda: _work_out(opened, today, remarks()), lines=True)


def _work_out(opened: OpenClient, today: dt.date, remarks: tuple[Remark, ...]) -> SeenClient:
    client = opened.client
    try:
        found = client_review(opened)
    except EbblineError as error:
        look = first_look(opened.log, client, today=today, remarks=remarks)
        return SeenClient(look=look, is_worked_out=True, no_answer=str(error))
    return SeenClient(
        look=first_look(opened.log, client, today=today, found=found, remarks=remarks),
        is_worked_out=True,
        as_of=found.as_of,
        lines=found.lines,
    )


def _known(opened: OpenClient, today: dt.date, find: Callable[[], SeenClient], *, lines: bool) -> SeenClient:
    """What was found for this state of the log; found now where it was not, the newest of a client only."""
    memory = _memory(OWNER)
    state = (opened.revision, MODEL_VERSION, today.isoformat())
    known = memory.get(opened.client)
    if known is None or known[0] != state or (lines and not known[1].is_worked_out):
        known = memory[opened.client] = (state, find())
    return known[1]


@st.cache_resource(show_spinner=False)
def _memory(owner: str) -> dict[str, Known]:
    return {}
