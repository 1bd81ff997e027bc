"""The page for the trainee: large type, plain words (layer: sheet)."""

from __future__ import annotations

from typing import Final

from analysis.questions.chance_of_pain import chance_of_pain
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Estimate, LineRow, PainLine
from dashboard.sheet.content import Content, Item, Part, SheetOptions, ranked
from dashboard.sheet.leading import Facts
from dashboard.sheet.pictures import Picture
from dashboard.sheet.shared_parts import notes_part, read_first_part, stop_signs_part
from dashboard.wording.numbers import equipment_above
from dashboard.wording.sheet import PLAIN_CAUTION, next_day_words, sheet_title, who_trainee
from dashboard.wording.sheet_better import (
    began_at_its_worst,
    better_facts,
    better_heading,
    can_do_now,
    fact_rows,
    stretch_words,
    unknown_words,
)
from dashboard.wording.sheet_next import (
    COMMON_PRACTICE,
    FLARE,
    LEAVE_UNTIL,
    NEXT_GUIDE,
    flare_steps,
    harder_to_leave,
    leave_sentence,
    limit_sentences,
    line_caption,
    next_columns,
    next_rows,
    read_first_trainee,
    sides_plain,
    sides_plain_heading,
)

READER: Final = "trainee"
TALK_FIRST = "Talk about this with your coach before the next session, and read the signs at the foot."
TRY_NEXT = "What can I try next time?"
AFTER_THE_TALK = "After that talk: what can I try next time?"
PICTURE = ("picture", "pictures")
EXERCISE = ("exercise", "exercises")
MOST_STEPS = 4
"""Steps of the equipment looked at above a line."""
COMPARISON = ("comparison of sides", "comparisons of sides")


def trainee_content(facts: Facts, options: SheetOptions, picture: Picture | None) -> Content:
    """Everything the page may hold, with what goes first when there is no room."""
    found = facts.found
    parts = (
        read_first_part("Read this first", read_first_trainee(found.care), TALK_FIRST),
        _better(facts),
        _picture(facts, picture),
        _next(facts),
        _can_do(facts),
        _leave(facts),
        _flare(options),
        _sides(facts),
        notes_part("From your coach", options),
        stop_signs_part(facts),
    )
    return Content(
        reader=READER,
        title=sheet_title(READER, facts.last),
        about=f"Training records and estimates of {facts.own.client} up to {facts.last}, in plain words",
        who=(who_trainee(facts.own, facts.first, facts.last, found.fit.n_sessions, found.fit.n_asked),),
        beside=next_day_words(options.next_day),
        parts=parts,
        foot=(PLAIN_CAUTION,),
    )


def _better(facts: Facts) -> Part:
    found, row = facts.found.trend, facts.told
    told = better_facts(found, row)
    after = (
        stretch_words(found, row.key),
        began_at_its_worst(found, row.key),
        *unknown_words(told),
    )
    rows = fact_rows(told)
    return Part(
        name="better",
        kind="table",
        heading=better_heading(told),
        columns=("What", "First weeks", "Last weeks", "Change"),
        strong=3,
        items=(
            *ranked(rows[:3], first=0, step=0),
            *ranked(rows[3:6], first=1, step=1),
            *ranked(rows[6:], first=30),
        ),
        noun=("fact", "facts"),
        after=" ".join(filter(None, after)),
        place="top",
    )


def _picture(facts: Facts, picture: Picture | None) -> Part:
    return Part(
        name="picture",
        kind="picture",
        heading="Where does pain come back?",
        items=() if picture is None else (Item(text=picture.svg, rank=6),),
        alt="" if picture is None else picture.words,
        intro=line_caption(facts.told),
        noun=PICTURE,
    )


def _next(facts: Facts) -> Part:
    rows = next_rows(facts.found.proposals)
    return Part(
        name="next",
        kind="table",
        heading=AFTER_THE_TALK if facts.found.care else TRY_NEXT,
        columns=next_columns(facts.found.proposals),
        items=(*ranked(rows[:2], first=1, step=1), *ranked(rows[2:], first=8, step=6)),
        noun=EXERCISE,
        after=NEXT_GUIDE,
        place="top",
    )


def _can_do(facts: Facts) -> Part:
    texts = can_do_now(facts.found.trend, facts.told)
    return Part(
        name="can_do",
        kind="list",
        heading="What can I do now that I could not?",
        items=ranked(texts, first=4, step=9),
        noun=("gain", "gains"),
    )


def _leave(facts: Facts) -> Part:
    limits = limit_sentences(facts.found.proposals)
    lines = tuple(leave_sentence(*one) for one in _too_heavy(facts))
    harder = harder_to_leave(facts.found.harder)
    items = (
        *ranked(limits[:3], first=0, step=0),
        *ranked(limits[3:], first=3, step=1),
        *ranked(lines[:1], first=2),
        *ranked(lines[1:], first=10, step=8),
        *ranked(harder, first=36, step=14),
    )
    return Part(
        name="leave",
        kind="list",
        heading="What to leave for now",
        items=items,
        noun=("thing to leave", "things to leave"),
        after=LEAVE_UNTIL if lines else "",
    )


def _too_heavy(facts: Facts) -> list[tuple[LineRow, float, Estimate]]:
    """For each line that is known the first weight to leave, and the chance there; most painful sets first."""
    told = []
    for row in sorted(facts.rows, key=lambda row: (-row.tried.n_painful, -row.tried.n_asked)):
        answer = row.answer
        if not isinstance(answer, PainLine) or answer.status != "reached" or answer.load_kg is None:
            continue
        told += [(row, load_kg, chance) for load_kg, chance in _first_above(facts, row, answer.load_kg)]
    return told


def _first_above(facts: Facts, row: LineRow, line_kg: float) -> list[tuple[float, Estimate]]:
    """The first weight above the line at which more of 10 sets would hurt than the line stands for."""
    tried, step = [one.load_kg for one in row.tried.loads], row.tried.load_step_kg
    above = equipment_above(line_kg, tried, step)
    for _ in range(MOST_STEPS):
        if above is None:
            return []
        chance = chance_of_pain(
            facts.found.fit,
            exercise=row.key.exercise,
            variant=row.key.variant,
            side=row.key.side,
            works=row.key.works,
            load_kg=above,
        )
        if isinstance(chance, Estimate) and 10.0 * chance.value >= 10.0 * row.chance + 0.5:
            return [(above, chance)]
        above = equipment_above(above, tried, step)
    return []


def _flare(options: SheetOptions) -> Part:
    own = tuple(line for line in (options.flare or "").splitlines() if line.strip())
    return Part(
        name="flare",
        kind="steps",
        heading="What to do if it flares",
        intro="" if own else FLARE,
        items=tuple(Item(text=step) for step in own or flare_steps(ProposalSettings())),
        after="" if own else COMMON_PRACTICE,
    )


def _sides(facts: Facts) -> Part:
    rows = facts.found.sides
    return Part(
        name="sides",
        kind="list",
        heading=sides_plain_heading(rows),
        items=ranked(sides_plain(rows), first=5, step=7),
        noun=COMPARISON,
    )
