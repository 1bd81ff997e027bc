"""Three sentences about a month and the labels of its events (layer: wording)."""

from __future__ import annotations

from analysis.questions.changes import MonthEvent
from analysis.questions.month import Month
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import counted, half_up, load_words, month_words, percent, short_day


def month_heading(month: Month) -> str:
    """``September 2026: 13 sessions, 9 of 140 sets hurt``, at most 60 characters."""
    return (
        f"{month_words(month.month)}: {counted(month.n_sessions, 'session')},"
        f" {month.n_painful} of {counted(month.n_asked, 'set')} hurt"
    )


def month_evidence(month: Month) -> str:
    """What was logged and how much of it was asked."""
    if month.n_sets == 0:
        return "No sets were logged in this month."
    parts = [
        f"{counted(month.n_sets, 'set')} logged, {percent(month.n_asked / month.n_sets)} asked about pain;"
        f" hurt means {month.pain_level} or more of 10."
    ]
    if month.share_of_zeros is not None:
        parts.append(f"{percent(month.share_of_zeros)} of the scores are 0.")
    if month.mornings:
        parts.append(f"Mornings logged on {counted(len(month.mornings), 'day')}.")
    parts += [
        f"No session for {gap.n_days} days, {short_day(gap.first)} to {short_day(gap.last)}."
        for gap in month.gaps
    ]
    return " ".join(parts)


def month_sentences(month: Month) -> tuple[str, str, str]:
    """Load and pain of the line drawn; the heaviest quiet load against the month before; mornings."""
    return _load_sentence(month), _quiet_sentence(month), _morning_sentence(month)


def _load_sentence(month: Month) -> str:
    if month.key is None:
        return "No set was asked about pain in this month."
    name = line_name(month.key)
    asked = sum(one.n_asked for one in month.sessions)
    painful = sum(one.n_painful for one in month.sessions)
    worst = max(one.worst for one in month.sessions)
    seen = f"{painful} of {counted(asked, 'set')} hurt, worst {worst}"
    loads = [one.load_kg for one in month.sessions if one.load_kg is not None]
    if not loads:
        return f"{name}: no load to set, {seen}."
    if loads[0] == loads[-1]:
        there = (
            ""
            if max(loads) == min(loads)
            else f" (between {load_words(min(loads), month.unit)} and {load_words(max(loads), month.unit)})"
        )
        return f"{name}: {load_words(loads[0], month.unit)} first and last{there}, {seen}."
    return f"{name}: from {load_words(loads[0], month.unit)} to {load_words(loads[-1], month.unit)}, {seen}."


def _quiet_sentence(month: Month) -> str:
    if month.key is None:
        return "No load was quiet on two days."
    now, before = month.quiet_twice_kg, month.quiet_twice_before_kg
    if now is None:
        text = "No load was quiet on two days"
    else:
        text = f"Heaviest load quiet on two days: {load_words(now, month.unit)}"
    if before is None:
        return f"{text}; nothing to compare it with in the month before."
    return f"{text}; {load_words(before, month.unit)} in the month before."


def _morning_sentence(month: Month) -> str:
    if not month.mornings:
        return "Mornings were not logged, so what a session left behind is not known."
    up = sum(one.up for one in month.mornings)
    known = sum(one.usual is not None for one in month.mornings)
    worst = max(month.mornings, key=lambda one: one.pain)
    flares = ", ".join(short_day(day) for day in month.flares)
    flare = f"A flare began on {flares}." if month.flares else "No flare."
    if known == 0:
        return f"Mornings: worst {worst.pain} on {short_day(worst.day)}; too few before to know the usual."
    return (
        f"Mornings: {up} of {known} at least 2 above usual, worst {worst.pain} on {short_day(worst.day)}."
        f" {flare}"
    )


def event_label(event: MonthEvent, unit: str) -> str:
    """A few words for the rule of an event: ``first at 14 kg``, ``lowering 3 to 5 s``, ``away``."""
    match event.kind:
        case "heaviest" if event.value is not None:
            return f"first at {load_words(event.value, unit)}"
        case "lowering" if event.value is not None and event.before is not None:
            return f"lowering {half_up(event.before)} to {half_up(event.value)} s"
        case "variant":
            return f"new variant: {event.event}"
        case _:
            return (event.note or event.event).strip().rstrip(".")
