"""Tables and sentences that only the clinician's or coach's check-in page has (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.client_settings import ClientSettings
from analysis.models.pain_fit import MODEL_VERSION, PainFit
from analysis.questions.brings_it_on import ClientEffects
from analysis.questions.changes import MonthEvent
from analysis.results import LineRow, PainLine, Withheld
from analysis.results_effects import Effect, EffectSize, LoadByRange
from analysis.results_proposal import Proposal
from dashboard.wording.effects import change_name, direction_words, is_sure, known, points_words
from dashboard.wording.line_names import line_name, setting_words
from dashboard.wording.load_by_range import grid_sentence
from dashboard.wording.month import event_label
from dashboard.wording.numbers import (
    counted,
    counted_as,
    estimate_words,
    of_ten,
    of_ten_range,
    short_day,
)
from dashboard.wording.pain_line import answer_words, seen_around
from dashboard.wording.sheet_next import limit_sentences

LINE_COLUMNS = ("Line", "2 of 10 sets would hurt at", "Last load", "Seen", "Hurt of asked")
LINE_WIDTHS = (28, 33, 13, 54, 17)
CAUTION = "Training records and estimates, not a diagnosis."
LINES_GUIDE = (
    "Last load: of 10 sets at it, how many would hurt. Seen: all weeks, however the set was done; the line is for now"
    " and the usual set."
)


def told_lines(rows: Sequence[LineRow]) -> tuple[LineRow, ...]:
    """Lines with an answer, most painful sets first."""
    told = [row for row in rows if isinstance(row.answer, PainLine)]
    return tuple(sorted(told, key=lambda row: (-row.tried.n_painful, -row.tried.n_asked)))


def line_cells(row: LineRow) -> tuple[str, ...]:
    """One row of the table of lines."""
    answer, tried = row.answer, row.tried
    last = answer.last if isinstance(answer, PainLine) else None
    chance = "" if last is None else f"{_short_count(last.chance)} ({of_ten_range(last.low, last.high)})"
    load_kg = answer.load_kg if isinstance(answer, PainLine) and answer.status == "reached" else None
    return (
        line_name(row.key),
        _line_answer(row),
        chance,
        seen_around(tried, load_kg),
        f"{tried.n_painful} of {tried.n_asked}",
    )


def _short_count(chance: float) -> str:
    count = of_ten(chance)
    return "<1" if count == "fewer than 1" else count


def _line_answer(row: LineRow) -> str:
    answer = row.answer
    if isinstance(answer, PainLine) and answer.status == "reached" and answer.load_kg is not None:
        load = estimate_words(answer.load_kg, answer.low_kg, answer.high_kg, answer.tried.unit)
        number, _, ends = load.partition(" (")
        hand = counted_as(answer.tried.load_basis).replace(" in each hand", " a hand")
        return f"{number}{hand} ({ends}" if ends else f"{number}{hand}"
    text = answer_words(row)[-1]
    return text[:1].upper() + text[1:]


def not_told(rows: Sequence[LineRow]) -> str:
    """How many lines cannot be told yet; empty where all can."""
    n = sum(isinstance(row.answer, Withheld) for row in rows)
    return f"{counted(n, 'more line')} cannot be told yet: too few sets, or one load only." if n else ""


LOAD_AND_RANGE = ("load", "rom_pct", "range_rank")


def apart_heading(effects: ClientEffects | Withheld) -> str:
    """Whether what goes with load was told apart from what goes with range, at the leading line."""
    if isinstance(effects, Withheld):
        return "Load or range: not separated yet"
    sizes = {effect.term: size for effect, size in known(effects.leading)}
    grid = effects.leading.grid
    apart = isinstance(grid, LoadByRange) and bool(grid.loads_at_two_stops_kg)
    if not apart or "load" not in sizes or not {"rom_pct", "range_rank"} & set(sizes):
        return "Load or range: not separated yet"
    clear = [
        effect for effect, size in known(effects.leading) if effect.term in LOAD_AND_RANGE and is_sure(size)
    ]
    names = {"range" if effect.term != "load" else "load" for effect in clear}
    if names == {"load", "range"}:
        return "Load or range: both, told apart"
    if names == {"load"}:
        return "Load or range: load; range not clear"
    if names:
        return "Load or range: range; load not clear"
    return "Load or range: not separated yet"


def apart_sentences(effects: ClientEffects | Withheld) -> tuple[str, ...]:
    """How load and range were varied at the leading line, and what goes with each of the two."""
    if isinstance(effects, Withheld):
        return (f"{effects.reason} {effects.remedy}",)
    found = effects.leading
    grid = found.grid
    told = grid_sentence(grid) if isinstance(grid, LoadByRange) else f"{grid.reason} {grid.remedy}"
    sizes = [_effect_words(effect, size) for effect, size in known(found) if effect.term in LOAD_AND_RANGE]
    return (f"{line_name(found.key)}: {told}", *sizes)


def effect_sentences(effects: ClientEffects | Withheld) -> tuple[str, ...]:
    """The other changes of which the data tell something, the largest first; then the names of those not known."""
    if isinstance(effects, Withheld):
        return ()
    found = effects.leading
    told = [_effect_words(one, size) for one, size in known(found) if one.term not in LOAD_AND_RANGE]
    unknown = [
        change_name(one).partition(" (")[0] for one in found.effects if isinstance(one.answer, Withheld)
    ]
    return (*told, *((f"Not known yet: {'; '.join(unknown)}.",) if unknown else ()))


def _effect_words(effect: Effect, size: EffectSize) -> str:
    return f"{change_name(effect)}: {points_words(size)} points of pain, {direction_words(size)}."


def changed_sentences(events: Sequence[MonthEvent], unit: str) -> tuple[str, ...]:
    """``5 Sep: first at 16 kg``, the newest first; changes of one day in one sentence."""
    by_day: dict[object, list[str]] = {}
    for event in sorted(events, key=lambda one: one.day, reverse=True):
        label = event_label(event, unit)
        if label:
            by_day.setdefault(event.day, []).append(label)
    return tuple(
        f"{short_day(day)}: {', '.join(dict.fromkeys(labels))}."  # type: ignore[arg-type]
        for day, labels in by_day.items()
    )


def limits_on_file(own: ClientSettings, proposals: Sequence[Proposal]) -> tuple[str, ...]:
    """Pain limits that were agreed, then limits of exercises that are in force."""
    pain = [
        f"{when} {limit}"
        for when, limit in (
            ("during a set", own.limit_during),
            ("after a session", own.limit_after),
            ("next morning", own.limit_next_morning),
        )
        if limit is not None
    ]
    first = f"Pain, at most: {', '.join(pain)}." if pain else "No pain limits on file."
    exercises = limit_sentences(proposals)
    return (first, *(exercises or ("No limit of an exercise in force.",)))


def method_sentence(fit: PainFit, row: LineRow) -> str:
    """How the numbers come about, in one breath."""
    at = setting_words(row.answer.at) if isinstance(row.answer, PainLine) else ""
    usual = f" The leading line is for {at}." if at else ""
    done = "converged" if fit.convergence.converged else "not converged"
    return (
        f"One ordinal mixed model of the 0-10 scores of all {fit.n_asked:,} asked sets (load, lowering, range, reps,"
        " order, sore already; exercises, sides, variants, sessions and weeks as partly pooled offsets), version"
        f" {MODEL_VERSION}, {counted(fit.convergence.n_draws, 'draw')}, {done}. The line is where the chance of"
        f" {fit.level} or more reaches 2 of 10 on an average of good and bad days.{usual} Loads were mostly chosen by"
        " how the last set felt; what goes with pain here need not bring it about."
    )


def finding_sentences(fit: PainFit) -> tuple[str, ...]:
    """What limits this fit."""
    return tuple(f"{one.what} {one.consequence} {one.remedy}".strip() for one in fit.findings)
