"""Left against right as sentences: the heading, each comparison, why one is not known (layer: wording)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from analysis.questions.sides import SURE
from analysis.questions.sides_then import WEEKS_BACK
from analysis.results import PainLine, Withheld
from analysis.results_sides import LoadAtEqualPain, SideKey, SideRow
from dashboard.wording.line_names import exercise_name
from dashboard.wording.numbers import (
    counted,
    decimals_for,
    equipment_below,
    half_up,
    in_unit,
    percent,
    plain_load,
)

TELLING = 3
"""Comparisons told in sentences; the table has them all."""
LEAST_CHANGE_PCT = 10.0
"""From this many points of percentage on a move since then is said (a setting)."""


def percent_of_right(log2_left_over_right: float) -> float:
    """Left as a percentage of right."""
    return float(100.0 * 2.0**log2_left_over_right)


def lower_side(load: LoadAtEqualPain) -> str | None:
    """The side said to be the lower one; None where it is not sure."""
    if load.probability_left_lower >= SURE:
        return "left"
    return "right" if load.probability_left_lower <= 1.0 - SURE else None


def known_loads(rows: Sequence[SideRow]) -> list[tuple[SideKey, LoadAtEqualPain]]:
    """Comparisons that say anything at all, in the order of the rows."""
    return [(row.key, row.load) for row in rows if isinstance(row.load, LoadAtEqualPain)]


def sides_heading(rows: Sequence[SideRow]) -> str:
    """``Left carries less at equal pain in 2 of 3 comparisons``, at most 60 characters."""
    known = known_loads(rows)
    if not rows:
        return "No exercise was asked on both sides yet"
    if not known:
        return "Left and right: cannot say yet"
    lower = [lower_side(load) for _, load in known]
    left, right = lower.count("left"), lower.count("right")
    total = counted(len(known), "comparison")
    if left and right:
        return f"Left carries less in {left}, right in {right} of {total}"
    if left or right:
        return f"{'Left' if left else 'Right'} carries less at equal pain in {left or right} of {total}"
    return f"No clear difference of the sides in {total}"


def sides_evidence(rows: Sequence[SideRow], n_then: int) -> str:
    """What is compared, and how much of it is known."""
    if not rows:
        return (
            "Log one-sided sets of the same exercise on both sides, or ask two-sided sets about left and right:"
            " the worst joint pain of each side, 0 to 10."
        )
    known = known_loads(rows)
    parts = []
    if known:
        parts.append(
            "The load at which 2 of 10 sets would hurt, left as a percentage of right, with its 80 % interval."
        )
        lower = f"One side is called lower from a probability of {percent(SURE)} on."
        parts.append(lower)
    if n_then:
        parts.append(f"The small ring is what the log said {WEEKS_BACK} weeks before.")
    if len(known) < len(rows):
        missing = counted(len(rows) - len(known), "more comparison" if known else "comparison")
        parts.append(f"{missing} cannot be made yet; the reasons stand below.")
    return " ".join(parts)


def side_name(key: SideKey) -> str:
    """``Box squat, both legs or arms at work`` is said short: ``Box squat (two-sided)``."""
    name = exercise_name(key.exercise, key.variant)
    if key.works == "both":
        name += " (two-sided)"
    return name[:1].upper() + name[1:]


def loads_words(load: LoadAtEqualPain) -> str:
    """Both lines: ``33 of 42 kg``; an unstated end reads ``over 20`` or ``under 8``."""
    places = _decimals(load)
    return f"{_line_words(load.left, places)} of {_line_words(load.right, places)} {load.left.tried.unit}"


def percent_words(load: LoadAtEqualPain) -> str:
    """``78 % (73 to 84)``, ``at most 84 %``, ``at least 120 %``, or that how far is open."""
    low, high = (None if end is None else percent_of_right(end) for end in (load.low, load.high))
    if load.log2_left_over_right is not None and low is not None and high is not None:
        middle = percent_of_right(load.log2_left_over_right)
        return f"{half_up(middle)} % ({half_up(low)} to {half_up(high)})"
    if high is not None:
        return "under 100 %" if load.high == 0.0 else f"at most {half_up(high)} %"
    if low is not None:
        return "over 100 %" if load.low == 0.0 else f"at least {half_up(low)} %"
    return "how far is open"


def probability_words(load: LoadAtEqualPain) -> str:
    """Probability of the lower side: ``left lower, 97 %``."""
    left = load.probability_left_lower
    side, chance = ("left", left) if left >= 0.5 else ("right", 1.0 - left)
    return f"{side} lower, {'over 99 %' if chance > 0.99 else percent(chance)}"


def open_words(load: LoadAtEqualPain) -> str:
    """What stands in place of a bar where no end is known: ``left lower, how far is open``."""
    side = lower_side(load)
    return "which side is lower is not clear" if side is None else f"{side} lower, how far is open"


def side_sentence(key: SideKey, load: LoadAtEqualPain, then: float | None = None) -> str:
    """``Step-down: left 33, right 42 kg at equal pain, left is 78 % of right (73 to 84).``"""
    parts = [f"{side_name(key)}: {_both_lines(load)}"]
    if load.low is not None or load.high is not None:
        number, _, interval = percent_words(load).partition(" (")
        parts.append(f"so left is {number} of right" + (f" ({interval}" if interval else ""))
    side = lower_side(load)
    if side is None:
        parts.append("which side is the lower one is not clear")
    elif load.low is None and load.high is None:
        parts.append(f"{side} is the lower one, how far is open")
    text = ", ".join(parts) + "."
    if then is not None and load.log2_left_over_right is not None:
        before, now = percent_of_right(then), percent_of_right(load.log2_left_over_right)
        if abs(now - before) >= LEAST_CHANGE_PCT:
            text += f" {WEEKS_BACK} weeks before the log said {half_up(before)} %."
    return text


def side_sentences(rows: Sequence[SideRow], then: Mapping[SideKey, float]) -> tuple[str, ...]:
    """The first few comparisons, a sentence each."""
    return tuple(side_sentence(key, load, then.get(key)) for key, load in known_loads(rows)[:TELLING])


def not_yet(rows: Sequence[SideRow]) -> tuple[str, ...]:
    """Why each other comparison cannot be made, exercises with the same reason in one sentence."""
    together: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if isinstance(row.load, Withheld):
            together.setdefault((row.load.reason, row.load.remedy), []).append(side_name(row.key))
    return tuple(f"{'; '.join(names)}. {reason} {remedy}" for (reason, remedy), names in together.items())


def _both_lines(load: LoadAtEqualPain) -> str:
    unit, places = load.left.tried.unit, _decimals(load)
    left, right = _line_words(load.left, places), _line_words(load.right, places)
    return f"pain comes back on the left at {left} {unit}, on the right at {right} {unit}"


def _line_words(line: PainLine, places: int) -> str:
    """A line without its unit: ``33``; ``over 20`` and ``under 8`` as loads of the equipment."""
    unit, tried = line.tried.unit, line.tried
    if line.status == "reached" and line.load_kg is not None:
        return half_up(in_unit(line.load_kg, unit), places)
    if line.low_kg is not None:
        floor = equipment_below(line.low_kg, [one.load_kg for one in tried.loads], tried.load_step_kg)
        return f"over {plain_load(floor, unit)}"
    if tried.lightest_kg is not None:
        return f"under {plain_load(tried.lightest_kg, unit)}"
    return "an unknown load"


def _decimals(load: LoadAtEqualPain) -> int:
    """Decimals that both lines deserve: those of the wider interval."""
    widths = [
        in_unit(line.high_kg - line.low_kg, line.tried.unit)
        for line in (load.left, load.right)
        if line.status == "reached" and line.low_kg is not None and line.high_kg is not None
    ]
    return decimals_for(max(widths)) if widths else 0
