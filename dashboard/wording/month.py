"""A month in words: heading, evidence, the three sentences that matter, labels of events (layer: wording)."""

from __future__ import annotations

from analysis.questions.changes import MonthEvent
from analysis.questions.month import Month
from analysis.questions.month_moved import FEWEST_DAYS
from analysis.results import Withheld
from analysis.results_month import AskedSets, Gap, LoadAndPain, LoadRange
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import (
    counted,
    half_up,
    load_words,
    month_words,
    percent,
    plain_load,
    short_day,
)

EVEN_PAIN = 0.25
"""Mean pain closer than this many points is called the same (a setting)."""
LOAD_WORDS = {"up": "more load", "same": "the same load", "down": "less load"}
VERDICTS = {
    ("up", "even"): "more load at the same pain",
    ("up", "down"): "more load and less pain",
    ("up", "up"): "more load and more pain",
    ("same", "even"): "load and pain about the same",
    ("same", "down"): "less pain at about the same load",
    ("same", "up"): "more pain at about the same load",
    ("down", "even"): "less load at the same pain",
    ("down", "down"): "less load and less pain",
    ("down", "up"): "less load and more pain",
    (None, "even"): "the same pain",
    (None, "down"): "less pain",
    (None, "up"): "more pain",
}


def month_heading(month: Month) -> str:
    """``September 2026: 13 sessions, 9 of 140 sets hurt``, at most 60 characters."""
    return (
        f"{month_words(month.month)}: {counted(month.n_sessions, 'session')},"
        f" {month.n_painful} of {counted(month.n_asked, 'set')} hurt"
    )


def month_evidence(month: Month) -> str:
    """What was logged, how much of it was asked, and the gaps; zeros only beside the loads they were at."""
    if month.n_sets == 0:
        return "No sets were logged in this month."
    parts = [
        f"{counted(month.n_sets, 'set')} logged, {percent(month.n_asked / month.n_sets)} asked about pain;"
        f" hurt means {month.pain_level} or more of 10."
    ]
    loads = month.beside.loads
    if month.share_of_zeros is not None and not isinstance(loads, Withheld):
        parts.append(
            f"{percent(month.share_of_zeros)} of the scores are 0, at loads {change_words(loads.change)}"
            f" {before_name(month)}."
        )
    if month.mornings:
        parts.append(f"Mornings logged on {counted(len(month.mornings), 'day')}.")
    parts += [f"{gap_words(gap)}." for gap in month.gaps]
    return " ".join(parts)


def gap_words(gap: Gap) -> str:
    """``No session for 9 days, 5 Sep to 13 Sep, away``."""
    away = ", away" if gap.away else ""
    return (
        f"No session for {counted(gap.n_days, 'day')}, {short_day(gap.first)} to {short_day(gap.last)}{away}"
    )


def before_name(month: Month) -> str:
    """The month before, without its year: ``August``."""
    return month_words(month.beside.month_before).split()[0]


def change_words(change: float) -> str:
    """``22 % above``, ``5 % below`` or ``like those of``."""
    if abs(change) < 0.005:
        return "like those of"
    return f"{half_up(100.0 * abs(change))} % {'above' if change > 0 else 'below'} those of"


def month_sentences(month: Month) -> tuple[str, str, str]:
    """Load and pain against the month before; the sets that hurt and the heaviest quiet load; mornings."""
    return _progress_sentence(month), _pain_sentence(month), _morning_sentence(month)


def pain_state(moved: LoadAndPain) -> str:
    """``even``, ``up`` or ``down`` by more than ratings differ by themselves, else ``unclear``."""
    if abs(moved.pain_now - moved.pain_before) < EVEN_PAIN:
        return "even"
    return "unclear" if moved.pain_moved == "same" else moved.pain_moved


def verdict(moved: LoadAndPain) -> str:
    """Load and pain in one breath, as neither says anything without the other: ``more load at the same pain``."""
    state = pain_state(moved)
    if state != "unclear":
        return VERDICTS[moved.load_moved, state]
    unclear = "pain not clearly changed"
    return unclear if moved.load_moved is None else f"{LOAD_WORDS[moved.load_moved]}, {unclear}"


def _progress_sentence(month: Month) -> str:
    if month.key is None:
        return "No set was asked about pain in this month."
    name, moved = line_name(month.key), month.beside.load_and_pain
    if isinstance(moved, Withheld):
        few = "nothing of it" if month.beside.line_before is None else "too few days of it"
        here = _first_and_last(month)
        if month.beside.line_before is not None and len({one.day for one in month.sessions}) < FEWEST_DAYS:
            return f"{name}: {here}; too few days yet to compare with {before_name(month)}."
        return f"{name}: {here}; {few} in {before_name(month)} to compare with."
    error = ""
    if pain_state(moved) != "even":
        error = f"; ratings differ by {points_words(moved.detectable)} by themselves"
    pain = f"{points_words(moved.pain_before)}, now {points_words(moved.pain_now)} of 10{error}"
    if moved.load_before_kg is None or moved.load_now_kg is None:
        return f"{name}: {verdict(moved)}. The day's worst pain was {pain} (mean of days)."
    amount = "" if moved.load_moved == "same" else f" ({_signed_percent(moved.load_change)})"
    loads = [load_words(round(one, 1), month.unit) for one in (moved.load_before_kg, moved.load_now_kg)]
    return (
        f"{name}: {verdict(moved)}. On average the day's heaviest load was {loads[0]} in {before_name(month)},"
        f" now {loads[1]}{amount}, the day's worst pain {pain}."
    )


def _first_and_last(month: Month) -> str:
    loads = [one.load_kg for one in month.sessions if one.load_kg is not None]
    if not loads:
        return "no load to set"
    if loads[0] != loads[-1]:
        return f"from {load_words(loads[0], month.unit)} to {load_words(loads[-1], month.unit)}"
    if max(loads) == min(loads):
        return f"{load_words(loads[0], month.unit)} throughout"
    return (
        f"{load_words(loads[0], month.unit)} first and last, {load_span(min(loads), max(loads), month.unit)}"
    )


def _pain_sentence(month: Month) -> str:
    line, before = month.beside.line, month.beside.line_before
    if line is None or month.key is None:
        return "What hurt is not known."
    text = hurt_words(line.asked, month.unit)
    if before is not None and before.asked.n_asked:
        text += f"; in {before_name(month)} {hurt_words(before.asked, month.unit, short=True)}"
    if line.asked.loads is None:
        return f"{text[:1].upper()}{text[1:]}."
    quiet = [
        "none" if load is None else load_words(load, month.unit)
        for load in (month.quiet_twice_kg, month.quiet_twice_before_kg)
    ]
    then = "" if before is None else f", {quiet[1]} in {before_name(month)}"
    return f"{text[:1].upper()}{text[1:]}. Heaviest load quiet on two days: {quiet[0]}{then}."


def hurt_words(asked: AskedSets, unit: str, *, short: bool = False) -> str:
    """``3 of 11 sets hurt, at 3 to 4 kg, worst 3``; with none of them ``none of 11``, and the loads of all."""
    if not asked.n_asked:
        return "not asked"
    count = "none" if asked.n_painful == 0 else str(asked.n_painful)
    sets = str(asked.n_asked) if short else counted(asked.n_asked, "set")
    loads = asked.painful_loads if asked.n_painful else asked.loads
    at = "" if loads is None else f", at {range_words(loads, unit)}"
    worst = "all 0" if asked.worst == 0 else f"worst {asked.worst}"
    return f"{count} of {sets}{'' if short else ' hurt'}{at}, {worst}"


def range_words(loads: LoadRange, unit: str) -> str:
    """``3 to 4 kg``; one load by itself."""
    return load_span(loads.low_kg, loads.high_kg, unit)


def load_span(low_kg: float, high_kg: float, unit: str) -> str:
    """``3 to 4 kg``; one load by itself."""
    if plain_load(low_kg, unit) == plain_load(high_kg, unit):
        return load_words(low_kg, unit)
    return f"{plain_load(low_kg, unit)} to {load_words(high_kg, unit)}"


def points_words(value: float) -> str:
    """A mean score with one decimal where it needs one."""
    return half_up(value, 1).removesuffix(".0")


def _signed_percent(change: float | None) -> str:
    value = 100.0 * (change or 0.0)
    return f"{'up' if value > 0 else 'down'} {half_up(abs(value))} %"


def _morning_sentence(month: Month) -> str:
    if not month.mornings:
        return "Mornings were not logged, so what a session left behind is not known."
    now, before = month.beside.mornings, month.beside.mornings_before
    worst = max(month.mornings, key=lambda one: one.pain)
    if now.n_known == 0:
        return f"Mornings: worst {worst.pain} on {short_day(worst.day)}; too few before to know the usual."
    then = f", {before.n_up} of {before.n_known} in {before_name(month)}" if before.n_known else ""
    flares = ", ".join(short_day(day) for day in month.flares)
    flare = f"A flare began on {flares}." if month.flares else "No flare."
    return (
        f"Mornings: {now.n_up} of {now.n_known} at least 2 above usual{then}, worst {worst.pain} on"
        f" {short_day(worst.day)}. {flare}"
    )


def event_label(event: MonthEvent, unit: str) -> str:
    """A few words for the rule of an event: ``first at 14 kg``, ``lowering 3 to 5 s``, ``away``."""
    match event.kind:
        case "heaviest" if event.value is not None:
            return f"first at {load_words(event.value, unit)}"
        case "lowering" if event.value is not None and event.before is not None:
            return f"lowering {half_up(event.before)} to {half_up(event.value)} s"
        case "range" if event.value is not None and event.before is not None:
            return f"range {half_up(event.before)} to {half_up(event.value)} %"
        case "range":
            return f"down to {event.event}"
        case "variant":
            return f"new variant: {event.event}"
        case _:
            return (event.note or event.event).strip().rstrip(".")
