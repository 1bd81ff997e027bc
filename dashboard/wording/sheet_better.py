"""Am I better, and what can I do now that I could not: for the trainee, in plain words (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from analysis.results import LineKey, LineRow, Withheld
from analysis.results_trend import (
    LineChange,
    LineFacts,
    MorningsThenNow,
    PainTrend,
    SameSet,
    TaskThenNow,
    TrendReview,
    WorkThenNow,
)
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import load_words, short_day
from dashboard.wording.trend import points_words

Verdict = Literal["better", "worse", "same", "unknown"]
TASK_POINTS = 2
"""A task is called easier or harder from so many points of difficulty on (common practice)."""
MORNINGS = 2
"""Mornings are called fewer or more from a difference of so many on (a setting)."""
EVEN_LOAD = 0.05
"""Weights that differ by less are called the same (a setting)."""
FEWEST_DAYS = 2
"""Days that each of the two stretches needs."""
NOT_KNOWN = "not known yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One fact then and now; `words` says how they differ, `remedy` what would make an unknown one known."""

    what: str
    then: str
    now: str
    verdict: Verdict
    words: str
    remedy: str = ""


def better_facts(found: TrendReview, row: LineRow) -> tuple[Fact, ...]:
    """Then and now: the same set, the line, the heaviest load that did not hurt, mornings, the trainee's own tasks.

    Parameters
    ----------
    found : TrendReview
    row : LineRow
        The line the first facts are told of.
    """
    facts = next((one for one in found.lines if one.key == row.key), None)
    change = next((one.since_first for one in found.changes if one.key == row.key), None)
    name, unit = line_name(row.key), row.tried.unit
    line = _line(change, name, unit) if isinstance(change, LineChange) else None
    return (
        _same_set(facts, name, unit),
        *((line,) if line is not None else ()),
        _quiet(facts, name, unit),
        _mornings(found.mornings),
        *(_task(task) for task in found.tasks),
    )


def told_of(found: TrendReview, rows: Sequence[LineRow], leading: LineRow) -> LineRow:
    """The line the facts are told of: most painful sets of those with a set done alike then and now, else leading."""
    alike = {one.key for one in found.lines if isinstance(one.same_set, SameSet) and _often_enough(one)}
    often = sorted(rows, key=lambda row: (-row.tried.n_painful, -row.tried.n_asked))
    return next((row for row in often if row.key in alike and row.tried.n_painful), leading)


def better_heading(facts: Sequence[Fact]) -> str:
    """``Am I better? Better on 4 of 5, about the same on 1``."""
    known = [fact.verdict for fact in facts if fact.verdict != "unknown"]
    if not known:
        return "Am I better? Too early to tell"
    names: tuple[tuple[Verdict, str], ...] = (
        ("better", "better"),
        ("same", "about the same"),
        ("worse", "worse"),
    )
    told = [(known.count(verdict), words) for verdict, words in names if verdict in known]
    first, *more = told
    parts = [f"{first[1]} on {first[0]} of {len(known)}", *(f"{words} on {n}" for n, words in more)]
    text = ", ".join(parts)
    return f"Am I better? {text[:1].upper()}{text[1:]}"


def fact_rows(facts: Sequence[Fact]) -> tuple[tuple[str, ...], ...]:
    """Cells of the table: what, first weeks, last weeks, how they differ."""
    return tuple((fact.what, fact.then, fact.now, fact.words) for fact in facts)


def unknown_words(facts: Sequence[Fact]) -> tuple[str, ...]:
    """What would make each unknown fact known."""
    return tuple(dict.fromkeys(fact.remedy for fact in facts if fact.verdict == "unknown" and fact.remedy))


def stretch_words(found: TrendReview, key: LineKey) -> str:
    """Which weeks "first" and "last" are; empty while the log is too young to have two."""
    facts = next((one for one in found.lines if one.key == key), None)
    if facts is None or facts.stretches is None:
        return ""
    two = facts.stretches
    return (
        f"First weeks: {short_day(two.first_from)} to {short_day(two.first_to)}. Last weeks:"
        f" {short_day(two.last_from)} to {short_day(two.last_to)}."
    )


def began_at_its_worst(found: TrendReview, key: LineKey) -> str:
    """A caution where the log of the line starts with its worst week."""
    trend = found.trend
    if isinstance(trend, PainTrend) and trend.key == key and trend.begins_at_its_worst:
        return "Your log starts with its worst week. Part of a drop after such a week comes by itself."
    return ""


def can_do_now(found: TrendReview, row: LineRow) -> tuple[str, ...]:
    """Weights that did not hurt on two days and tasks that became easier, largest gain first.

    Parameters
    ----------
    found : TrendReview
    row : LineRow
        The line told of in the table of facts, which is not told again; any row for the unit.
    """
    gained = [
        (now / then if then else 2.0, one.key, then, now)
        for one in found.lines
        if one.key != row.key
        and (now := one.quiet_now_kg) is not None
        and one.stretches is not None
        and ((then := one.quiet_then_kg) is None or now > then + 1e-6)
    ]
    gained.sort(key=lambda one: -one[0])
    unit = row.tried.unit
    return tuple(
        f"{line_name(key)}: {load_words(now, unit)} on two days without hurting; "
        + (
            "none did in the first weeks."
            if then is None
            else f"{load_words(then, unit)} in the first weeks."
        )
        for _, key, then, now in gained
    )


def _often_enough(facts: LineFacts) -> bool:
    """Whether both stretches have days enough to speak of a weight that did not hurt on two of them."""
    work = facts.work
    return work is not None and min(work.n_days_then, work.n_days_now) >= FEWEST_DAYS


def _same_set(facts: LineFacts | None, name: str, unit: str) -> Fact:
    same = None if facts is None else facts.same_set
    what = f"Pain at the same weight: {name}"
    if not isinstance(same, SameSet):
        if facts is not None and facts.work is not None and _often_enough(facts):
            return _day(facts.work, name, unit)
        return _unknown(what, f"The same weight: {same.reason} {same.remedy}" if same is not None else "")
    verdict: Verdict = "same"
    if same.is_more_than_error:
        verdict = "better" if same.now < same.then else "worse"
    words = {"better": "less pain", "worse": "more pain", "same": "no clear change"}[verdict]
    return Fact(
        what=f"{what}, {load_words(same.load_kg, unit)}",
        then=f"{points_words(same.then)} of 10",
        now=f"{points_words(same.now)} of 10",
        verdict=verdict,
        words=words,
    )


def _day(work: WorkThenNow, name: str, unit: str) -> Fact:
    """The day's heaviest weight with its worst pain, where no weight was done both then and now."""
    up = work.load_now_kg > work.load_then_kg * (1.0 + EVEN_LOAD)
    down = work.load_now_kg < work.load_then_kg * (1.0 - EVEN_LOAD)
    load = "more weight" if up else "less weight" if down else "same weight"
    less = work.pain_moved and work.pain_now < work.pain_then
    more = work.pain_moved and not less
    verdict: Verdict = "same"
    if (up and not more) or (less and not down):
        verdict = "better"
    elif (down and not less) or (more and not up):
        verdict = "worse"
    pain = "less pain" if less else "more pain" if more else "same pain"
    return Fact(
        what=f"Heaviest weight of the day, and its worst pain: {name}",
        then=_load_and_pain(work.load_then_kg, work.pain_then, unit),
        now=_load_and_pain(work.load_now_kg, work.pain_now, unit),
        verdict=verdict,
        words=f"{load}, {pain}",
    )


def _load_and_pain(load_kg: float, pain: float, unit: str) -> str:
    return f"{load_words(round(load_kg, 1), unit)}, {points_words(pain)} of 10"


def _line(change: LineChange, name: str, unit: str) -> Fact | None:
    """The weight at which 2 of 10 sets would hurt, on the first day and now; None where it has no number."""
    if change.from_kg is None or change.to_kg is None:
        return None
    claims: dict[str | None, tuple[Verdict, str]] = {
        "up": ("better", "more weight"),
        "down": ("worse", "less weight"),
    }
    verdict, words = claims.get(change.claim, ("same", "no clear change"))
    then, now = (load_words(round(load, 1), unit) for load in (change.from_kg, change.to_kg))
    return Fact(
        what=f"Weight at which about 2 of 10 sets hurt: {name}",
        then=then,
        now=now,
        verdict=verdict,
        words=words,
    )


def _quiet(facts: LineFacts | None, name: str, unit: str) -> Fact:
    what = f"Most weight that did not hurt on two days: {name}"
    if facts is None or not _often_enough(facts):
        return _unknown(what, "")
    then, now = facts.quiet_then_kg, facts.quiet_now_kg
    if then is None and now is None:
        return _unknown(what, "")
    verdict: Verdict = "same"
    if then is None or now is None or abs(then - now) > 1e-6:
        verdict = "better" if now is not None and (then is None or now > then) else "worse"
    told = ["none" if load is None else load_words(load, unit) for load in (then, now)]
    return Fact(
        what=what,
        then=told[0],
        now=told[1],
        verdict=verdict,
        words={"better": "more weight", "worse": "less weight", "same": "the same"}[verdict],
    )


def _mornings(mornings: MorningsThenNow | Withheld) -> Fact:
    what = "Mornings with pain 2 or more above your usual"
    if isinstance(mornings, Withheld):
        return _unknown(what, f"Mornings: {mornings.reason} {mornings.remedy}")
    then = mornings.n_up_then * mornings.n_now / max(1, mornings.n_then)
    change = mornings.n_up_now - then
    verdict: Verdict = "same" if abs(change) < MORNINGS else "better" if change < 0 else "worse"
    return Fact(
        what=what,
        then=f"{mornings.n_up_then} of {mornings.n_then}",
        now=f"{mornings.n_up_now} of {mornings.n_now}",
        verdict=verdict,
        words={"better": "fewer", "worse": "more", "same": "about as many"}[verdict],
    )


def _task(task: TaskThenNow) -> Fact:
    name = task.task[:1].upper() + task.task[1:]
    verdict: Verdict = "same"
    if abs(task.last - task.first) >= TASK_POINTS:
        verdict = "better" if task.last < task.first else "worse"
    return Fact(
        what=f"How hard: {name}",
        then=f"{task.first} of 10",
        now=f"{task.last} of 10",
        verdict=verdict,
        words={"better": "easier", "worse": "harder", "same": "about the same"}[verdict],
    )


def _unknown(what: str, remedy: str) -> Fact:
    return Fact(what=what, then="", now="", verdict="unknown", words=NOT_KNOWN, remedy=remedy)
