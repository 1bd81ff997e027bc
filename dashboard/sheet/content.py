"""What a check-in page holds before it is set: its parts, and which of them may go for room (layer: sheet)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

Reader = Literal["trainee", "clinician"]
Paper = Literal["a4", "letter"]
Kind = Literal["paragraphs", "list", "steps", "table", "picture"]
Place = Literal["top", "flow", "foot"]
Spot = tuple[int, int]
"""Position of a part on the page and of an item in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One paragraph, list entry, table row or picture.

    Attributes
    ----------
    text : str or tuple of str
        The cells of a row for tables; a drawing in SVG for pictures.
    rank : int
        0 stays whatever happens; of the others the highest goes first when there is no room.
    """

    text: str | tuple[str, ...]
    rank: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the page; without any item it is not shown.

    Attributes
    ----------
    name : str
        As in the list of parts to choose from.
    kind : Kind
    items : tuple of Item
    noun : (str, str)
        What one and several items left out are called.
    heading, intro, after : str
        Above the items, before them and behind them; empty for none.
    columns : tuple of str
        Headings of a table.
    widths : tuple of int
        Relative widths of a table's columns; empty for a wide first one and the others as wide as they need.
    strong : int
        Column set in bold; -1 for none.
    alt : str
        A picture in words.
    place : {"top", "flow", "foot"}
        Over the whole width, in the two columns, or at the foot.
    framed : bool
    """

    name: str
    kind: Kind
    items: tuple[Item, ...]
    noun: tuple[str, str] = ("sentence", "sentences")
    heading: str = ""
    intro: str = ""
    after: str = ""
    columns: tuple[str, ...] = ()
    widths: tuple[int, ...] = ()
    strong: int = -1
    alt: str = ""
    place: Place = "flow"
    framed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """A whole page.

    Attributes
    ----------
    reader : {"trainee", "clinician"}
    title, beside : str
        The title, and what stands at the right of it; empty for nothing.
    about : str
        What the file is about, for those who hear it.
    who : tuple of str
        Who, when, how much.
    parts : tuple of Part
        In their order.
    foot : tuple of str
        Last lines.
    """

    reader: Reader
    title: str
    beside: str
    about: str
    who: tuple[str, ...]
    parts: tuple[Part, ...]
    foot: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetOptions:
    """What is asked of a page.

    Attributes
    ----------
    reader : {"trainee", "clinician"}
    paper : {"a4", "letter"}
    parts : frozenset of str or None
        Parts to show; None for all of them.
    notes : tuple of str
        Own sentences of the coach.
    flare : str or None
        What to do if it flares, one step a line; None for the common practice.
    next_day : date or None
        Day of the next check-in.
    """

    reader: Reader = "trainee"
    paper: Paper = "a4"
    parts: frozenset[str] | None = None
    notes: tuple[str, ...] = ()
    flare: str | None = None
    next_day: dt.date | None = None


def ranked(texts: tuple[str | tuple[str, ...], ...], *, first: int, step: int = 10) -> tuple[Item, ...]:
    """Items that go one after another, the last of them first.

    Parameters
    ----------
    texts : tuple of str or of tuple of str
    first : int
        Rank of the first item, 0 to keep it; the later ones stand `step` higher each.
    step : int
    """
    return tuple(Item(text=text, rank=first + step * at) for at, text in enumerate(texts))


def without(content: Content, gone: frozenset[Spot]) -> tuple[tuple[Part, ...], dict[tuple[str, str], int]]:
    """The parts that are left when some items go, and how many of each kind went.

    Parameters
    ----------
    content : Content
    gone : frozenset of (int, int)
        Position of the part and of the item in it.
    """
    counts: dict[tuple[str, str], int] = {}
    left: list[Part] = []
    for at, part in enumerate(content.parts):
        kept = tuple(item for place, item in enumerate(part.items) if (at, place) not in gone)
        if n := len(part.items) - len(kept):
            counts[part.noun] = counts.get(part.noun, 0) + n
        if kept:
            left.append(replace(part, items=kept))
    return tuple(left), counts


def may_go(content: Content) -> list[Spot]:
    """Where the items stand that may go, the first to go first: the highest rank, then further down the page."""
    found = [
        (item.rank, at, place)
        for at, part in enumerate(content.parts)
        for place, item in enumerate(part.items)
        if item.rank > 0
    ]
    return [(at, place) for _, at, place in sorted(found, reverse=True)]
