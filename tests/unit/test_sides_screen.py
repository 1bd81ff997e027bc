"""Left against right in words and drawn: every kind of answer, made by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
import vl_convert

from analysis.results import LineKey, LineStatus, PainLine, Withheld
from analysis.results_sides import LoadAtEqualPain, OwnPast, PainBetweenSides, PairedReps, SideKey, SideRow
from dashboard.charts.sides_chart import sides_chart
from dashboard.wording.sides import (
    known_loads,
    not_yet,
    side_sentences,
    sides_evidence,
    sides_heading,
)
from dashboard.wording.sides_table import sides_method, sides_table
from tests.unit.made_lines import line, tried

STEP_DOWN = SideKey(exercise="step-down", variant="standard", works="each")
CALF = SideKey(exercise="calf raise", variant="knee bent", works="each")
SQUAT = SideKey(exercise="box squat", variant="standard", works="both")
NONE = Withheld(reason="No set hurt on either side.", remedy="Nothing to mend.")
FEW = Withheld(reason="Only 2 pairs.", remedy="Six would tell.")
PAIN = PainBetweenSides(
    n_sets=10, left_higher=3, same=6, right_higher=1, mean_left=1.0, mean_right=0.4, left_higher_share=FEW
)
REPS = PairedReps(
    n_pairs=12,
    n_left_first=12,
    n_right_first=0,
    n_reps_matched=11,
    n_same_way=9,
    n_left_held_back=0,
    n_right_held_back=8,
    n_effort_unknown=1,
    n_fair=0,
    reps=Withheld(reason="Right held back to match in 8 of 9 pairs: not known.", remedy="A test would tell."),
    reserve=FEW,
)
PAST = OwnPast(
    days=28,
    left_first_kg=60.0,
    left_last_kg=72.0,
    right_first_kg=100.0,
    right_last_kg=80.0,
    left_over_right_first_pct=72.0,
    right_over_left_first_pct=400 / 3,
)


def stated(key: LineKey, load_kg: float | None, *, status: LineStatus = "reached") -> PainLine:
    low = (load_kg * 0.93 if load_kg else 16.0) if status != "below_tried" else None
    high = load_kg * 1.07 if load_kg else None
    row = line(status, key=key, load_kg=load_kg, low_kg=low, high_kg=high, seen=tried())
    assert isinstance(row.answer, PainLine)
    return row.answer


def load(
    key: SideKey, left: float | None, right: float | None, *, half: float = 0.1, probability: float = 0.99
) -> LoadAtEqualPain:
    """Both lines at these loads, an open one above everything tried."""
    lines = [
        stated(one, kg, status="reached" if kg else "above_tried")
        for one, kg in ((key.left, left), (key.right, right))
    ]
    ratio = math.log2(left / right) if left and right else None
    high = ratio + half if ratio is not None else (-0.2 if left else None)
    low = ratio - half if ratio is not None else (0.3 if right else None)
    return LoadAtEqualPain(
        log2_left_over_right=ratio,
        low=low,
        high=high,
        confidence_level=0.8,
        low95=low,
        high95=high,
        probability_left_lower=probability,
        left=lines[0],
        right=lines[1],
        n_sets=60,
        n_sessions=20,
    )


def row(key: SideKey, answer: LoadAtEqualPain | Withheld) -> SideRow:
    return SideRow(key=key, unit="kg", load=answer, reps=REPS, pain=PAIN, past=PAST)


BOTH = row(STEP_DOWN, load(STEP_DOWN, 33.0, 42.0))
OPEN = row(CALF, load(CALF, 14.0, None))
NEITHER = row(SQUAT, load(SQUAT, None, None, probability=0.03))
UNCLEAR = row(CALF, load(CALF, 13.0, 13.5, probability=0.7))
UNKNOWN = row(SQUAT, NONE)


def test_the_heading_counts_the_comparisons_that_are_sure() -> None:
    assert sides_heading((BOTH, OPEN, UNKNOWN)) == "Left carries less at equal pain in 2 of 2 comparisons"
    assert sides_heading((BOTH, UNCLEAR)) == "Left carries less at equal pain in 1 of 2 comparisons"
    assert sides_heading((BOTH, NEITHER)) == "Left carries less in 1, right in 1 of 2 comparisons"
    assert sides_heading((UNCLEAR,)) == "No clear difference of the sides in 1 comparison"
    assert sides_heading((UNKNOWN,)) == "Left and right: cannot say yet"
    assert sides_heading(()) == "No exercise was asked on both sides yet"


@pytest.mark.parametrize("n", [1, 15, 120])
def test_headings_stay_short(n: int) -> None:
    for rows in ((BOTH,) * n, (BOTH, NEITHER) * n, (UNCLEAR,) * n):
        assert len(sides_heading(rows)) <= 60


def test_each_comparison_is_a_sentence_with_both_loads_and_its_interval() -> None:
    assert side_sentences((BOTH,), {}) == (
        "Step-down: pain comes back on the left at 33 kg, on the right at 42 kg, so left is 79 % of right (73 to 84).",
    )
    assert side_sentences((OPEN,), {}) == (
        "Calf raise, knee bent: pain comes back on the left at 14.0 kg, on the right at over 16 kg,"
        " so left is at most 87 % of right.",
    )
    assert side_sentences((NEITHER,), {}) == (
        "Box squat (two-sided): pain comes back on the left at over 16 kg, on the right at over 16 kg,"
        " right is the lower one, how far is open.",
    )
    assert side_sentences((UNCLEAR,), {})[0].endswith("which side is the lower one is not clear.")


def test_an_end_at_even_is_said_as_under_or_over() -> None:
    at_even = row(CALF, replace(load(CALF, 14.0, None), high=0.0))
    assert "so left is under 100 % of right" in side_sentences((at_even,), {})[0]


def test_what_the_log_said_before_is_told_where_it_moved() -> None:
    (moved,) = side_sentences((BOTH,), {STEP_DOWN: math.log2(0.6)})
    assert moved.endswith("8 weeks before the log said 60 %.")
    (same,) = side_sentences((BOTH,), {STEP_DOWN: math.log2(0.76)})
    assert "weeks before" not in same


def test_comparisons_with_the_same_reason_stand_together() -> None:
    assert not_yet((UNKNOWN, row(CALF, NONE), BOTH)) == (
        "Box squat (two-sided); Calf raise, knee bent. No set hurt on either side. Nothing to mend.",
    )
    assert "2 more comparisons cannot be made yet" in sides_evidence((BOTH, UNKNOWN, UNKNOWN), 0)
    assert "ring" in sides_evidence((BOTH,), 1)
    assert "Log one-sided sets" in sides_evidence((), 0)


def test_the_table_has_what_stands_beside_the_load() -> None:
    (told,) = sides_table((BOTH,))
    assert told == {
        "exercise": "Step-down",
        "at equal pain": "33 of 42 kg",
        "left of right": "79 % (73 to 84)",
        "probability": "left lower, 99 %",
        "pain at the same load": "left higher in 3, right in 1 of 10 pairs",
        "reps and effort": "Right held back to match in 8 of 9 pairs: not known.",
        "led, matched": "left first 12 of 12, reps matched in 11",
        "quiet on two days": "left 60, then 72; right 100, then 80 kg",
    }


def test_every_index_stands_with_its_formula() -> None:
    told = " ".join(sides_method((BOTH, OPEN)))
    for words in (
        "limb symmetry index 100 L/R = 78.6 %",
        "percentage difference 100 - 100 min/max = 21.4 %",
        "symmetry index 100 |L-R|/mean = 24.0 %",
        "symmetry angle 100 (45° - arctan(L/R))/90° = 7.6 %",
        "log ratio 100 ln(L/R) = -24.1 %",
        "Step-down: left now is 72 % of the right's first weeks, right now 133 % of the left's.",
    ):
        assert words in told
    assert "ready" not in told
    assert "safe" not in told


def drawn(*rows: SideRow, then: dict[SideKey, float] | None = None, dark: bool = False) -> dict[str, Any]:
    chart = sides_chart(known_loads(rows), then or {}, description="Sides", dark=dark)
    assert chart is not None
    spec: dict[str, Any] = chart.to_dict()
    return spec


def values(spec: dict[str, Any], **mark: object) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for layer in spec["layer"]:
        if all(layer["mark"].get(name) == value for name, value in mark.items()):
            data = layer["data"]
            found += spec["datasets"][data["name"]] if "name" in data else data["values"]
    return found


def test_nothing_known_draws_nothing() -> None:
    assert sides_chart([], {}, description="Sides") is None


def test_a_dot_and_a_bar_in_both_forms_and_a_ring_where_known() -> None:
    spec = drawn(BOTH, OPEN, then={STEP_DOWN: math.log2(0.6)})
    assert len(values(spec, strokeWidth=5)) == 4
    dots = values(spec, type="point", size=170)
    rings = values(spec, type="point", size=55)
    assert (len(dots), len(rings)) == (2, 2)
    assert all(ring["x"] < ring["x2"] == dot["x"] for ring, dot in zip(rings, dots, strict=True))


def test_an_open_end_has_an_arrow_at_the_end_of_the_axis() -> None:
    arrows = values(drawn(OPEN), type="point", angle=270.0)
    bars = values(drawn(OPEN), strokeWidth=5)
    assert [arrow["x"] for arrow in arrows] == [bar["x"] for bar in bars]
    assert not values(drawn(OPEN), type="point", angle=90.0)


def test_no_end_at_all_is_said_in_words_on_the_side_that_is_higher() -> None:
    texts = values(drawn(NEITHER), fontStyle="italic")
    assert {text["text"] for text in texts} == {"right lower, how far is open"}
    assert not values(drawn(NEITHER), strokeWidth=5)


def test_the_axis_widens_for_what_lies_beyond_and_holds_even() -> None:
    far = row(STEP_DOWN, load(STEP_DOWN, 60.0, 20.0, probability=0.0))
    ticks = drawn(far)["layer"][0]["encoding"]["x"]["axis"]["labelExpr"]
    assert '"400"' in ticks
    assert '"100"' in ticks
    assert '"400"' not in drawn(BOTH)["layer"][0]["encoding"]["x"]["axis"]["labelExpr"]


@pytest.mark.parametrize("dark", [False, True])
def test_every_kind_renders(dark: bool) -> None:
    spec = drawn(BOTH, OPEN, NEITHER, UNCLEAR, then={STEP_DOWN: -0.5}, dark=dark)
    spec["width"] = 360
    assert "<svg" in vl_convert.vegalite_to_svg(spec)
