"""What was logged lately that asks for care, in plain words (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results_care import CareEntry
from dashboard.wording.numbers import counted, short_day

MOST = 4
FELT = ("giving way", "catching", "sharp")
"""A set told by how it felt is not told again by its score."""
READ_FIRST = (
    "Before anything on this page: ask about it, and read the stop signs at its foot. If one fits, stop and see a"
    " clinician."
)


def care_sentences(entries: Sequence[CareEntry]) -> tuple[str, ...]:
    """One sentence an entry, the latest first, at most four; then how many more there are.

    Parameters
    ----------
    entries : sequence of CareEntry

    Returns
    -------
    tuple of str
        Empty where nothing asks for care.
    """
    felt = {(one.day, one.exercise, one.side) for one in entries if one.kind in FELT}
    shown = [
        one for one in entries if one.kind != "high in a set" or (one.day, one.exercise, one.side) not in felt
    ]
    told = [f"{short_day(one.day)}: {_what(one)}." for one in shown[:MOST]]
    if len(shown) > MOST:
        told.append(f"{counted(len(shown) - MOST, 'older entry', 'older entries')} of the last two weeks.")
    return tuple(told)


def _what(one: CareEntry) -> str:
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
