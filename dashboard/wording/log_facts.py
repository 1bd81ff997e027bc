"""What was read from a log, in sentences (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import Problem
from analysis.schema import TABLES
from analysis.training_log import TrainingLog
from dashboard.wording.numbers import counted, day_words

NAMED_CLIENTS = 6
NAMED_FILES = 3


def log_heading(n_good: int, n_broken: int) -> str:
    """``5 logs open, 1 cannot be read``."""
    if not n_good and not n_broken:
        return "No log is open"
    if not n_broken:
        return f"{counted(n_good, 'log')} open"
    if not n_good:
        return f"{counted(n_broken, 'log')} cannot be read"
    return f"{counted(n_good, 'log')} open, {n_broken} cannot be read"


def refused_sentence(problems: Sequence[Problem]) -> str:
    """How many problems stop a log, in which files, and what to do."""
    names = sorted({one.file for one in problems})
    files = ", ".join(names[:NAMED_FILES])
    if len(names) > NAMED_FILES:
        files += f" and {counted(len(names) - NAMED_FILES, 'more file')}"
    return (
        f"{counted(len(problems), 'problem')} in {files}. Nothing was read."
        " Mend the rows below in the file, then open or upload it again."
    )


def headings_sentence(problems: Sequence[Problem]) -> str | None:
    """Which headings a table of sets needs, for a file that came with headings of its own; else None."""
    if not any(one.code == "own_headings" for one in problems):
        return None
    sets = TABLES["sets"]
    needed = ", ".join(column.name for column in sets.columns if column.required)
    either = " or ".join(sets.one_of)
    return (
        f"This table has headings of its own. A log needs {needed}, and {either}; the pain of each set goes into"
        " pain_left, pain_right or pain_midline. Rename the headings in a copy and upload that."
    )


def read_sentence(log: TrainingLog) -> str:
    """Clients, sets, sessions and dates of a log that was read."""
    sets = log.sets
    if sets.empty:
        return "No sets are in this log yet."
    sessions = len(sets[["client", "date", "session"]].drop_duplicates())
    clients = sorted(set(sets["client"]))
    names = ", ".join(clients[:NAMED_CLIENTS]) + (" and others" if len(clients) > NAMED_CLIENTS else "")
    first, last = sets["date"].min().date(), sets["date"].max().date()
    return (
        f"{counted(len(clients), 'client')} ({names}), {counted(len(sets), 'set')} in"
        f" {counted(sessions, 'session')}, {day_words(first)} to {day_words(last)}."
    )
