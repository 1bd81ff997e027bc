"""Parts that both pages have: what to read first, own sentences, the stop signs (layer: sheet)."""

from __future__ import annotations

from dashboard.sheet.content import Item, Part, SheetOptions
from dashboard.sheet.leading import Facts
from dashboard.wording.sheet import care_in_short
from dashboard.wording.stop_signs import stop_signs

STOP = "Stop and see a clinician"


def read_first_part(heading: str, told: tuple[str, ...], after: str) -> Part:
    """What was logged lately that asks for care, framed, above everything else."""
    return Part(
        name="care",
        kind="list",
        heading=heading,
        items=tuple(Item(text=text) for text in care_in_short(told)),
        after=after,
        place="top",
        framed=True,
    )


def notes_part(heading: str, options: SheetOptions) -> Part:
    """Own sentences of the coach; none of them is ever left out."""
    return Part(
        name="notes", kind="paragraphs", heading=heading, items=tuple(Item(text=one) for one in options.notes)
    )


def stop_signs_part(facts: Facts) -> Part:
    """Stop signs for anywhere and for the client's region; none of them is ever left out."""
    signs = stop_signs(facts.own.site_region)
    return Part(
        name="stop",
        kind="list",
        heading=STOP,
        items=tuple(Item(text=sign) for sign in signs),
        place="foot",
    )
