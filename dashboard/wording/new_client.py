"""Words of the page on which a client begins: what is asked, what was written, what comes first (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence

from dashboard.wording.numbers import counted, day_words
from dashboard.wording.stop_signs import stop_signs

HEADING = "New client"
ABOUT = (
    "Nothing is written until every answer holds and you save. Use a code, never a name; leave out addresses, birthdays"
    " and diagnoses. What is left empty stays unknown."
)
HEART = (
    "A known disease of heart, blood vessels or kidneys or diabetes; or chest pressure, fainting or unusual"
    " breathlessness with effort."
)
SCREENING_ABOUT = (
    "Read each line out. Yes to any of them: see a clinician first. Nothing here is scored, and a no clears nobody"
    " for anything."
)
LEVEL_HELP = "A set hurts when pain reaches this. 2 is usual here."
LIMIT_HELP = "The highest pain, 0 to 10, that you and the client agreed on; empty where nothing was agreed."
IRRITABILITY_HELP = "How little sets it off, how bad it gets, how long it takes to settle."
IRRITABILITY_WORDS = {
    "low": "low: much to set it off, settles in minutes",
    "moderate": "moderate: settles in hours",
    "high": "high: little sets it off, a day or more to settle",
}
"""Common practice."""
SIDE_WORDS = {"left": "left", "right": "right", "both": "both sides", "midline": "midline"}
ONSETS = ("suddenly", "gradually", "not known")
TASKS_ABOUT = (
    "Things the client wants to do again, in their words, and how hard each is now: 0 is no trouble, 10 not possible."
    " Ask again every few weeks."
)
SEE_A_CLINICIAN = "See a clinician first"
FIRST_STEPS = (
    "Before the first session: say what the numbers mean. 0 is no joint pain, 10 the worst imaginable; burn in a muscle"
    " is not pain.",
    "In the first session: light sets of few exercises, both sides. Ask after each set how much the joint hurt at"
    " worst, zeros too. Two loads of an exercise tell more than many sets at one.",
    "Next morning: ask for the pain on getting up. The log goes into sets.csv and days.csv of that folder.",
    "Limits that a clinician set go into limits.csv; every proposal keeps to them.",
)


def screening(regions: Iterable[str | None]) -> tuple[str, ...]:
    """What is asked before any plan: heart and vessels, signs anywhere, those of each region; each once."""
    signs = [HEART]
    for region in (None, *regions):
        signs += [sign for sign in stop_signs(region) if sign not in signs]
    return tuple(signs)


def where_words(folder: str, *, is_other: bool, why: str) -> str:
    """Where the log will be written."""
    if is_other:
        return f"{why} The new client goes into your own folder of logs, {folder}, which is opened then."
    return f"The log goes into a new folder of that code in {folder}."


def left_words(n_problems: int) -> str:
    """How much is left to mend."""
    return f"{counted(n_problems, 'answer')} to mend above. Nothing was written."


YES_TO = "Answered with yes:"


def saved_heading(client: str, signs: Sequence[str]) -> str:
    """What has happened, at most 60 characters."""
    return f"{client}: {SEE_A_CLINICIAN.lower()}" if signs else f"{client} is on file"


def written_words(where: str, contents: Mapping[str, bytes]) -> str:
    """Which files were written, and with how many rows."""
    parts = []
    for name, content in contents.items():
        n_rows = max(content.count(b"\n") - 1, 0)
        parts.append(f"{name} ({'headings only' if n_rows == 0 else counted(n_rows, 'row')})")
    return f"Written to {where}: {', '.join(parts)}."


def sign_words(started: dt.date) -> tuple[str, ...]:
    """What a yes means, in plain words."""
    return (
        "Yes to any of these means no plan until a clinician has seen the client. Say it plainly, and write these words"
        " down for them; which line it was is not kept in the log.",
        f"From {day_words(started)} on every exercise is left out (limits.csv), so Today proposes nothing. When a"
        " clinician has agreed to training, write the last day of that pause into the column until of limits.csv, and"
        " what they allow into rows of their own.",
        "Chest pressure, numbness of the seat with trouble of bladder or bowel, or breathlessness with a swollen calf"
        " is an emergency: call for help now.",
    )


def restart_words(folder: str) -> str:
    """How to open the own folder next time."""
    return f"Next time start with --logs {folder!r}, or choose that folder on the Log page."


def taken_back_words(client: str) -> str:
    """That it was undone."""
    return f"{client} was taken back; what was typed still stands below."
