"""Has it moved, am I better: facts then and now and the line's change, as sentences (layer: wording)."""

from __future__ import annotations

from analysis.results import LineKey, Withheld
from analysis.results_trend import (
    LineChange,
    LineFacts,
    MorningsThenNow,
    PainTrend,
    SameSet,
    Stretches,
    TaskThenNow,
    TrendReview,
    WorkThenNow,
)
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import counted, half_up, load_words, percent, short_day

EVEN_POINTS = 0.05
EVEN_LOAD = 0.05
"""Mean loads that differ by less are told as about the same."""


def moved_sentences(found: TrendReview, key: LineKey, unit: str) -> tuple[str, ...]:
    """What is known about one line over time: facts first, then the line's change.

    Parameters
    ----------
    found : TrendReview
    key : LineKey
    unit : str
        ``kg`` or ``lb``.

    Returns
    -------
    tuple of str
    """
    facts = next((one for one in found.lines if one.key == key), None)
    change = next((one for one in found.changes if one.key == key), None)
    sentences = [] if facts is None else [*_work(facts, unit), *_same_set(facts, unit), *_quiet(facts, unit)]
    if change is not None:
        if isinstance(change.since_first, Withheld):
            sentences.append(f"The line itself: {change.since_first.reason} {change.since_first.remedy}")
        else:
            sentences.append(change_sentence(change.since_first, unit))
            if (
                isinstance(change.since_28_days, LineChange)
                and change.since_28_days.start != change.since_first.start
            ):
                sentences.append(change_sentence(change.since_28_days, unit))
    if isinstance(found.trend, PainTrend) and found.trend.key == key and found.trend.begins_at_its_worst:
        sentences.append(
            "The log of this line begins with its worst week; after such a week part of a fall comes by itself."
        )
    return tuple(sentences)


def client_sentences(found: TrendReview, unit: str) -> tuple[str, ...]:
    """Pain at one fixed set, mornings and the client's own tasks, then and now."""
    tasks = tuple(task_sentence(task) for task in found.tasks)
    return (trend_words(found.trend, unit), mornings_sentence(found.mornings), *tasks)


def better_sentences(found: TrendReview, key: LineKey | None, unit: str) -> tuple[str, ...]:
    """Then and now: one line, the mornings, the client's own tasks."""
    moved = () if key is None else moved_sentences(found, key, unit)
    return (*moved, mornings_sentence(found.mornings), *(task_sentence(task) for task in found.tasks))


def change_sentence(change: LineChange, unit: str) -> str:
    """``Since 9 Jul the line rose from 8 to 10 kg (by 26 %, 13 to 39).``; unsure changes are not called a rise."""
    middle, low, high = (
        100.0 * (2.0**value - 1.0) for value in (change.log2_change, change.low, change.high)
    )
    amount = f"{_signed(middle)} % ({_signed(low)} to {_signed(high)})"
    loads = ""
    if change.from_kg is not None and change.to_kg is not None:
        loads = f", from {_estimated(change.from_kg, unit)} to {_estimated(change.to_kg, unit)} {unit}"
    probability = f"probability that it is higher now: {_probability(change.probability_up)}"
    since = f"Since {short_day(change.start)}"
    if change.claim is not None:
        verb = "rose" if change.claim == "up" else "fell"
        return f"{since} the line {verb}{loads}: {amount}; {probability}."
    return f"{since} the line changed by {amount}{loads}; {probability}, too little to call it a change."


def work_sentence(work: WorkThenNow, stretches: Stretches, unit: str) -> str:
    """``Pain the same, load up 40 %: the day's heaviest load 10 kg, now 14 kg; its worst pain 1.2, now 1 of 10 ...``"""
    first, last = short_day(stretches.first_to), short_day(stretches.last_from)
    return (
        f"{_progress(work)}: the day's heaviest load {_estimated(work.load_then_kg, unit)} {unit}, now"
        f" {_estimated(work.load_now_kg, unit)} {unit}; its worst pain {points_words(work.pain_then)}, now"
        f" {points_words(work.pain_now)} of 10 ({counted(work.n_days_then, 'day')} up to {first}, {work.n_days_now}"
        f" from {last} on; ratings differ by {points_words(work.detectable)} by themselves)."
    )


def _progress(work: WorkThenNow) -> str:
    """Pain and load in one breath: neither says anything without the other."""
    change = work.load_now_kg / work.load_then_kg - 1.0
    level = abs(change) < EVEN_LOAD
    load = f"load {'up' if change > 0 else 'down'} {half_up(100.0 * abs(change))} %"
    if not work.pain_moved:
        return "Pain and load about the same" if level else f"Pain the same, {load}"
    pain = "Pain up" if work.pain_now > work.pain_then else "Pain down"
    return f"{pain} at about the same load" if level else f"{pain}, {load}"


def mornings_sentence(mornings: MorningsThenNow | Withheld) -> str:
    """``Mornings at least 2 above usual: 5 of 26 in the first weeks, 1 of 26 in the last.``"""
    if isinstance(mornings, Withheld):
        return f"{mornings.reason} {mornings.remedy}"
    first, last = mornings.stretches.first_to, mornings.stretches.last_from
    return (
        f"Mornings at least 2 above usual: {mornings.n_up_then} of {mornings.n_then} up to {short_day(first)},"
        f" {mornings.n_up_now} of {mornings.n_now} from {short_day(last)} on; median morning pain"
        f" {points_words(mornings.median_then)}, then {points_words(mornings.median_now)}."
    )


def task_sentence(task: TaskThenNow) -> str:
    """``Two floors of stairs down: difficulty 6 on 9 Jul, 2 on 17 Sep (of 10).``"""
    name = task.task[:1].upper() + task.task[1:]
    return (
        f"{name}: difficulty {task.first} of 10 on {short_day(task.first_day)}, {task.last} on"
        f" {short_day(task.last_day)}."
    )


def _work(facts: LineFacts, unit: str) -> list[str]:
    if facts.work is None or facts.stretches is None:
        return []
    return [work_sentence(facts.work, facts.stretches, unit)]


def _same_set(facts: LineFacts, unit: str) -> list[str]:
    same = facts.same_set
    if isinstance(same, Withheld):
        return [f"The same set, then and now: {same.reason} {same.remedy}"]
    days = f"{counted(same.n_days_then, 'day')} then, {same.n_days_now} now"
    return [
        f"The same load, {load_words(same.load_kg, unit)}: mean of the scores logged {points_words(same.then)}, now"
        f" {points_words(same.now)} ({days}); {_error_words(same)}."
    ]


def _error_words(same: SameSet) -> str:
    if abs(same.now - same.then) < EVEN_POINTS:
        return "the same"
    if same.is_more_than_error:
        return f"more than the {points_words(same.detectable)} points that ratings differ by themselves"
    return f"within the {points_words(same.detectable)} points that ratings differ by themselves"


def _quiet(facts: LineFacts, unit: str) -> list[str]:
    if facts.stretches is None:
        return []
    then, now = (
        "none" if load is None else load_words(load, unit)
        for load in (facts.quiet_then_kg, facts.quiet_now_kg)
    )
    return [
        f"Heaviest load quiet on two days: {then} up to {short_day(facts.stretches.first_to)}, {now} from"
        f" {short_day(facts.stretches.last_from)} on."
    ]


def trend_words(trend: PainTrend | Withheld, unit: str) -> str:
    """Pain of the reference set at the first and the last week, beside what was really done."""
    if isinstance(trend, Withheld):
        return f"{trend.reason} {trend.remedy}"
    first, last = trend.weeks[0], trend.weeks[-1]
    at = "" if trend.load_kg is None else f" at {load_words(trend.load_kg, unit)}"
    return (
        f"{line_name(trend.key)}{at}, done as usual with nothing sore yet, as the model reads all sets: expected pain"
        f" {points_words(first.points)} in the week of"
        f" {short_day(first.week)}, {points_words(last.points)} ({points_words(last.low)} to"
        f" {points_words(last.high)}) now; probability that it is falling: {_probability(trend.probability_falling)}."
    )


def _estimated(load_kg: float, unit: str) -> str:
    return load_words(round(load_kg, 1), unit).removesuffix(f" {unit}")


def points_words(value: float) -> str:
    """Points of pain to one decimal: ``1.4``, ``2``."""
    return half_up(value, 1).removesuffix(".0")


def _signed(value: float) -> str:
    text = half_up(abs(value))
    return text if text == "0" else f"{'−' if value < 0 else '+'}{text}"


def _probability(value: float) -> str:
    return "over 99 %" if value > 0.99 else percent(value)
