"""Sentences about what brings pain on: hand-made answers in, words out."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from analysis.results import Estimate, LineKey, Withheld
from analysis.results_effects import (
    BringsItOn,
    CountedCondition,
    CountedGroup,
    DescribedPain,
    Effect,
    EffectSize,
    LoadByRange,
    LoadChoice,
    RangeCell,
    RangePair,
    RangePlan,
    RangeResult,
    RangeTest,
)
from dashboard.wording.effects import (
    change_name,
    choice_words,
    direction_words,
    effects_heading,
    effects_table,
    notes,
    signed,
    unknown_sentences,
)
from dashboard.wording.load_by_range import (
    counted_sentences,
    grid_heading,
    grid_sentence,
    range_test_sentences,
    row_name,
)

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
NOT_YET = Withheld(reason="0 of 3 sessions of the test are logged.", remedy="Mark them.")
PLAN = RangePlan(
    load_kg=8.0,
    shorter="box 15 cm",
    longer="box 20 cm",
    shorter_first=(True, False, True),
    seed=102,
    mark="range test",
)
GRID = LoadByRange(
    key=KEY,
    loads_kg=((10.0, 12.0), (8.0, 8.0)),
    stops=("box 15 cm", "box 20 cm"),
    cells=(
        RangeCell(load=0, stop=1, n_asked=9, n_painful=3, worst=7),
        RangeCell(load=1, stop=0, n_asked=2, n_painful=0, worst=1),
        RangeCell(load=1, stop=1, n_asked=5, n_painful=0, worst=1),
    ),
    n_range_alone=2,
    n_load_alone=29,
    n_both=1,
    n_neither=60,
    loads_at_two_stops_kg=(8.0,),
    n_left_out=0,
    unit="kg",
    load_basis="per hand",
)


def estimate(value: float, low: float, high: float) -> Estimate:
    return Estimate(
        value=value,
        low=low,
        high=high,
        confidence_level=0.8,
        unit="points",
        method="draws",
        n_sets=90,
        n_sessions=30,
    )


def size(points: float, low: float, high: float, *, direction: float | None = 0.97) -> EffectSize:
    return EffectSize(
        log_odds=estimate(2 * points, 2 * low, 2 * high),
        points=estimate(points, low, high),
        points_low95=low - 0.1,
        points_high95=high + 0.1,
        chance_before=estimate(0.2, 0.1, 0.3),
        chance_after=estimate(0.4, 0.2, 0.6),
        probability_direction=direction,
    )


def effect(
    term: str, before: float | str | None, after: float | str | None, answer: EffectSize | Withheld
) -> Effect:
    return Effect(term=term, per="", key=KEY, before=before, after=after, load_kg=8.0, answer=answer)


LOAD = effect("load", 8.0, 8.8, size(0.18, 0.1, 0.27, direction=None))
LOWERING = effect("lowering_s", 2.0, 3.0, size(-0.6, -1.0, -0.2))


def told(*effects: Effect) -> BringsItOn:
    return BringsItOn(
        key=KEY,
        effects=effects,
        compensation=Withheld(reason="Too few.", remedy="Log it."),
        rest=CountedCondition(
            condition="rest",
            groups=(
                CountedGroup(name="under 90 s", n_asked=10, n_painful=4),
                CountedGroup(name="90 s or more", n_asked=20, n_painful=2),
            ),
            same_load=(),
            n_unknown=1,
        ),
        described=(
            DescribedPain(column="pain_at", n_painful=6, n_told=5, counts=(("bottom", 4), ("top", 1))),
            DescribedPain(column="pain_feel", n_painful=6, n_told=0, counts=()),
        ),
        grid=GRID,
        test=RangeTest(key=KEY, plan=PLAN, result=NOT_YET),
        choice=LoadChoice(n_told=94, n_by_pain=11, n_by_feel=5),
    )


@pytest.mark.parametrize(
    ("term", "before", "after", "words"),
    [
        ("lowering_s", 2.0, 3.0, "1 s slower lowering (2 to 3 s)"),
        ("lowering_s", None, None, "1 s slower lowering"),
        ("rom_pct", 90.0, 100.0, "10 points more range (90 to 100 %)"),
        ("range_rank", "box 15 cm", "box 20 cm", "Box 20 cm, not box 15 cm"),
        ("reps", 8.0, 10.0, "2 more reps (8 to 10)"),
        ("set_number", 1.0, 3.0, "Set 3 of the exercise, not 1"),
        ("place", 6.0, 11.0, "Later in the session (set 11, not 6)"),
        ("variant", "standard", "heel on wedge", "Heel on wedge, not standard"),
    ],
)
def test_a_change_is_named_with_what_was_compared(
    term: str, before: float | str | None, after: float | str | None, words: str
) -> None:
    assert change_name(effect(term, before, after, NOT_YET)) == words


def test_the_heading_names_the_largest_change_whose_direction_is_clear() -> None:
    unclear = effect("place", 6.0, 11.0, size(1.5, -0.5, 3.5, direction=0.8))
    assert effects_heading(told(unclear, LOAD, LOWERING)) == (
        "Step-down, left: −0.6 points with 1 s slower lowering"
    )
    assert effects_heading(told(unclear)) == "Step-down, left: no change told apart yet"
    assert effects_heading(told(LOAD)) == "Step-down, left: +0.18 points with 10 % more load"


def test_nothing_says_that_a_change_causes_or_is_safe() -> None:
    lines = [*unknown_sentences(told(LOAD)), *counted_sentences(told(LOAD)), grid_sentence(GRID)]
    lines += range_test_sentences(told().test, "kg", "per hand")
    for word in ("cause", "because of", "safe", "ready"):
        assert not any(word in line.casefold() for line in lines), word


def test_signs_and_zero() -> None:
    assert [signed(value, 1) for value in (0.21, -0.21, 0.04, -0.04)] == ["+0.2", "−0.2", "0", "0"]


def test_direction_stands_with_its_probability_and_is_assumed_for_load() -> None:
    assert direction_words(size(-0.6, -1.0, -0.2)) == "less pain, 97 %"
    assert direction_words(size(0.6, 0.2, 1.0, direction=1.0)) == "more pain, over 99 %"
    assert direction_words(size(0.2, 0.1, 0.3, direction=None)) == "more pain (taken for granted)"
    assert notes(told(LOAD, replace(LOWERING, note="Leans on the load."))) == [
        "1 s slower lowering (2 to 3 s): Leans on the load."
    ]
    row = effects_table(told(LOWERING))[0]
    assert row["points of pain"] == "−0.6 (−1.0 to −0.2)"
    assert row["of 10 sets would hurt"] == "2 before, 4 after (2 to 6)"


def test_the_grid_counts_what_changed_and_says_what_that_allows() -> None:
    assert grid_heading(GRID) == "Load and range: two ranges or more at 8 kg"
    assert grid_sentence(GRID) == (
        "From one set to the next the range changed alone twice, the load alone 29 times, both together once."
        " Only loads done at two ranges compare the ranges."
    )
    assert [row_name(GRID, row) for row in (0, 1)] == ["10-12", "8"]
    apart = replace(GRID, loads_at_two_stops_kg=())
    assert "cannot be told from what goes with load" in grid_sentence(apart)
    one = replace(GRID, stops=("box 20 cm",), loads_at_two_stops_kg=())
    assert grid_heading(one) == "Load and range: every set at box 20 cm"


def test_the_plan_is_written_session_by_session_and_its_seed_is_shown() -> None:
    lines = range_test_sentences(told().test, "kg", "per hand")
    assert "8 kg in each hand" in lines[0]
    assert lines[1] == "Session 1: box 15 cm first, then box 20 cm."
    assert lines[2] == "Session 2: box 20 cm first, then box 15 cm."
    assert "seed 102" in lines[4]
    later = replace(told().test, plan=replace(PLAN, shorter_first=(True,)))
    assert range_test_sentences(later, "kg", "per hand")[1].startswith("Session 3:")


def test_a_result_says_how_little_three_sessions_can_show() -> None:
    pairs = tuple(
        RangePair(
            day=dt.date(2026, 9, 7), load_kg=8.0, pain_shorter=1, pain_longer=longer, shorter_first=True
        )
        for longer in (4, 3, 2)
    )
    result = RangeResult(
        shorter="box 15 cm", longer="box 20 cm", pairs=pairs, mean_difference=2.0, chance_if_alike=0.25
    )
    done = RangeTest(
        key=KEY, plan=Withheld(reason="3 sessions are logged.", remedy="More count."), result=result
    )
    line = range_test_sentences(done, "kg", "per hand")[-1]
    assert "+2.0 points at box 20 cm against box 15 cm" in line
    assert "7 Sep: 4 at box 20 cm, 1 at box 15 cm" in line
    assert "25 % of such tests" in line


def test_counts_name_how_many_told() -> None:
    lines = counted_sentences(told())
    assert lines[0] == "Where in the movement: bottom 4, top 1 (told in 5 of 6 sets that hurt)."
    assert lines[1] == "Too few. Log it."
    assert lines[2] == (
        "Rest: under 90 s 4 of 10 hurt, 90 s or more 2 of 20 hurt. No load saw both, so load may be why."
        " Not logged in 1 set."
    )
    assert choice_words(LoadChoice(n_told=0, n_by_pain=0, n_by_feel=0)) is None
    assert choice_words(told().choice) == (
        "In 16 of 94 sets of this line the load was chosen by pain (11) or by feel (5)."
    )
