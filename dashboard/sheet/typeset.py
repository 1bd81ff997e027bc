"""Sets a page with Typst: as tagged PDF, as a picture, and how many pages it would take (layer: sheet)."""

from __future__ import annotations

import datetime as dt
import json
from functools import cache
from pathlib import Path
from typing import Any, Final

import typst

from dashboard.sheet.glyphs import FONTS

TEMPLATE = Path(__file__).parent / "page.typ"
STANDARD: Final = "ua-1"
Data = dict[str, Any]


@cache
def _fonts() -> typst.Fonts:
    """The shipped fonts and nothing of this machine, so that a page looks the same everywhere."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])


def _compiler(data: Data) -> typst.Compiler:
    return typst.Compiler(
        str(TEMPLATE),
        root=str(TEMPLATE.parent),
        font_paths=_fonts(),
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False, allow_nan=False)},
    )


def n_pages(data: Data) -> int:
    """Pages the content takes, without making any of them."""
    found = json.loads(_compiler(data).query("<pages>", field="value", one=True))
    return int(found)


def as_pdf(data: Data, day: dt.date) -> bytes:
    """The page as PDF/UA-1.

    Parameters
    ----------
    data : dict
        What the template shows; see `page.typ`.
    day : date
        Day the file says it was made, so that the same content makes the same file.

    Raises
    ------
    typst.TypstError
        If a rule of PDF/UA-1 is broken: a letter without a shape, a picture without words.
    """
    made = dt.datetime.combine(day, dt.time(12), tzinfo=dt.UTC)
    pdf = _compiler(data).compile(format="pdf", pdf_standards=STANDARD, timestamp=made)
    assert isinstance(pdf, bytes)
    return pdf


def as_png(data: Data, *, pixels_per_inch: float = 110.0) -> bytes:
    """The page as a picture."""
    picture = _compiler(data).compile(format="png", ppi=pixels_per_inch)
    assert isinstance(picture, bytes)
    return picture
