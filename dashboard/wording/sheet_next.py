"""What the trainee tries next, leaves for now and does in a flare, in plain words (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Estimate, LineRow, PainLine, Withheld
from analysis.results_care import CareEntry
from analysis.results_harder import CriterionName, HarderRow, HarderStep
from analysis.results_proposal import Proposal
from analysis.results_sides import SideRow
from dashboard.wording.care import care_sentences
from dashboard.wording.line_names import exercise_name, line_name
from dashboard.wording.numbers import (
    counted,
    counted_as,
    estimate_words,
    half_up,
    load_words,
    of_ten,
    of_ten_range,
)
from dashboard.wording.proposal import recent
from dashboard.wording.sides import known_loads, loads_words, lower_side, side_name

SIDE_WORDS = {"left": "Left", "midline": "Middle", "right": "Right"}
FLARE = "A flare is pain clearly above your usual, two mornings in a row."
COMMON_PRACTICE = "Common practice; your coach may change it."
FIRST: dict[CriterionName, str] = {
    "limits": "a limit that allows it",
    "reps": "your full reps twice in a row",
    "reserve": "sets that end with reps left in you",
    "pain during": "less pain in the sets you do now",
    "next morning": "usual mornings after",
    "compensation": "sets without dodging",
    "pain line": "a higher weight that does not hurt",
    "last trial": "a good next morning after the last try",
}
"""What comes before a harder variant, in plain words."""
MARKS = "Filled marks: sets that hurt. Hollow: did not."
LEAVE_UNTIL = (
    "What would change this: the weight below does not hurt at full reps, and the next morning is as usual."
)
NEXT_COUNTS = "In brackets: of 10 sets like it, how many would hurt."
NEXT_GUIDE = f"A plan to talk over, not an order. {NEXT_COUNTS}"


def read_first_trainee(entries: Sequence[CareEntry]) -> tuple[str, ...]:
    """What was logged lately that asks for care, said to the trainee."""
    return tuple(
        text.replace("pain woke the client that night", "pain woke you that night")
        for text in care_sentences(entries)
    )


def next_columns(proposals: Sequence[Proposal]) -> tuple[str, ...]:
    """Headings of the table of the next session: one column for each side there is."""
    there = {one.key.side for one in recent(proposals)}
    return ("Exercise", *(words for side, words in SIDE_WORDS.items() if side in there))


def next_rows(proposals: Sequence[Proposal]) -> tuple[tuple[str, ...], ...]:
    """One row an exercise and variant: what each side tries."""
    together: dict[tuple[str, str], dict[str, Proposal]] = {}
    shown = recent(proposals)
    for one in shown:
        sides = together.setdefault((one.key.exercise, one.key.variant), {})
        if one.key.side not in sides or one.key.works in (one.key.side, "both"):
            sides[one.key.side] = one
    there = [side for side in SIDE_WORDS if any(one.key.side == side for one in shown)]
    return tuple(
        (
            _capital(exercise_name(*name)),
            *(next_words(sides[side]) if side in sides else "" for side in there),
        )
        for name, sides in together.items()
    )


def next_sentences(proposals: Sequence[Proposal]) -> tuple[str, ...]:
    """The same in sentences: ``Step-down: left 8 kg (fewer than 1), right 12 kg, lighter (about 1).``"""
    _, *sides = next_columns(proposals)
    return tuple(
        f"{name}: {'; '.join(f'{side.lower()} {cell}' for side, cell in zip(sides, cells, strict=True) if cell)}."
        for name, *cells in next_rows(proposals)
    )


def next_words(one: Proposal) -> str:
    """``12 kg, lighter (about 1)``: the weight, how it differs from last time, of 10 how many would hurt."""
    if one.action == "leave_out":
        return "leave out"
    if one.action == "stop_today":
        return "stop for today"
    if one.load_kg is None:
        return "as last time" if one.condition is None else f"as last time: {one.condition.label}"
    way = {"up": ", up", "lighter": ", lighter"}.get(one.action, "")
    text = f"{load_words(one.load_kg, one.tried.unit)}{way}"
    if isinstance(one.predicted, Estimate):
        count = of_ten(one.predicted.value)
        text += f" ({count if count == 'fewer than 1' else f'about {count}'})"
    return text


def line_caption(row: LineRow) -> str:
    """What the picture shows, with the one sentence that says what 2 of 10 means."""
    name, answer = line_name(row.key), row.answer
    if not isinstance(answer, PainLine):
        return f"{name}. {MARKS} It is too early to say where pain comes back."
    if answer.status != "reached" or answer.load_kg is None:
        return f"{name}. {MARKS} At the right: how many of 10 would hurt."
    number, _, ends = estimate_words(
        answer.load_kg, answer.low_kg, answer.high_kg, answer.tried.unit
    ).partition(" (")
    could_be = f" It could be {ends.removesuffix(')')}." if ends else ""
    return (
        f"{name}: of 10 sets like this one at {number}{counted_as(answer.tried.load_basis)}, about"
        f" {half_up(answer.chance * 10)} would hurt.{could_be} {MARKS}"
    )


def leave_sentence(row: LineRow, load_kg: float, chance: Estimate | Withheld) -> str:
    """``Step-down, left: 12 kg and more. Of 10 sets at 12 kg about 5 would hurt (3 to 6).``"""
    unit = row.tried.unit
    load = load_words(load_kg, unit)
    text = f"{line_name(row.key)}: {load} and more."
    if isinstance(chance, Estimate):
        count = of_ten(chance.value)
        about = "" if count in ("fewer than 1", "nearly all") else "about "
        text += f" Of 10 sets at {load}, {about}{count} would hurt ({of_ten_range(chance.low, chance.high)})."
    return text


def limit_sentences(proposals: Sequence[Proposal]) -> tuple[str, ...]:
    """What the limits on file allow, once each: ``Hip hinge: no more than 80 kg (set by physiotherapist).``

    Variants of an exercise with the same limit are told as the exercise.
    """
    told: dict[tuple[str, str], list[str]] = {}
    for one in proposals:
        if words := _limit_words(one):
            variants = told.setdefault((one.key.exercise, words), [])
            if one.key.variant not in variants:
                variants.append(one.key.variant)
    return tuple(
        f"{_capital(exercise if len(variants) > 1 else exercise_name(exercise, variants[0]))}: {words}."
        for (exercise, words), variants in told.items()
    )


def _limit_words(one: Proposal) -> str:
    """``no more than 80 kg and no further than parallel (set by physiotherapist)``; empty for no limit."""
    limit = one.limit
    if limit is None:
        return ""
    parts = ["leave it out"] if limit.leave_out else []
    if not parts and limit.max_load_kg is not None:
        parts.append(f"no more than {load_words(limit.max_load_kg, one.tried.unit)}")
    if not limit.leave_out and limit.max_range_stop is not None:
        parts.append(f"no further than {limit.max_range_stop}")
    by = f" (set by {limit.by})" if limit.by else ""
    return f"{' and '.join(parts)}{by}" if parts else ""


def harder_to_leave(rows: Sequence[HarderRow]) -> tuple[str, ...]:
    """Harder variants that are not due yet, each with what comes first; sides with the same reason together."""
    together: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        step = row.answer
        if isinstance(step, HarderStep) and step.decision == "not yet" and step.first_reason is not None:
            name = f"{_capital(row.exercise)}, {step.next_variant}"
            together.setdefault((name, FIRST[step.first_reason.name]), []).append(row.works)
    return tuple(
        f"{name}{'' if len(sides) > 1 or sides[0] == 'both' else f', {sides[0]}'}: not yet, first {first}."
        for (name, first), sides in together.items()
    )


def flare_steps(settings: ProposalSettings) -> tuple[str, ...]:
    """What to do in a flare, one step each; common practice until the coach writes other words."""
    share = half_up(settings.restart_share * 100)
    quiet = counted(settings.sessions_back, "session")
    return (
        "Leave the movement that hurts for that day. Do what does not hurt.",
        f"Next time start at about {share} % of the last weight that did not hurt. Go back up after {quiet}"
        " without hurting and with usual mornings.",
        "Write down each morning's pain. Tell your coach.",
    )


def sides_plain(rows: Sequence[SideRow]) -> tuple[str, ...]:
    """``Step-down: your left takes 10 kg, your right 14 kg, before 2 of 10 sets would hurt.``"""
    told = []
    for key, load in known_loads(rows):
        left, _, right = loads_words(load).partition(" of ")
        side = lower_side(load)
        less = "not clear which takes less" if side is None else f"the {side} takes less"
        told.append(
            f"{side_name(key)}: {left} {load.left.tried.unit} on the left, {right} on the right; {less}."
        )
    return tuple(told)


def sides_plain_heading(rows: Sequence[SideRow]) -> str:
    """``My two sides: the left takes less in 6 of 6``."""
    lower = [lower_side(load) for _, load in known_loads(rows)]
    if not lower:
        return "My two sides: too early to tell"
    left, right = lower.count("left"), lower.count("right")
    if left and right:
        return f"My two sides: left takes less in {left}, right in {right} of {len(lower)}"
    if left or right:
        return (
            f"My two sides: the {'left' if left else 'right'} takes less in {left or right} of {len(lower)}"
        )
    return "My two sides: no clear difference"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
