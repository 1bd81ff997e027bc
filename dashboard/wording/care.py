"""What was logged lately that asks for care, in plain words (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.questions.care import STOP_KINDS
from analysis.results_care import CareEntry
from dashboard.wording.numbers import counted, short_day

MOST = 4
"""Entries that stand open; older ones are folded."""
FELT = ("giving way", "catching", "sharp")
"""A set told by how it felt is not told again by its score."""
READ_FIRST = (
    "Ask about each before anything on this page, and read the stop signs at its foot. If one fits, there is no session"
    " to plan: see a clinician."
)


def care_sentences(entries: Sequence[CareEntry]) -> tuple[str, ...]:
    """One sentence an entry, the latest first; empty where nothing asks for care.

    Parameters
    ----------
    entries : sequence of CareEntry

    Returns
    -------
    tuple of str
    """
    felt = {(one.day, one.exercise, one.side) for one in entries if one.kind in FELT}
    shown = [
        one for one in entries if one.kind != "high in a set" or (one.day, one.exercise, one.side) not in felt
    ]
    return tuple(f"{short_day(one.day)}: {care_words(one)}." for one in shown)


def asks_first(entries: Sequence[CareEntry]) -> bool:
    """Whether one of the entries stands among the stop signs themselves."""
    return any(one.kind in STOP_KINDS for one in entries)


def older_entries(n_entries: int) -> str:
    """Label of the fold that holds what does not stand above it: ``4 older entries of the last two weeks``."""
    return f"{counted(n_entries, 'older entry', 'older entries')} of the last two weeks"


def care_words(one: CareEntry) -> str:
    """One entry without its day: ``sharp pain in box squat, left, pain 5 of 10``."""
    where = "" if one.exercise is None else f" in {one.exercise}, {one.side}"
    match one.kind:
        case "giving way" | "catching":
            return f"{one.kind}{where}{_scored(one)}"
        case "sharp":
            return f"sharp pain{where}{_scored(one)}"
        case "high in a set":
            return f"pain {one.pain} of 10{where}, {_over(one, 'during a set')}"
        case "high after":
            return f"pain {one.pain} of 10 after the session, {_over(one, 'after a session')}"
        case "high next morning":
            return f"pain {one.pain} of 10 in the morning, {_over(one, 'for the morning')}"
        case "night pain":
            return "pain woke the client that night"
        case "swelling":
            return "swelling"


def _scored(one: CareEntry) -> str:
    return "" if one.pain is None else f", pain {one.pain} of 10"


def _over(one: CareEntry, when: str) -> str:
    if one.limit is None:
        return f"and no limit {when} is on file"
    return f"over the limit of {one.limit} {when}"
