"""What is asked of a check-in page: reader, paper, parts, own words; kept while the app is open (layer: controls)."""

from __future__ import annotations

import datetime as dt
from typing import Any

import streamlit as st

from analysis.questions.proposal_settings import ProposalSettings
from dashboard.sheet.content import Paper, Reader, SheetOptions
from dashboard.sheet.make import LONGEST_FLARE, LONGEST_NOTE, MOST_NOTES
from dashboard.wording.sheet import PART_NAMES
from dashboard.wording.sheet_next import FLARE, flare_steps

_KEPT = "sheet kept"
"""Session key of what was chosen and typed, by widget; outlives a change of page, which a widget does not."""
READERS: dict[Reader, str] = {"trainee": "Trainee", "clinician": "Clinician or coach"}
PAPERS: dict[Paper, str] = {"a4": "A4", "letter": "Letter"}


def pick_reader() -> Reader:
    """Who reads the page."""
    name = "sheet reader"
    _begin(name, "trainee")
    chosen = st.segmented_control(
        "For", list(READERS), format_func=lambda one: READERS[one], key=name, required=True
    )
    return _keep(name, chosen or "trainee")


def pick_paper() -> Paper:
    """Size of the paper."""
    name = "sheet paper"
    _begin(name, "a4")
    chosen = st.segmented_control(
        "Paper", list(PAPERS), format_func=lambda one: PAPERS[one], key=name, required=True
    )
    return _keep(name, chosen or "a4")


def sheet_options(client: str, reader: Reader, paper: Paper) -> SheetOptions:
    """The other choices of one client's page, drawn one below the other."""
    parts = _parts(client, reader)
    notes = _words(
        f"sheet notes {client}",
        f"Your own sentences, one a line, {MOST_NOTES} at most",
        "",
        MOST_NOTES * LONGEST_NOTE,
        height=120,
    )
    flare = None
    if reader == "trainee":
        usual = "\n".join((FLARE, *flare_steps(ProposalSettings())))
        typed = _words(
            f"sheet flare {client}",
            "What to do if it flares, one step a line",
            usual,
            LONGEST_FLARE,
            height=220,
        )
        st.caption("These words are common practice until you change them.")
        flare = None if typed.strip() in ("", usual) else typed
    return SheetOptions(
        reader=reader,
        paper=paper,
        parts=parts,
        notes=tuple(line for line in notes.splitlines() if line.strip()),
        flare=flare,
        next_day=_next_day(client),
    )


def _parts(client: str, reader: Reader) -> frozenset[str]:
    """Parts that are ticked; all of them unless some were taken away."""
    names = PART_NAMES[reader]
    keys = {part: f"sheet part {part} {client} {reader}" for part in names}
    for key in keys.values():
        _begin(key, True)
    n_shown = sum(bool(st.session_state[key]) for key in keys.values())
    with st.expander(f"Parts of the page: {n_shown} of {len(names)}"):
        shown = [part for part, key in keys.items() if _keep(key, st.checkbox(names[part], key=key))]
        st.caption("Warnings and stop signs always stand on the page.")
    return frozenset(shown)


def _next_day(client: str) -> dt.date | None:
    name = f"sheet next {client}"
    _begin(name, None)
    day: dt.date | None = st.date_input("Next check-in", key=name, format="YYYY-MM-DD")
    return _keep(name, day)


def _words(name: str, label: str, usual: str, longest: int, *, height: int) -> str:
    _begin(name, usual)
    return _keep(name, st.text_area(label, key=name, max_chars=longest, height=height) or "")


def _begin(name: str, usual: Any) -> None:
    """What a widget starts from: what it was left at, else the usual."""
    if name not in st.session_state:
        st.session_state[name] = st.session_state.setdefault(_KEPT, {}).get(name, usual)


def _keep(name: str, value: Any) -> Any:
    st.session_state.setdefault(_KEPT, {})[name] = value
    return value
