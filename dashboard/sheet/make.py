"""Makes a check-in page: what it holds, cut by rule to one page, set as PDF and as a picture (layer: sheet)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from analysis.errors import OptionError
from analysis.questions.review import Review
from analysis.training_log import TrainingLog
from dashboard.sheet.clinician import clinician_content
from dashboard.sheet.content import Content, Part, SheetOptions, Spot, may_go, without
from dashboard.sheet.glyphs import FAMILIES, Drawable
from dashboard.sheet.leading import Facts, facts_of
from dashboard.sheet.pictures import Picture, line_picture
from dashboard.sheet.trainee import trainee_content
from dashboard.sheet.typeset import Data, as_pdf, as_png, n_pages
from dashboard.wording.sheet import PART_NAMES, left_out_words, replaced_words

PAPERS = {"a4": "a4", "letter": "us-letter"}
TEXT_PT = {"trainee": 11.0, "clinician": 9.0}
TITLE_PT = {"trainee": 19.0, "clinician": 15.0}
PICTURE_PT = {"trainee": (248.0, 128.0), "clinician": (248.0, 128.0)}
"""Width and height of the chart on paper; its labels are as large as the text."""
MOST_NOTES = 3
LONGEST_NOTE = 200
LONGEST_FLARE = 500
MOST_TRIES = 6
"""Items that went and are tried again, one by one, in the room that is left."""
ALWAYS = frozenset({"care", "stop"})
"""Parts that nobody can choose away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A page, ready to be set.

    Attributes
    ----------
    data : dict
        What the template shows.
    day : date
    left_out : str
        What had no room, as the page says it; empty where all of it had.
    """

    data: Data
    day: dt.date
    left_out: str

    def pdf(self) -> bytes:
        """The page as tagged PDF."""
        return as_pdf(self.data, self.day)

    def png(self) -> bytes:
        """The page as a picture."""
        return as_png(self.data)


def make_sheet(log: TrainingLog, found: Review, options: SheetOptions) -> Sheet:
    """The check-in page of a client.

    Parameters
    ----------
    log : TrainingLog
    found : Review
        Every answer about the client; nothing is fitted here.
    options : SheetOptions

    Returns
    -------
    Sheet

    Raises
    ------
    OptionError
        If there is nothing to hand over, a part is unknown, or own words are too long.
    """
    check_options(options)
    facts = facts_of(log, found)
    content = _content(facts, options)
    drawable = Drawable()
    parts, counts = without(content, _gone(content, options))
    left_out = left_out_words(counts)
    data = _data(content, parts, left_out, options, drawable)
    return Sheet(data=data, day=found.as_of, left_out=left_out)


def check_options(options: SheetOptions) -> None:
    """Refuse parts there are not, and more own words than there is room for.

    Raises
    ------
    OptionError
        What there is too much of, and how much has room.
    """
    names = PART_NAMES[options.reader]
    if options.parts is not None and (unknown := sorted(options.parts - set(names))):
        raise OptionError(f"parts has {unknown[0]!r}; choose from {', '.join(names)}.")
    if len(options.notes) > MOST_NOTES:
        raise OptionError(f"There are {len(options.notes)} own sentences; {MOST_NOTES} have room.")
    for note in options.notes:
        if len(note) > LONGEST_NOTE:
            raise OptionError(
                f"An own sentence has {len(note)} characters; {LONGEST_NOTE} have room: {note[:40]!r}..."
            )
    if options.flare is not None and len(options.flare) > LONGEST_FLARE:
        raise OptionError(
            f"The words for a flare have {len(options.flare)} characters; {LONGEST_FLARE} have room."
        )


def _content(facts: Facts, options: SheetOptions) -> Content:
    chosen = PART_NAMES[options.reader].keys() if options.parts is None else options.parts
    picture: Picture | None = None
    if "picture" in chosen:
        wide, high = PICTURE_PT[options.reader]
        picture = line_picture(
            facts.log,
            facts.found,
            facts.told if options.reader == "trainee" else facts.leading,
            wide_pt=wide,
            high_pt=high,
            label_pt=TEXT_PT[options.reader],
            with_counts=options.reader != "trainee",
        )
    make = trainee_content if options.reader == "trainee" else clinician_content
    content = make(facts, options, picture)
    parts = tuple(part for part in content.parts if part.items and part.name in ALWAYS | set(chosen))
    return replace(content, parts=parts)


def _gone(content: Content, options: SheetOptions) -> frozenset[Spot]:
    """What goes so that the rest is one page: by rank, as few as needed; then the best of them back while they fit."""

    def fits(gone: frozenset[Spot]) -> bool:
        parts, counts = without(content, gone)
        return n_pages(_data(content, parts, left_out_words(counts), options, Drawable())) == 1

    order = may_go(content)
    low, high = -1, len(order)
    if not fits(frozenset(order)):
        raise OptionError("These own words leave no room for the page. Shorten them, or choose fewer parts.")
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(frozenset(order[:middle])) else (middle, high)
    gone = frozenset(order[:high])
    for spot in list(reversed(order[:high]))[:MOST_TRIES]:
        if fits(gone - {spot}):
            gone -= {spot}
    return gone


def _data(
    content: Content, parts: tuple[Part, ...], left_out: str, options: SheetOptions, drawable: Drawable
) -> Data:
    text = drawable.text
    shown = [_part_data(part, drawable) for part in parts]
    title, beside, about = text(content.title), text(content.beside), text(content.about)
    who = [text(line) for line in content.who]
    foot = [text(line) for line in (left_out, *content.foot) if line]
    if replaced := replaced_words(drawable.n_replaced):
        foot.append(replaced)
    return {
        "title": title,
        "beside": beside,
        "about": about,
        "who": who,
        "parts": shown,
        "foot": foot,
        "paper": PAPERS[options.paper],
        "size": TEXT_PT[options.reader],
        "title_size": TITLE_PT[options.reader],
        "fonts": list(FAMILIES),
    }


def _part_data(part: Part, drawable: Drawable) -> Data:
    text = drawable.text
    items: list[object] = []
    for item in part.items:
        if isinstance(item.text, tuple):
            items.append([text(cell) for cell in item.text])
        else:
            items.append(drawable.drawing(item.text) if part.kind == "picture" else text(item.text))
    return {
        "name": part.name,
        "kind": part.kind,
        "place": part.place,
        "heading": text(part.heading),
        "intro": text(part.intro),
        "after": text(part.after),
        "columns": [text(name) for name in part.columns],
        "widths": list(part.widths),
        "strong": part.strong,
        "alt": text(part.alt),
        "framed": part.framed,
        "items": items,
    }
