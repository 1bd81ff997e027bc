"""Table of all lines of a client, as it stands on the screen (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import LineRow, PainLine
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import load_words, of_ten, of_ten_range
from dashboard.wording.pain_line import answer_words


def line_table(rows: Sequence[LineRow]) -> list[dict[str, str | int]]:
    """One row a line, in words, most painful sets first: the answer, what was seen and tried."""
    often_first = sorted(rows, key=lambda row: (-row.tried.n_painful, -row.tried.n_asked))
    return [_line(row) for row in often_first]


def _line(row: LineRow) -> dict[str, str | int]:
    tried = row.tried
    tried_range = ""
    if tried.lightest_kg is not None and tried.heaviest_kg is not None:
        low, high = load_words(tried.lightest_kg, tried.unit), load_words(tried.heaviest_kg, tried.unit)
        tried_range = high if low == high else f"{low} to {high}"
        if not tried.loads_are_recent:
            tried_range = f"before that: {tried_range}"
    answer = row.answer
    last = answer.last if isinstance(answer, PainLine) else None
    chance = "" if last is None else f"{of_ten(last.chance)} ({of_ten_range(last.low, last.high)})"
    return {
        "line": line_name(row.key),
        "answer": answer_words(row)[-1],
        "hurt": f"{tried.n_painful} of {tried.n_asked}",
        "of 10 at the last load": chance,
        "tried, 12 weeks": tried_range,
    }
