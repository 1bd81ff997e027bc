"""Words that both readers of the check-in page get: title, who, what was left out or replaced (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from analysis.client_settings import ClientSettings
from dashboard.wording.numbers import counted, day_words, percent

PLAIN_CAUTION = (
    "This page tells what was written down in training. It is not a diagnosis, and its numbers can be wrong. A"
    " clinician's limits come first."
)
MOST_CARE = 4
PART_NAMES = {
    "trainee": {
        "better": "Am I better?",
        "picture": "Picture of the pain line",
        "next": "Next session",
        "can_do": "What can I do now that I could not?",
        "leave": "What to leave for now",
        "flare": "If it flares",
        "sides": "My two sides",
        "notes": "Own sentences",
    },
    "clinician": {
        "lines": "Where pain comes back",
        "picture": "Picture of the pain line",
        "brings_it_on": "Load or range",
        "moved": "Has it moved?",
        "changed": "What was changed in eight weeks",
        "sides": "Left against right",
        "limits": "Limits",
        "next": "Next session",
        "method": "How this was computed",
        "notes": "Own sentences",
    },
}
"""Parts of the page that can be chosen, by reader; warnings and stop signs always stand on it."""


def sheet_heading(reader: str) -> str:
    """Heading of the screen on which the page is made."""
    return f"One page for the {'trainee' if reader == 'trainee' else 'clinician or coach'}"


def sheet_title(reader: str, day: dt.date) -> str:
    """Title of the page and of the file."""
    whose = "Your check-in" if reader == "trainee" else "Check-in for the clinician or coach"
    return f"{whose}, {day_words(day)}"


def place_words(own: ClientSettings) -> str:
    """The painful place as logged: ``front of knee, left and right``; empty where none is on file."""
    if own.site_name is None:
        return ""
    side = {"both": "left and right", None: ""}.get(own.site_side, own.site_side or "")
    return f"{own.site_name}, {side}" if side else own.site_name


def who_trainee(own: ClientSettings, first: dt.date, last: dt.date, n_sessions: int, n_asked: int) -> str:
    """Who, which weeks, and what "hurt" means on this page."""
    where = f"{own.client} · {place} · " if (place := place_words(own)) else f"{own.client} · "
    return (
        f"{where}{day_words(first)} to {day_words(last)} · {counted(n_sessions, 'session')},"
        f" {counted(n_asked, 'set')} with a pain score. “Hurt” on this page means pain of {own.pain_level} or more,"
        " from 0 to 10."
    )


def who_clinician(
    own: ClientSettings, first: dt.date, last: dt.date, counts: tuple[int, int, int], share_of_zeros: float
) -> str:
    """Who, which days, how much was asked.

    Parameters
    ----------
    own : ClientSettings
    first, last : date
    counts : (int, int, int)
        Sessions, sets, sets with an answer.
    share_of_zeros : float
    """
    where = f"{own.client} · {place} · " if (place := place_words(own)) else f"{own.client} · "
    n_sessions, n_sets, n_asked = counts
    return (
        f"{where}{day_words(first)} to {day_words(last)} · {counted(n_sessions, 'session')},"
        f" {counted(n_sets, 'set')}, {n_asked:,} asked about pain, {percent(share_of_zeros)} of the scores 0. “Hurt”:"
        f" {own.pain_level} or more of 10. Intervals are 80 %."
    )


def care_in_short(told: tuple[str, ...]) -> tuple[str, ...]:
    """The latest entries that ask for care, the others counted."""
    if len(told) <= MOST_CARE + 1:
        return told
    return (*told[:MOST_CARE], f"{len(told) - MOST_CARE} older entries of the last two weeks.")


def left_out_words(counts: Mapping[tuple[str, str], int]) -> str:
    """What had no room, counted; empty where all of it had."""
    if not counts:
        return ""
    told = [counted(number, *nouns) for nouns, number in counts.items()]
    return f"Left out to keep to one page: {_listed(told)}."


def replaced_words(n_replaced: int) -> str:
    """How many signs could not be printed; empty for none."""
    if n_replaced == 0:
        return ""
    signs = "1 sign of a text" if n_replaced == 1 else f"{n_replaced} signs of the texts"
    return f"{signs} cannot be printed and {'was' if n_replaced == 1 else 'were'} left out or replaced by ☐."


def next_day_words(day: dt.date | None) -> str:
    """When the next check-in is, or a line to write it on."""
    return f"Next check-in: {'_' * 22}" if day is None else f"Next check-in: {day:%A}, {day_words(day)}."


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
