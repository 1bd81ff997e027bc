"""What goes when there is no room, and that the page is set from data alone."""

from __future__ import annotations

import datetime as dt

import pytest
from typst import TypstError

from dashboard.sheet.content import Content, Item, Part, may_go, ranked, without
from dashboard.sheet.glyphs import FAMILIES
from dashboard.sheet.typeset import Data, as_pdf, n_pages

DAY = dt.date(2026, 9, 28)


def part(name: str, items: tuple[Item, ...], noun: tuple[str, str] = ("line", "lines")) -> Part:
    return Part(name=name, kind="list", items=items, noun=noun)


def content(*parts: Part) -> Content:
    return Content(reader="trainee", title="T", beside="", about="A", who=(), parts=parts, foot=())


def page(*texts: str, **more: object) -> Data:
    """Data of a page with one list."""
    shown = {
        "name": "list",
        "kind": "list",
        "place": "flow",
        "heading": "Heading",
        "intro": "",
        "after": "",
        "columns": [],
        "widths": [],
        "strong": -1,
        "alt": "",
        "framed": False,
        "items": list(texts),
    }
    return {
        "title": "Title",
        "beside": "",
        "about": "About",
        "who": [],
        "parts": [shown | more],
        "foot": [],
        "paper": "a4",
        "size": 11.0,
        "title_size": 19.0,
        "fonts": list(FAMILIES),
    }


def test_ranks_rise_down_a_list() -> None:
    assert [item.rank for item in ranked(("a", "b", "c"), first=5, step=2)] == [5, 7, 9]
    assert [item.rank for item in ranked(("a", "b"), first=0, step=0)] == [0, 0]


def test_the_highest_rank_goes_first_and_zero_never() -> None:
    whole = content(
        part("one", (Item(text="stays"), Item(text="second", rank=20), Item(text="last", rank=30))),
        part("two", (Item(text="third", rank=20),), ("change", "changes")),
    )
    order = may_go(whole)
    assert order == [(0, 2), (1, 0), (0, 1)]
    parts, counts = without(whole, frozenset(order[:2]))
    assert [one.name for one in parts] == ["one"]
    assert [item.text for item in parts[0].items] == ["stays", "second"]
    assert counts == {("line", "lines"): 1, ("change", "changes"): 1}
    parts, counts = without(whole, frozenset(order))
    assert [item.text for one in parts for item in one.items] == ["stays"]
    assert counts == {("line", "lines"): 2, ("change", "changes"): 1}


def test_nothing_gone_is_the_whole_page() -> None:
    whole = content(part("one", (Item(text="a", rank=1),)))
    assert without(whole, frozenset()) == (whole.parts, {})


def test_pages_are_counted() -> None:
    assert n_pages(page("short")) == 1
    assert n_pages(page(*["a long line of words " * 20] * 40)) > 1


def test_text_is_never_read_as_markup() -> None:
    """Were it markup, the first would add pages and the second would stop everything."""
    assert n_pages(page("#pagebreak() #pagebreak()", '#panic("x")', "$ #", "*", "// a", "@nobody")) == 1


def test_a_letter_without_a_shape_breaks_the_standard() -> None:
    """Why letters are looked up before: the page would be refused as a whole."""
    with pytest.raises(TypstError, match="could not be displayed"):
        as_pdf(page("😀"), DAY)


def test_a_picture_without_words_breaks_the_standard() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>'
    with pytest.raises(TypstError, match="alt"):
        as_pdf(page(svg, kind="picture", alt=None), DAY)
    assert as_pdf(page(svg, kind="picture", alt="a square"), DAY).startswith(b"%PDF")
