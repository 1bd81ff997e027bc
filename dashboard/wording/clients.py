"""One dated sentence for each client, about the line that matters most (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.results import LineRow, Withheld
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import counted, day_words
from dashboard.wording.pain_line import answer_words

SHOWN_CHANCE = 0.2


def leading_line(rows: Sequence[LineRow]) -> LineRow | None:
    """The line a coach asks about first: most painful sets; then with an answer; then most asked."""
    shown = [row for row in rows if row.chance == SHOWN_CHANCE]
    if not shown:
        return None
    return max(
        shown, key=lambda row: (row.tried.n_painful, not isinstance(row.answer, Withheld), row.tried.n_asked)
    )


def client_sentence(as_of: dt.date, rows: Sequence[LineRow]) -> str:
    """``28 Sep 2026: step-down, left: 2 of 10 sets would hurt at about 14 kg in each hand (13 to 16)``."""
    row = leading_line(rows)
    if row is None:
        return f"{day_words(as_of)}: no set was asked about pain yet"
    name = line_name(row.key)
    name = name[:1].lower() + name[1:]
    text = f"{day_words(as_of)}: {name}: {answer_words(row)[0]}"
    if isinstance(row.answer, Withheld):
        remedy = row.answer.remedy.strip().rstrip(".")
        return f"{text}; {remedy[:1].lower()}{remedy[1:]}"
    return text


def waiting_sentence(n_sets: int, last_date: dt.date | None) -> str:
    """What is known of a client before the lines are worked out."""
    if last_date is None:
        return "no set is logged yet"
    return f"{counted(n_sets, 'set')}, the last on {day_words(last_date)}; working out the lines"


def broken_sentence(n_problems: int) -> str:
    """What is said in place of an answer when a log cannot be read."""
    return f"cannot be read: {counted(n_problems, 'problem')} to mend"
