"""The page itself: one page, tagged, with the review's numbers, whatever was typed into the log."""

from __future__ import annotations

import io
from dataclasses import fields, replace
from functools import cache
from pathlib import Path

import pandas as pd
import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from analysis.errors import OptionError
from analysis.log import read_log
from analysis.questions.review import Review, review
from analysis.results import PainLine
from analysis.training_log import TrainingLog
from dashboard.sheet.content import Paper, Reader, SheetOptions
from dashboard.sheet.glyphs import STAND_IN
from dashboard.sheet.make import LONGEST_FLARE, LONGEST_NOTE, MOST_NOTES, TEXT_PT, make_sheet
from dashboard.wording.clients import leading_line
from dashboard.wording.numbers import estimate_words
from dashboard.wording.sheet_better import better_facts, better_heading
from dashboard.wording.stop_signs import ANYWHERE
from dashboard.wording.trend import mornings_sentence
from tests.app.shown import STORIES, reviewed

READERS: tuple[Reader, ...] = ("trainee", "clinician")
PAPERS: tuple[Paper, ...] = ("a4", "letter")
SHOWN_PT = 0.05
"""Sizes are written to the file rounded."""


@cache
def page_of(sample_logs: Path, client: str, reader: Reader, paper: Paper) -> PdfReader:
    found = reviewed(sample_logs, client)
    options = SheetOptions(reader=reader, paper=paper)
    return PdfReader(io.BytesIO(make_sheet(read_log(sample_logs / client), found, options).pdf()))


def told(page: PdfReader) -> str:
    """Text of the page with every run of blanks as one."""
    return " ".join(page.pages[0].extract_text().split())


def structure(page: PdfReader) -> list[DictionaryObject]:
    """Every element of the tag tree."""
    found: list[DictionaryObject] = []

    def walk(node: object) -> None:
        node = node.get_object() if isinstance(node, IndirectObject) else node
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, DictionaryObject):
            if "/S" in node:
                found.append(node)
            if "/K" in node:
                walk(node["/K"])

    walk(page.trailer["/Root"]["/StructTreeRoot"]["/K"])  # type: ignore[index]
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("client", STORIES)
def test_every_sample_is_one_page(sample_logs: Path, client: str, reader: Reader, paper: Paper) -> None:
    page = page_of(sample_logs, client, reader, paper)
    assert len(page.pages) == 1
    text = told(page)
    assert client in text
    for sign in ANYWHERE:
        assert sign in text


@pytest.mark.parametrize("reader", READERS)
def test_the_file_says_that_it_is_pdf_ua_and_is_tagged(sample_logs: Path, reader: Reader) -> None:
    page = page_of(sample_logs, "K-07", reader, "a4")
    root = page.trailer["/Root"]
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()  # type: ignore[index]
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]
    assert root["/Lang"].startswith("en")  # type: ignore[index]
    assert page.metadata is not None
    assert "check-in" in (page.metadata.title or "").lower()
    tags = structure(page)
    names = [tag["/S"] for tag in tags]
    assert {"/H1", "/P", "/L", "/Table", "/TH", "/Figure"} <= set(names)
    for figure in (tag for tag in tags if tag["/S"] == "/Figure"):
        assert "Step-down, left" in figure["/Alt"]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("client", ["K-07", "N-01"])
def test_no_text_is_smaller_than_promised(sample_logs: Path, client: str, reader: Reader) -> None:
    sizes: list[float] = []

    def note(text: str, user: list[float], matrix: list[float], font: object, size: float) -> None:
        if text.strip():
            sizes.append(abs(size * matrix[3] * user[3]))

    page_of(sample_logs, client, reader, "a4").pages[0].extract_text(visitor_text=note)
    assert min(sizes) >= TEXT_PT[reader] - SHOWN_PT


@pytest.mark.parametrize("client", ["K-07", "E-12"])
def test_the_clinicians_page_has_the_reviews_numbers(sample_logs: Path, client: str) -> None:
    found, text = reviewed(sample_logs, client), told(page_of(sample_logs, client, "clinician", "a4"))
    leading = leading_line(found.lines)
    assert leading is not None
    answer = leading.answer
    assert isinstance(answer, PainLine)
    assert answer.load_kg is not None
    number, _, ends = estimate_words(
        answer.load_kg, answer.low_kg, answer.high_kg, leading.tried.unit
    ).partition(" (")
    assert f"{number} a hand ({ends}" in text
    assert f"{leading.tried.n_painful} of {leading.tried.n_asked}" in text
    assert f"{found.fit.n_sets} sets, {found.fit.n_asked} asked" in text
    assert mornings_sentence(found.trend.mornings) in text
    assert "Load or range:" in text


@pytest.mark.parametrize("client", ["K-07", "E-12", "N-01"])
def test_the_trainees_page_has_the_same_facts(sample_logs: Path, client: str) -> None:
    found, text = reviewed(sample_logs, client), told(page_of(sample_logs, client, "trainee", "a4"))
    leading = leading_line(found.lines)
    assert leading is not None
    facts = better_facts(found.trend, leading)
    assert better_heading(facts) in text
    for fact in facts[:3]:
        assert " ".join(filter(None, (fact.then, fact.now, fact.words))) in text
    assert "What to do if it flares" in text
    assert "Common practice" in text


def test_both_readers_get_the_same_line(sample_logs: Path) -> None:
    for reader in READERS:
        assert "10.0 kg" in told(page_of(sample_logs, "K-07", reader, "a4"))


def test_the_same_review_makes_the_same_file(sample_logs: Path) -> None:
    log, found = read_log(sample_logs / "N-01"), reviewed(sample_logs, "N-01")
    one, other = (make_sheet(log, found, SheetOptions()).pdf() for _ in range(2))
    assert one == other


def test_parts_that_were_not_chosen_are_not_there_but_warnings_are(sample_logs: Path) -> None:
    log, found = read_log(sample_logs / "K-07"), reviewed(sample_logs, "K-07")
    page = make_sheet(log, found, SheetOptions(parts=frozenset({"sides"})))
    text = told(PdfReader(io.BytesIO(page.pdf())))
    assert "My two sides" in text
    assert "Am I better?" not in text
    assert "Read this first" in text
    assert "Stop and see a clinician" in text
    with pytest.raises(OptionError, match=r"parts has 'weather'; choose from better, picture"):
        make_sheet(log, found, SheetOptions(parts=frozenset({"weather"})))


HOSTILE = {
    "markup": '#pagebreak() $x^2$ *bold* _em_ `raw` <label> @ref = head #panic("x") #import "y"'[:80],
    "script": "</script><script>alert(1)</script> {{x}} &amp; <img src=x onerror=y>",
    "CJK": "膝の前が痛いスクワット深い位置で左右交互に行う長い名前の運動種目" * 2,
    "Arabic": "تمرين الركبة الأمامية مع حمل خفيف على الدرج في الصباح الباكر قبل الإفطار يوميا",
    "Hebrew": "כפיפת ברך עמוקה עם משקולת כבדה מאוד ביד שמאל ועוד קצת טקסט",
    "wide": "W" * 80,
    "emoji and controls": "emoji 😀👨‍👩‍👧 and \u202ereversed\u202c and bell\x07",
}
PRINTS = ("markup", "script", "wide")


@cache
def hostile(sample_logs: Path, kind: str) -> tuple[TrainingLog, Review]:
    """N-01 with one name everywhere that something can be typed."""
    log, name = read_log(sample_logs / "N-01"), HOSTILE[kind][:80]
    columns = {"exercise": "step-up", "variant": None, "site": None, "task": None, "by": None, "note": None}
    changed = {}
    for field in fields(log):
        frame = getattr(log, field.name)
        if not isinstance(frame, pd.DataFrame):
            continue
        frame = frame.copy()
        for column, only in columns.items():
            if column in frame and column != "variant":
                is_meant = frame[column].notna() if only is None else frame[column] == only
                frame.loc[is_meant, column] = name
        changed[field.name] = frame
    log = replace(log, **changed)
    return log, review(log, client="N-01")


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_names_print_as_text_or_are_replaced_with_a_remark(sample_logs: Path, kind: str) -> None:
    log, found = hostile(sample_logs, kind)
    note = HOSTILE[kind] * 3
    for reader in READERS:
        options = SheetOptions(reader=reader, paper="letter", notes=(note[:LONGEST_NOTE],) * MOST_NOTES)
        page = make_sheet(log, found, options)
        pdf = PdfReader(io.BytesIO(page.pdf()))
        assert len(pdf.pages) == 1
        text = told(pdf)
        assert ("cannot be printed" in text) == (kind == "emoji and controls")
        if kind in PRINTS:
            assert HOSTILE[kind][:24] in text.replace("\n", " ")
        if kind == "emoji and controls":
            assert f"emoji {STAND_IN * 4}" in text
            assert "reversed" in text


@pytest.mark.parametrize("reader", READERS)
def test_the_longest_own_words_have_room_on_the_fullest_page(sample_logs: Path, reader: Reader) -> None:
    log, found = read_log(sample_logs / "K-07"), reviewed(sample_logs, "K-07")
    flare = "\n".join(["Rest that day and tell me how it feels, please. " * 2] * 5)[:LONGEST_FLARE]
    options = SheetOptions(
        reader=reader, paper="letter", notes=("Word " * (LONGEST_NOTE // 5),) * MOST_NOTES, flare=flare
    )
    page = make_sheet(log, found, options)
    text = told(PdfReader(io.BytesIO(page.pdf())))
    assert text.count("Word") == MOST_NOTES * (LONGEST_NOTE // 5)
    assert page.left_out in text
    assert page.left_out.startswith("Left out to keep to one page: ")
