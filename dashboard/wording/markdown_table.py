"""A small table as Markdown: it wraps on a phone, where a grid would be cut (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from dashboard.wording.escape import esc


def markdown_table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Rows under headings, every cell escaped; a blank heading stays blank.

    Parameters
    ----------
    headings : sequence of str
    rows : sequence of sequence of str
        As many cells each as there are headings.

    Returns
    -------
    str
    """
    lines = [headings, ["---"] * len(headings), *rows]
    return "\n".join(
        f"| {' | '.join(cell if number == 1 else _cell(cell) for cell in line)} |"
        for number, line in enumerate(lines)
    )


def _cell(text: str) -> str:
    return esc(" ".join(text.split()))
