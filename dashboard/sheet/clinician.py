"""The page for a clinician or a coach: numbers with intervals and counts (layer: sheet)."""

from __future__ import annotations

import datetime as dt
from typing import Final

from analysis.derive import derive_sets
from analysis.questions.changes import MonthEvent, logged_events, made_changes
from analysis.results import PainLine
from analysis.results_trend import PainTrend
from dashboard.sheet.content import Content, Item, Part, SheetOptions, ranked
from dashboard.sheet.leading import Facts
from dashboard.sheet.pictures import Picture
from dashboard.sheet.shared_parts import notes_part, read_first_part, stop_signs_part
from dashboard.wording.care import READ_FIRST, care_sentences
from dashboard.wording.line_names import line_name
from dashboard.wording.pain_line import chance_sentences
from dashboard.wording.proposal import proposal_heading, recent
from dashboard.wording.sheet import next_day_words, sheet_title, who_clinician
from dashboard.wording.sheet_clinician import (
    CAUTION,
    LINE_COLUMNS,
    LINE_WIDTHS,
    LINES_GUIDE,
    apart_heading,
    apart_sentences,
    changed_sentences,
    effect_sentences,
    finding_sentences,
    limits_on_file,
    line_cells,
    method_sentence,
    not_told,
    told_lines,
)
from dashboard.wording.sheet_next import NEXT_COUNTS, next_sentences
from dashboard.wording.sides import not_yet, side_sentences, sides_heading
from dashboard.wording.stop_signs import DEFER
from dashboard.wording.trend import client_sentences, moved_sentences

READER: Final = "clinician"
CHANGES_DAYS = 56
LINE = ("line", "lines")
CHANGE = ("change", "changes")
EXERCISE = ("exercise of the next session", "exercises of the next session")
COMPARISON = ("comparison of sides", "comparisons of sides")
PICTURE = ("picture", "pictures")


def clinician_content(facts: Facts, options: SheetOptions, picture: Picture | None) -> Content:
    """Everything the page may hold, with what goes first when there is no room."""
    found = facts.found
    fit = found.fit
    counts = (fit.n_sessions, fit.n_sets, fit.n_asked)
    parts = (
        read_first_part("Read this first", care_sentences(found.care), READ_FIRST),
        _lines(facts),
        _picture(facts, picture),
        _brings_it_on(facts),
        _moved(facts),
        _changed(facts),
        _sides(facts),
        _next(facts),
        _limits(facts),
        notes_part("Of the coach", options),
        _method(facts),
        stop_signs_part(facts),
    )
    return Content(
        reader=READER,
        title=sheet_title(READER, facts.last),
        about=f"Training records and estimates of {facts.own.client} up to {facts.last}",
        who=(who_clinician(facts.own, facts.first, facts.last, counts, fit.share_of_zeros),),
        beside=next_day_words(options.next_day) if options.next_day else "",
        parts=parts,
        foot=(DEFER, CAUTION),
    )


def _lines(facts: Facts) -> Part:
    rows = told_lines(facts.rows)
    cells = tuple(line_cells(row) for row in rows)
    items = (*ranked(cells[:3], first=0, step=1), *ranked(cells[3:], first=18, step=5))
    return Part(
        name="lines",
        kind="table",
        heading="Where pain comes back",
        columns=LINE_COLUMNS,
        widths=LINE_WIDTHS,
        strong=1,
        items=items,
        noun=LINE,
        after=f"{LINES_GUIDE} {not_told(facts.rows)}".strip(),
        place="top",
    )


def _picture(facts: Facts, picture: Picture | None) -> Part:
    answer = facts.leading.answer
    chances = " ".join(chance_sentences(answer)) if isinstance(answer, PainLine) else ""
    return Part(
        name="picture",
        kind="picture",
        heading=line_name(facts.leading.key),
        items=() if picture is None else (Item(text=picture.svg, rank=5),),
        alt="" if picture is None else picture.words,
        noun=PICTURE,
        after=f"Filled: hurt. Hollow: did not. Band: the line week by week, 80 %. {chances}".strip(),
    )


def _brings_it_on(facts: Facts) -> Part:
    effects = facts.found.effects
    return Part(
        name="brings_it_on",
        kind="list",
        heading=apart_heading(effects),
        items=(
            *ranked(apart_sentences(effects), first=0, step=1),
            *ranked(effect_sentences(effects), first=12, step=6),
        ),
        noun=("change that goes with pain", "changes that go with pain"),
    )


def _moved(facts: Facts) -> Part:
    unit = facts.leading.tried.unit
    line = moved_sentences(facts.found.trend, facts.leading.key, unit)
    client = client_sentences(facts.found.trend, unit)
    return Part(
        name="moved",
        kind="list",
        heading=f"Has it moved? {line_name(facts.leading.key)}",
        items=(
            *ranked(line[:2], first=2, step=1),
            *ranked(line[2:], first=7, step=3),
            *ranked(client[:1] if isinstance(facts.found.trend.trend, PainTrend) else (), first=32),
            *ranked(client[1:2], first=0),
            *ranked(client[2:], first=9, step=8),
        ),
    )


def _changed(facts: Facts) -> Part:
    texts = changed_sentences(_events(facts), facts.leading.tried.unit)
    return Part(
        name="changed",
        kind="list",
        heading="What was changed in eight weeks",
        items=ranked(texts, first=6, step=4),
        noun=CHANGE,
    )


def _events(facts: Facts) -> tuple[MonthEvent, ...]:
    """What was logged and what was changed on the leading line in the last weeks."""
    client, last = facts.own.client, facts.last
    since = last - dt.timedelta(days=CHANGES_DAYS - 1)
    sets = derive_sets(facts.log, client, as_of=last)
    return (
        *logged_events(facts.log, client, since, last),
        *made_changes(sets, facts.leading.key, since, last),
    )


def _sides(facts: Facts) -> Part:
    rows = facts.found.sides
    told = side_sentences(rows, {})
    missing = not_yet(rows) if rows else ()
    return Part(
        name="sides",
        kind="list",
        heading=sides_heading(rows),
        items=(*ranked(told, first=8, step=6), *ranked(missing, first=70, step=10)),
        noun=COMPARISON,
    )


def _next(facts: Facts) -> Part:
    shown = recent(facts.found.proposals)
    return Part(
        name="next",
        kind="list",
        heading=proposal_heading(shown),
        items=ranked(next_sentences(shown), first=15, step=5),
        noun=EXERCISE,
        after=NEXT_COUNTS if shown else "",
    )


def _limits(facts: Facts) -> Part:
    texts = limits_on_file(facts.own, facts.found.proposals)
    return Part(
        name="limits",
        kind="list",
        heading="Limits",
        items=(*ranked(texts[:4], first=0, step=0), *ranked(texts[4:], first=26, step=6)),
        noun=("limit", "limits"),
    )


def _method(facts: Facts) -> Part:
    findings = finding_sentences(facts.found.fit)
    return Part(
        name="method",
        kind="paragraphs",
        heading="How this was computed",
        items=(
            Item(text=method_sentence(facts.found.fit, facts.leading)),
            *ranked(findings, first=11, step=9),
        ),
        noun=("finding", "findings"),
    )
