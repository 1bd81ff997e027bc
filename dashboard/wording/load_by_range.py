"""Loads by ranges, the test of three sessions and what was counted, in words (layer: wording)."""

from __future__ import annotations

from analysis.models.linear_companion import LinearCompanion
from analysis.results import Estimate, Withheld
from analysis.results_effects import (
    BringsItOn,
    CountedCondition,
    CountedGroup,
    DescribedPain,
    LoadByRange,
    RangeTest,
)
from dashboard.wording.effects import signed
from dashboard.wording.line_names import line_name
from dashboard.wording.numbers import counted, counted_as, load_words, percent, plain_load, short_day

ASKED = {
    "pain_at": "Where in the movement",
    "pain_when": "When in the set",
    "pain_feel": "What it felt like",
}
NOT_ADJUSTED = (
    "Compensation and rest are not in the model: these are plain counts, and a set that hurts may be why somebody"
    " dodges or rests longer."
)


def grid_heading(grid: LoadByRange) -> str:
    """Whether load and range can be told apart here."""
    n = len(grid.loads_at_two_stops_kg)
    if len(grid.stops) == 1:
        return f"Load and range: every set at {grid.stops[0]}"
    if n == 0:
        return "Load and range: never two ranges at one load"
    loads = " and ".join(plain_load(load, grid.unit) for load in grid.loads_at_two_stops_kg)
    if n > 3:
        return f"Load and range: {n} loads done at two ranges or more"
    return f"Load and range: two ranges or more at {loads} {grid.unit}"


def grid_sentence(grid: LoadByRange) -> str:
    """How often range changed alone, load alone, both."""
    told = (
        f"From one set to the next the range changed alone {_times(grid.n_range_alone)}, the load alone"
        f" {_times(grid.n_load_alone)}, both together {_times(grid.n_both)}."
    )
    left_out = (
        f" {counted(grid.n_left_out, 'set')} without a load or range left out." if grid.n_left_out else ""
    )
    if len(grid.stops) == 1:
        verdict = " With one range only, what range does cannot be told."
    elif not grid.loads_at_two_stops_kg:
        verdict = " No load was done at two ranges, so what goes with range cannot be told from what goes with load."
    elif grid.n_range_alone < grid.n_both:
        verdict = " They mostly moved together, so they are hard to tell apart."
    else:
        verdict = " Only loads done at two ranges compare the ranges."
    return told + verdict + left_out


def grid_guide(grid: LoadByRange) -> str:
    """What the numbers in the cells are."""
    return f"Sets that hurt of those asked, with the worst score; loads in {grid.unit}{counted_as(grid.load_basis)}."


def grid_words(grid: LoadByRange) -> str:
    """The grid in words, for those who hear it."""
    cells = [
        f"{row_name(grid, cell.load)} {grid.unit}, {grid.stops[cell.stop]}: {cell.n_painful} of {cell.n_asked} hurt,"
        f" worst {cell.worst}"
        for cell in grid.cells
    ]
    return f"{line_name(grid.key)}. {grid_sentence(grid)} " + "; ".join(cells) + "."


def row_name(grid: LoadByRange, row: int) -> str:
    """Load of a row, or its lightest and heaviest: ``34-36``."""
    low, high = (plain_load(load, grid.unit) for load in grid.loads_kg[row])
    return low if low == high else f"{low}-{high}"


def _times(number: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(number, f"{number} times")


def range_test_sentences(test: RangeTest, unit: str, basis: str) -> list[str]:
    """The plan, session by session, and what the test showed."""
    plan, result = test.plan, test.result
    lines: list[str] = []
    if isinstance(plan, Withheld):
        lines.append(f"{plan.reason} {plan.remedy}")
    else:
        first = 4 - len(plan.shorter_first)
        lines.append(
            f"{line_name(test.key)}: two sets early in each of three sessions, both at"
            f" {load_words(plan.load_kg, unit)}{counted_as(basis)}, all else as usual: one at {plan.shorter}, one at"
            f" {plan.longer}."
        )
        lines += [
            f"Session {first + at}: {plan.shorter if short else plan.longer} first, then"
            f" {plan.longer if short else plan.shorter}."
            for at, short in enumerate(plan.shorter_first)
        ]
        lines.append(
            f"The order comes from a coin (seed {plan.seed}), so that a good or bad first set does not always fall on"
            f' the same range. Write "{plan.mark}" into the note of both sets. Leave it out on a day when the exercise'
            " hurts more than agreed."
        )
    if isinstance(result, Withheld):
        if not isinstance(plan, Withheld):
            lines.append(result.reason)
        return lines
    scores = "; ".join(
        f"{short_day(one.day)}: {one.pain_longer} at {result.longer}, {one.pain_shorter} at {result.shorter}"
        for one in result.pairs
    )
    lines.append(
        f"Result of {counted(len(result.pairs), 'session')}: {signed(result.mean_difference, 1)} points at"
        f" {result.longer} against {result.shorter} ({scores}). If the two were alike, a difference this"
        f" large would come up in {percent(result.chance_if_alike)} of such tests; three sessions can never bring that"
        " under 25 %."
    )
    return lines


def counted_sentences(found: BringsItOn) -> list[str]:
    """How painful sets were described, and compensation and rest in counts."""
    lines = [words for one in found.described if (words := _described(one)) is not None]
    lines += [_condition(one) for one in (found.compensation, found.rest)]
    return lines


def _described(one: DescribedPain) -> str | None:
    if one.n_told == 0:
        return None
    answers = ", ".join(f"{answer} {number}" for answer, number in one.counts)
    return (
        f"{ASKED[one.column]}: {answers} (told in {one.n_told} of {counted(one.n_painful, 'set')} that hurt)."
    )


def _condition(one: CountedCondition | Withheld) -> str:
    if isinstance(one, Withheld):
        return f"{one.reason} {one.remedy}"
    name = one.condition.capitalize()
    same = _groups(one.same_load)
    compared = (
        f" At loads that saw both: {same}."
        if len(one.same_load) > 1
        else " No load saw both, so load may be why."
    )
    return f"{name}: {_groups(one.groups)}.{compared} Not logged in {counted(one.n_unknown, 'set')}."


def _groups(groups: tuple[CountedGroup, ...]) -> str:
    return ", ".join(f"{one.name} {one.n_painful} of {one.n_asked} hurt" for one in groups)


def companion_paragraphs(companion: LinearCompanion | Withheld) -> list[str]:
    """The straight line through the raw scores, with its share of zeros."""
    if isinstance(companion, Withheld):
        return [f"A straight line through the raw scores: {companion.reason} {companion.remedy}"]
    parts = [
        f"For comparison, a straight line through the raw scores of all exercises (linear mixed model,"
        f" {counted(companion.n_sets, 'set')}): {percent(companion.share_of_zeros)} of the scores are 0."
    ]
    for name, slope in (("In the same session", companion.within), ("Between sessions", companion.between)):
        if isinstance(slope, Estimate):
            parts.append(
                f"{name}: {signed(slope.value, 2)} points for 10 % more load ({signed(slope.low, 2)} to"
                f" {signed(slope.high, 2)}, {percent(slope.confidence_level)} interval)."
            )
        else:
            parts.append(f"{name}: {slope.reason} {slope.remedy}")
    parts += [f"{one.what} {one.consequence}" for one in companion.findings]
    return parts
