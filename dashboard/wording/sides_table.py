"""Table of left against right, and how it was computed, in words (layer: wording)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.numerics.side_indices import (
    bilateral_asymmetry_index,
    limb_symmetry_index,
    log_ratio_pct,
    percentage_difference,
    symmetry_angle,
    symmetry_index,
)
from analysis.results import Estimate, Withheld
from analysis.results_sides import LoadAtEqualPain, OwnPast, PairedReps, SideRow
from dashboard.wording.numbers import counted, half_up, plain_load
from dashboard.wording.sides import known_loads, loads_words, percent_words, probability_words, side_name

EQUAL_PAIN = (
    "Load at equal pain: the pain line of the left over that of the right, from one fit, draw by draw. One slope serves"
    " both sides, so the ratio is the same whatever chance of pain the lines stand for. Both are for the same reps,"
    " tempo, range and place in the session. A line beyond"
    " everything tried counts at the last load tried, and an end that rests on a line's unknown end is left open."
)
SHARED = (
    "Exercises lend each other strength: a side that is the lower one wherever both were told apart is taken to be so,"
    " in part, where they were not."
)
ONE_COURSE = (
    "In the model both sides of an exercise move together from week to week. Whether one side has caught up is"
    " therefore told by a fit of the log as it stood eight weeks before (the ring) and by each side's own loads, not"
    " by the weeks of one fit."
)
HELD_BACK = (
    "Reps and effort are compared only in pairs of sets at the same load, range and tempo, where the reps in reserve"
    " are within 1 of each other or both were test sets. The usual way of training, worse side first and the other"
    " matching its reps, holds the better side back: what it could do is then not known."
)
OWN_PAST = (
    "Own past: the heaviest load quiet on two days in the first four weeks and in the last four. A side is also set"
    " against the other side's first weeks, because a ratio of today rises when the better side loses (Wellsandt 2017)."
)
NAMES = (
    "One pair of loads has as many asymmetries as there are formulas, and healthy people are not even either. None of"
    " these numbers is a bar to pass:"
)


def sides_table(rows: Sequence[SideRow]) -> list[dict[str, str]]:
    """One row a comparison, in words."""
    return [_row(row) for row in rows]


def _row(row: SideRow) -> dict[str, str]:
    load = row.load if isinstance(row.load, LoadAtEqualPain) else None
    return {
        "exercise": side_name(row.key),
        "at equal pain": loads_words(load) if load else "not known yet",
        "left of right": percent_words(load) if load else "",
        "probability": probability_words(load) if load else "",
        "pain at the same load": pain_words(row),
        "reps and effort": reps_words(row.reps),
        "led, matched": order_words(row.reps),
        "quiet on two days": past_words(row.past, row),
    }


def pain_words(row: SideRow) -> str:
    """``left higher in 16, right in 1 of 61 sets``."""
    pain = row.pain
    if not pain.n_sets:
        return "never at the same load"
    sets = counted(pain.n_sets, "set" if row.key.works == "both" else "pair")
    if not pain.left_higher and not pain.right_higher:
        return f"the same in {sets}"
    return f"left higher in {pain.left_higher}, right in {pain.right_higher} of {sets}"


def reps_words(reps: PairedReps | Withheld) -> str:
    """Mean difference in reps and in reserve, or why neither is known."""
    if isinstance(reps, Withheld):
        return reps.reason
    if isinstance(reps.reps, Withheld):
        return reps.reps.reason
    noun = "s" if reps.reps.unit == "seconds" else "reps"
    parts = [f"{counted(reps.n_fair, 'pair')}: {_difference(reps.reps, noun)}"]
    if isinstance(reps.reserve, Estimate):
        parts.append(f"{_difference(reps.reserve, 'reps')} in reserve")
    return ", ".join(parts)


def order_words(reps: PairedReps | Withheld) -> str:
    """``left first 38 of 38, reps matched in 35``."""
    if isinstance(reps, Withheld):
        return ""
    side, n = (
        ("left", reps.n_left_first)
        if reps.n_left_first >= reps.n_right_first
        else ("right", reps.n_right_first)
    )
    return f"{side} first {n} of {reps.n_pairs}, reps matched in {reps.n_reps_matched}"


def past_words(past: OwnPast | Withheld, row: SideRow) -> str:
    """``left 10, then 16; right 10, then 18 kg``: in the first weeks, and in the last."""
    if isinstance(past, Withheld):
        return past.reason

    def course(then: float | None, now: float | None) -> str:
        return ", then ".join("none" if load is None else plain_load(load, row.unit) for load in (then, now))

    return (
        f"left {course(past.left_first_kg, past.left_last_kg)};"
        f" right {course(past.right_first_kg, past.right_last_kg)} {row.unit}"
    )


def index_words(rows: Sequence[SideRow]) -> tuple[str, ...]:
    """Every index of each comparison with both lines known, each by its name and formula."""
    return tuple(
        f"{side_name(key)}, L of R {loads_words(load)}: {_indices(left, right)}."
        for key, load in known_loads(rows)
        if load.log2_left_over_right is not None
        and (left := load.left.load_kg) is not None
        and (right := load.right.load_kg) is not None
    )


def sides_method(rows: Sequence[SideRow]) -> tuple[str, ...]:
    """Paragraphs of the fold."""
    return (
        EQUAL_PAIN,
        SHARED,
        ONE_COURSE,
        HELD_BACK,
        OWN_PAST,
        *other_side_words(rows),
        NAMES,
        *index_words(rows),
    )


def other_side_words(rows: Sequence[SideRow]) -> tuple[str, ...]:
    """Each side now against the other side's first weeks, where both are known."""
    found = []
    for row in rows:
        if not isinstance(row.past, OwnPast):
            continue
        left, right = row.past.left_over_right_first_pct, row.past.right_over_left_first_pct
        if left is not None and right is not None:
            found.append(
                f"{side_name(row.key)}: left now is {half_up(left)} % of the right's first weeks, right now"
                f" {half_up(right)} % of the left's."
            )
    return tuple(found)


def _indices(left: float, right: float) -> str:
    parts = (
        ("limb symmetry index 100 L/R", limb_symmetry_index(left, right)),
        ("percentage difference 100 - 100 min/max", percentage_difference(left, right)),
        ("symmetry index 100 |L-R|/mean", symmetry_index(left, right)),
        ("symmetry angle 100 (45° - arctan(L/R))/90°", symmetry_angle(left, right)),
        ("bilateral asymmetry index 100 (L-R)/(L+R)", bilateral_asymmetry_index(left, right)),
        ("log ratio 100 ln(L/R)", log_ratio_pct(left, right)),
    )
    return "; ".join(f"{name} = {half_up(float(value), 1)} %" for name, value in parts)


def _difference(answer: Estimate, noun: str) -> str:
    """Left minus right: ``same reps``, or ``left −1.5 reps (−2.1 to −0.9)``."""
    if answer.value == answer.low == answer.high == 0.0:
        return f"same {noun}"
    return f"left {_signed(answer.value)} {noun} ({_signed(answer.low)} to {_signed(answer.high)})"


def _signed(value: float) -> str:
    text = half_up(abs(value), 1)
    return text if text == "0.0" else f"{'−' if value < 0 else '+'}{text}"
