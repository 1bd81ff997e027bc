"""What the next session can try, as sentences: heading, one line each, other changes, the way back (layer: wording)."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import replace

from analysis.results import Estimate, Setting, Withheld
from analysis.results_proposal import Hold, OtherChange, Proposal
from dashboard.wording.line_names import STANDARD, line_name
from dashboard.wording.numbers import (
    counted_as,
    day_words,
    half_up,
    in_unit,
    load_words,
    of_ten,
    of_ten_range,
    plain_load,
    short_day,
)

RECENT_DAYS = 21
"""Lines done within so many days stand first; the others are folded (common practice)."""
CANNOT_SAY = "cannot_say_yet"
"""The chance says that already."""
COUNT_WORDS = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_ISO_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def recent(proposals: Sequence[Proposal]) -> tuple[Proposal, ...]:
    """Proposals of lines done lately, in the order given; all of them where none was."""
    near = tuple(one for one in proposals if (one.day - one.last_day).days <= RECENT_DAYS)
    return near or tuple(proposals)


def proposal_heading(proposals: Sequence[Proposal], *, asks_first: bool = False) -> str:
    """``Next session: one up, hold seven, two lighter``, at most 60 characters; ``Ask first; then ...`` where due."""
    count = {action: sum(one.action == action for one in proposals) for action in ACTIONS}
    parts = [words.format(_count_word(count[action])) for action, words in ACTIONS.items() if count[action]]
    if not parts:
        return "Nothing to propose yet"
    return (
        f"{'Ask first; then' if asks_first else 'Next session'}{'' if asks_first else ':'} {', '.join(parts)}"
    )


ACTIONS = {
    "up": "{} up",
    "hold": "hold {}",
    "lighter": "{} lighter",
    "leave_out": "leave out {}",
    "stop_today": "stop {}",
}


def proposal_evidence(proposals: Sequence[Proposal], day: dt.date) -> str:
    """What the proposals rest on, and that the coach decides."""
    dial = proposals[0].may_hurt if proposals else 0.2
    level = proposals[0].level if proposals else 2
    return (
        f"For {day_words(day)}: the heaviest load at which {half_up(dial * 10)} of 10 sets may hurt ({level} or more"
        " of 10), at most one step above a load that was quiet in the last three weeks. A suggestion to weigh:"
        " a limit of a clinician comes first, and so does what you see."
    )


def short_words(one: Proposal) -> tuple[str, str]:
    """What stands beside a ruler: what to do, then the chance and the most binding reason."""
    unit = one.tried.unit
    chance = chance_words(one)
    if one.load_kg is None:
        seen = "" if one.condition is None else f"quiet {_quiet_of(one)}"
        what = {"leave_out": "Leave out", "stop_today": "Stop for today"}.get(one.action)
        label = one.condition.label if one.condition is not None else "as last time"
        return what or f"As last time: {label}", reason_words(one) if what else seen or chance
    load = load_words(one.load_kg, unit)
    what = {"up": "Up to", "lighter": "Lighter:"}.get(one.action, "Hold")
    return f"{what} {load}", "; ".join(part for part in (chance, reason_words(one)) if part)


def chance_words(one: Proposal) -> str:
    """``about 1 of 10 would hurt (0 to 2)``; the reason where it cannot be said."""
    if not isinstance(one.predicted, Estimate):
        reason = one.predicted.reason.rstrip(".")
        return reason[:1].lower() + reason[1:]
    count = of_ten(one.predicted.value)
    about = "" if count == "fewer than 1" else "about "
    ends = of_ten_range(one.predicted.low, one.predicted.high)
    return f"{about}{count} of 10 would hurt ({ends})"


def reason_words(one: Proposal) -> str:
    """The most binding reason in the client's own terms; empty where the load goes up or too little was asked.

    Where nothing but what is not logged yet holds the load, what it would be is said.
    """
    first = one.holds[0] if one.holds else None
    if first is None or first.code == CANNOT_SAY:
        return ""
    if not _free_load(one) or one.if_cleared_kg is None:
        return hold_words(first, one)
    reps = f"{one.first_reps} reps, then " if one.first_reps is not None else ""
    return f"{hold_words(first, one)}; then {reps}{load_words(one.if_cleared_kg, one.tried.unit)}"


def hold_words(hold: Hold, one: Proposal) -> str:
    """One reason with loads in the client's unit and dates as people write them."""
    if hold.code == "reps_first" and one.quiet_kg is not None and one.step_kg is not None:
        unit = one.tried.unit
        up, now = plain_load(one.quiet_kg + one.step_kg, unit), load_words(one.quiet_kg, unit)
        share = half_up(100 * (one.step_share or 0.0))
        return f"{up} is {share} % above {now}: first {one.first_reps} reps at {now}"
    return _with_days(hold.reason)


def proposal_sentences(one: Proposal) -> tuple[str, ...]:
    """Everything about one proposal: name and load, chance, every reason with its remedy, the way back, reference."""
    what = short_words(one)[0]
    where = counted_as(one.tried.load_basis) if one.load_kg is not None else ""
    lines = [f"{what}{where}. {_capital(chance_words(one))}." if one.load_kg is not None else f"{what}."]
    for hold in one.holds:
        if hold.code == CANNOT_SAY:
            continue
        remedy = f" {_with_days(hold.remedy)}" if hold.remedy else ""
        lines.append(f"{_capital(hold_words(hold, one))}.{remedy}")
    lines += [line for line in (_cleared(one), _way_back(one), _seen(one), _reference(one)) if line]
    changes = [change for change in one.other_changes if change.kind != "load"]
    if changes:
        intro = (
            "Instead of last time's load"
            if one.action == "lighter"
            else "At the same load, one thing at a time"
        )
        lines.append(f"{intro}: {'; '.join(change_words(change, one) for change in changes)}.")
    return tuple(lines)


def change_words(change: OtherChange, one: Proposal) -> str:
    """``lowering 4 s at 14 kg, about 1 of 10 would hurt (0 to 2), 48 s under tension``."""
    at, unit = change.at, one.tried.unit
    load = load_words(change.load_kg, unit)
    match change.kind:
        case "load":
            what = load
        case "lowering":
            what = f"lowering {_short(at.lowering_s)} s at {load}"
        case "pause":
            what = f"pauses {_short(at.pause_s)} s at {load}"
        case "reps":
            what = f"{_short(at.reps)} reps at {load}"
        case "range":
            to = f"to {at.range_stop}" if at.range_stop else f"{_short(at.rom_pct)} % of the range"
            what = f"{to} at {load}"
        case _:
            name = "the standard variant" if change.variant == STANDARD else f"the variant {change.variant}"
            what = f"{name} at {load}"
    count = of_ten(change.predicted_chance)
    about = "" if count == "fewer than 1" else "about "
    parts = [what, f"{about}{count} of 10 would hurt ({of_ten_range(change.low, change.high)})"]
    parts += [dose for dose in (_tension(change), _volume(change, unit)) if dose]
    return ", ".join(parts)


def _tension(change: OtherChange) -> str:
    if change.time_under_tension_s is None or change.tension_share in (None, 1.0):
        return ""
    return f"{half_up(change.time_under_tension_s)} s under tension a set"


def _volume(change: OtherChange, unit: str) -> str:
    if change.volume_kg is None or change.volume_share is None or abs(change.volume_share - 1.0) < 0.005:
        return ""
    apart = half_up(100 * abs(change.volume_share - 1.0))
    more = "more" if change.volume_share > 1.0 else "less"
    return f"{plain_load(change.volume_kg, unit)} {unit} moved a set, {apart} % {more}"


def _cleared(one: Proposal) -> str:
    """What the chance alone would allow, where only missing records hold the load."""
    there = _free_load(one)
    return f"Once that is logged and as it should be: {there}." if there else ""


def _free_load(one: Proposal) -> str:
    """The load once what is missing is logged; empty where something else holds it."""
    waiting = {"next_morning_not_logged", "target_not_logged", "reserve_not_logged"}
    free = (
        one.if_cleared_kg is not None and one.load_kg is not None and one.if_cleared_kg > one.load_kg + 1e-6
    )
    if not free or one.if_cleared_kg is None or not {hold.code for hold in one.holds} <= waiting:
        return ""
    unit = one.tried.unit
    there = load_words(one.if_cleared_kg, unit)
    if one.first_reps is not None and one.quiet_kg is not None and one.if_cleared_kg > one.quiet_kg + 1e-6:
        there = f"first {one.first_reps} reps at {load_words(one.quiet_kg, unit)}, then {there}"
    return there


def _way_back(one: Proposal) -> str:
    back = one.way_back
    if back is None or back.last_quiet_kg is None:
        return ""
    what = "flare" if back.kind == "flare" else "break"
    quiet = load_words(back.last_quiet_kg, one.tried.unit)
    since = (
        "" if back.quiet_since_kg is None else f", up to {load_words(back.quiet_since_kg, one.tried.unit)}"
    )
    return f"Last quiet before the {what}: {quiet}; {back.n_quiet} of {back.n_needed} quiet sessions since{since}."


def _seen(one: Proposal) -> str:
    if one.condition is None:
        return ""
    return f"{_capital(one.condition.label)}: quiet {_quiet_of(one)} in twelve weeks. {_capital(chance_words(one))}."


def _reference(one: Proposal) -> str:
    """ACSM 2009 and two-for-two, for reference only."""
    told = isinstance(one.predicted, Estimate) and one.action in ("up", "hold")
    if one.acsm_kg is None or one.step_share is None or not told:
        return ""
    unit = one.tried.unit
    two = {True: "met", False: "not met", None: "not logged"}[one.two_for_two]
    low, high = (_short(in_unit(load, unit)) for load in one.acsm_kg)
    return (
        f"For reference, common practice: 2 to 10 % more would be {low} to {high} {unit};"
        f" one step is {half_up(100 * one.step_share)} %; two reps over target twice running: {two}."
    )


def what_if_words(found: Estimate | Withheld, load_kg: float, one: Proposal, at: Setting) -> str:
    """``Step-down, left, 14 kg, 8 reps, lowering 4 s: about 1 of 10 would hurt (0 to 2).``"""
    if not isinstance(found, Estimate):
        return f"{found.reason} {found.remedy}"
    seen = [one.tried.lightest_kg, one.tried.heaviest_kg]
    beyond = any(load is not None for load in seen) and not (
        (seen[0] or 0.0) - 1e-6 <= load_kg <= (seen[1] or 0.0) + 1e-6
    )
    far = " Outside the loads tried lately, so less sure than it looks." if beyond else ""
    how = [load_words(load_kg, one.tried.unit)]
    how += [] if at.reps is None else [f"{_short(at.reps)} reps"]
    how += [] if at.lowering_s is None else [f"lowering {_short(at.lowering_s)} s"]
    chance = chance_words(replace(one, predicted=found))
    return f"{line_name(one.key)}, {', '.join(how)}: {chance}.{far}"


def chart_description(proposals: Sequence[Proposal]) -> str:
    """The rulers in words, for those who hear them."""
    return " ".join(f"{line_name(one.key)}: {'; '.join(short_words(one))}." for one in proposals)


def _quiet_of(one: Proposal) -> str:
    assert one.condition is not None
    return f"{one.condition.n_asked - one.condition.n_painful} of {one.condition.n_asked}"


def _count_word(count: int) -> str:
    return COUNT_WORDS[count] if count < len(COUNT_WORDS) else str(count)


def _with_days(text: str) -> str:
    return _ISO_DAY.sub(lambda found: short_day(dt.date.fromisoformat(found.group())), text)


def _short(value: float | None) -> str:
    return "" if value is None else half_up(value, 1).removesuffix(".0")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
