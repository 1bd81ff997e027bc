"""Check-in pages kept in memory: what they hold, as a picture and as a PDF (layer: compute)."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.review import Review
from dashboard.compute import OWNER, USUAL, OpenClient
from dashboard.sheet.content import SheetOptions
from dashboard.sheet.make import make_sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSheet:
    """A page ready to be looked at and handed over.

    Attributes
    ----------
    png, pdf : bytes
    left_out : str
        What had no room, as the page says it.
    """

    png: bytes
    pdf: bytes
    left_out: str


def made_sheet(opened: OpenClient, found: Review, options: SheetOptions) -> MadeSheet:
    """The page of a client as asked for.

    Raises
    ------
    OptionError
        If there is nothing to hand over, or own words are too long.
    """
    return _made_sheet(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, options),
        _opened=opened,
        _found=found,
    )


@st.cache_data(max_entries=60, show_spinner=False)
def _made_sheet(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    options: SheetOptions,
    *,
    _opened: OpenClient,
    _found: Review,
) -> MadeSheet:
    page = make_sheet(_opened.log, _found, options)
    return MadeSheet(png=page.png(), pdf=page.pdf(), left_out=page.left_out)
