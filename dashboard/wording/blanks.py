"""Both readings of the blanks, where sets without an answer may hide something (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import LineRow
from dashboard.wording.pain_line import answer_words


def both_readings(row: LineRow, if_quiet: Sequence[LineRow]) -> str | None:
    """The answer with blanks left out and with blanks read as quiet; None where it stays the same.

    Parameters
    ----------
    row : LineRow
        The answer shown, blanks left out.
    if_quiet : sequence of LineRow
        Lines that move when blanks are read as 0 or 1.
    """
    other = next((one for one in if_quiet if (one.key, one.chance) == (row.key, row.chance)), None)
    if other is None:
        return None
    return (
        f"Many sets here have no pain answer. Blanks left out: {answer_words(row)[0]}."
        f" Blanks read as 0 or 1: {answer_words(other)[0]}. Ask after every set; a 0 is worth logging."
    )
