"""The pain line as sentences: the heading, what was seen, the chances beside it (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.results import ChanceAtLoad, LineRow, PainLine, Tried, TriedLoad, Withheld
from dashboard.wording.line_names import done_otherwise, line_name, setting_words
from dashboard.wording.numbers import (
    between_words,
    counted,
    counted_as,
    day_words,
    equipment_below,
    estimate_words,
    half_up,
    load_words,
    of_ten,
    of_ten_range,
    plain_load,
)

HEADING_LENGTH = 60
STALE_DAYS = 21
"""A line not done for longer than this is said to be old (common practice)."""
_NEARLY = 1e-6


def pain_line_heading(row: LineRow) -> str:
    """The answer in at most 60 characters: the line's name, the number, its interval.

    A long name of an exercise is left to the line above the heading rather than cut.
    """
    name = line_name(row.key)
    spoken = answer_words(row)
    for text in (f"{name}: {spoken[0]}", f"{name}: {spoken[-1]}", *spoken):
        if len(text) <= HEADING_LENGTH:
            return _capital(text)
    return _capital(spoken[-1])


def answer_words(row: LineRow) -> tuple[str, ...]:
    """The answer without the name, fullest form first, shortest last."""
    answer = row.answer
    if isinstance(answer, Withheld):
        return ("cannot say yet",)
    count = f"{half_up(answer.chance * 10)} of 10"
    where = _in_hand(answer.tried)
    match answer.status:
        case "withheld":
            return ("cannot say yet",)
        case "reached" if answer.load_kg is not None:
            load = estimate_words(answer.load_kg, answer.low_kg, answer.high_kg, answer.tried.unit)
            short = f"{count} hurt at about {load}"
            number, _, interval = load.partition(" (")
            full = f"{count} sets would hurt at about {number}{where} ({interval}"
            return (full, f"{count} sets would hurt at about {load}", short)
        case "lower_only" if answer.low_kg is not None:
            floor = _floor_words(answer, answer.low_kg)
            return (
                f"pain line above {floor}{where}, upper end not known",
                f"line above {floor}, upper end not known",
            )
        case "above_tried":
            floor = _floor_words(answer, answer.low_kg)
            return _quiet_up_to(answer, floor, where, count)
        case "below_tried":
            lightest = answer.tried.lightest_kg
            if lightest is None:
                return ("hurts at everything tried",)
            return (
                f"hurts at everything tried, from {load_words(lightest, answer.tried.unit)}{where}",
                f"hurts at all tried, from {load_words(lightest, answer.tried.unit)}",
            )
        case "no_load":
            return _by_condition(answer)
        case _:
            return ("cannot say yet",)


def _quiet_up_to(answer: PainLine, floor: str, where: str, count: str) -> tuple[str, ...]:
    if answer.tried.n_painful == 0:
        return (f"quiet up to {floor}{where}", f"quiet up to {floor}")
    return (f"fewer than {count} sets hurt up to {floor}{where}", f"under {count} hurt up to {floor}")


def _by_condition(answer: PainLine) -> tuple[str, ...]:
    if not answer.conditions:
        return ("no load to set a line by",)
    worst = max(answer.conditions, key=lambda condition: condition.chance)
    if answer.tried.n_painful == 0:
        return (f"no load; quiet {answer.tried.n_asked} of {answer.tried.n_asked}",)
    numbers = f"{of_ten(worst.chance)} of 10 would hurt ({of_ten_range(worst.low, worst.high)})"
    return (f"{worst.label}, {numbers}", f"at worst {numbers}")


def _floor_words(answer: PainLine, low_kg: float | None) -> str:
    """A bound that stands alone, rounded down to what the equipment offers."""
    tried = [load.load_kg for load in answer.tried.loads]
    bound = low_kg if low_kg is not None else answer.tried.heaviest_kg
    if bound is None:
        return "the loads tried"
    return load_words(equipment_below(bound, tried, answer.tried.load_step_kg), answer.tried.unit)


def evidence_words(row: LineRow) -> str:
    """What stands behind the answer: what was seen around the line, the setting, how many sets."""
    parts: list[str] = []
    answer, tried = row.answer, row.tried
    if isinstance(answer, Withheld):
        parts.append(_sentence(answer.reason))
        parts.append(_sentence(answer.remedy))
        if tried.loads:
            seen = ", ".join(_painful_words(load, tried.unit) for load in tried.loads[-4:])
            parts.append(f"Seen so far: {seen}.")
        return " ".join(parts)
    if seen := seen_around(tried, answer.load_kg if answer.status == "reached" else None):
        parts.append(f"{seen}, counting all weeks and ways of doing it; the line is for now.")
    if answer.reason is not None:
        parts.append(_sentence(answer.reason))
    if answer.status == "reached" and answer.load_kg is not None:
        place = between_words(
            answer.load_kg,
            [load.load_kg for load in tried.loads],
            tried.load_step_kg,
            tried.unit,
            tried.load_basis,
        )
        if place:
            parts.append(f"The line falls {place}.")
    if setting := setting_words(answer.at):
        parts.append(f"For {setting}.")
    if otherwise := done_otherwise(answer):
        parts.append(f"The last set was done with {otherwise}: other than the usual, which this line is for.")
    parts.append(
        f"{counted(tried.n_asked, 'set')} asked in {counted(tried.n_sessions, 'session')},"
        f" {tried.n_painful} hurt at {answer.level} or more."
    )
    return " ".join(parts)


def painkiller_words(n_sets: int) -> str:
    """``8 more sets of painkiller days are shown and not counted.``; nothing without any."""
    if n_sets == 0:
        return ""
    verb = "is" if n_sets == 1 else "are"
    return f"{counted(n_sets, 'more set')} of painkiller days {verb} drawn and not counted."


def stale_words(tried: Tried, as_of: dt.date) -> str:
    """``Last done on 3 Aug 2026, 8 weeks before.`` where that is longer ago than a line keeps well."""
    if tried.last_date is None or (as_of - tried.last_date).days <= STALE_DAYS:
        return ""
    weeks = round((as_of - tried.last_date).days / 7)
    return f"Last done on {day_words(tried.last_date)}, {counted(weeks, 'week')} before: it may have moved since."


def seen_around(tried: Tried, line_kg: float | None) -> str:
    """``Quiet 8 of 8 at 12 kg, hurt 2 of 3 at 14 kg``: the tried loads just below and just above the line.

    Without a line: the heaviest load at which every set was quiet, and the next one at which a set hurt.
    """
    loads = tried.loads
    if not loads:
        return ""
    below: TriedLoad | None
    above: TriedLoad | None
    if line_kg is None:
        quiet = [load for load in loads if load.n_painful == 0 and load.n_asked > 0]
        below = quiet[-1] if quiet else None
        floor = below.load_kg if below else -1.0
        hurting = [load for load in loads if load.n_painful > 0]
        above = next((load for load in hurting if load.load_kg > floor), hurting[-1] if hurting else None)
    else:
        asked = [load for load in loads if load.n_asked > 0]
        below = next((load for load in reversed(asked) if load.load_kg <= line_kg + _NEARLY), None)
        above = next((load for load in asked if load.load_kg > line_kg + _NEARLY), None)
    parts = []
    if below is not None:
        parts.append(
            f"quiet {below.n_asked - below.n_painful} of {below.n_asked} at"
            f" {load_words(below.load_kg, tried.unit)}"
        )
    if above is not None:
        seen = f"hurt {above.n_painful}" if above.n_painful else f"quiet {above.n_asked}"
        parts.append(f"{seen} of {above.n_asked} at {load_words(above.load_kg, tried.unit)}")
    return _capital(", ".join(parts))


def chance_sentence(chance: ChanceAtLoad, *, where: str, unit: str, like: str = "like this one") -> str:
    """``At the last load, 12 kg: of 10 sets like this one, about 1 would hurt (1 to 2).``"""
    count = of_ten(chance.chance)
    about = "" if count == "fewer than 1" else "about "
    return (
        f"{where}, {load_words(chance.load_kg, unit)}: of 10 sets {like}, {about}{count} would hurt"
        f" ({of_ten_range(chance.low, chance.high)})."
    )


def chance_sentences(answer: PainLine) -> tuple[str, ...]:
    """The chance at the last load and at one step above it, a sentence each, as far as they are known."""
    unit = answer.tried.unit
    like = "done as usual" if done_otherwise(answer) else "like this one"
    sentences = []
    if answer.last is not None:
        sentences.append(chance_sentence(answer.last, where="At the last load", unit=unit, like=like))
    if answer.one_step_up is not None:
        sentences.append(chance_sentence(answer.one_step_up, where="One step up", unit=unit, like=like))
    return tuple(sentences)


def chart_words(row: LineRow) -> str:
    """The chart in words, for those who hear it."""
    seen = ", ".join(tried_words(row.tried.loads, row.tried.unit))
    panels = "Sets over dates at the left, chance of pain at the right."
    return f"{line_name(row.key)}: {answer_words(row)[0]}. {panels} {seen}."


def tried_words(loads: Sequence[TriedLoad], unit: str) -> tuple[str, ...]:
    """Per load what was seen, heaviest first: ``14 kg: 2 of 3 hurt``."""
    return tuple(
        f"{load_words(load.load_kg, unit)}: {load.n_painful} of {load.n_asked} hurt"
        for load in reversed(loads)
    )


def _painful_words(load: TriedLoad, unit: str) -> str:
    return f"{load.n_painful} of {load.n_asked} hurt at {plain_load(load.load_kg, unit)} {unit}"


def _in_hand(tried: Tried) -> str:
    return counted_as(tried.load_basis)


def _sentence(text: str) -> str:
    text = _capital(text.strip())
    return text if text.endswith((".", "?", "!")) else f"{text}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
