"""The grid of loads by ranges, and the test that tells the two apart: counted and worked out by hand."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analysis.observations import observations
from analysis.questions.load_by_range import load_by_range, load_rows
from analysis.questions.range_test import MARK, chance_if_alike, range_test
from analysis.results import LineKey, Withheld
from analysis.results_effects import LoadByRange, RangeCell, RangePlan, RangeResult, RangeTest
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
STOPS = [
    {"exercise": "step-down", "order": i, "range_stop": stop}
    for i, stop in enumerate(("box 10 cm", "box 15 cm", "box 20 cm"))
]


def stop_set(
    day: int, number: int, load: float, stop: str | None, pain: int, **more: object
) -> dict[str, object]:
    return squat(day, number, load, pain, range_stop=stop, **more)


SETS = [
    stop_set(0, 1, 8.0, "box 20 cm", 0),
    stop_set(0, 2, 8.0, "box 15 cm", 1),  # range alone
    stop_set(0, 3, 10.0, "box 20 cm", 3),  # both
    stop_set(2, 1, 12.0, "box 20 cm", 5),  # load alone
    stop_set(2, 2, 12.0, "box 20 cm", 2),  # neither
    stop_set(2, 3, 12.0, None, 9),  # no range: left out
    stop_set(4, 1, 8.0, "box 20 cm", 0),  # load alone
]


def grid_of(sets: list[dict[str, object]], **tables: list[dict[str, object]]) -> LoadByRange | Withheld:
    log = small_log(sets, **{"ranges": STOPS} | tables)
    return load_by_range(observations(log, "T-01"), KEY, log.ranges)


def test_cells_and_changes_are_counted() -> None:
    grid = grid_of(SETS)
    assert isinstance(grid, LoadByRange)
    assert grid.loads_kg == ((12.0, 12.0), (10.0, 10.0), (8.0, 8.0))
    assert grid.stops == ("box 15 cm", "box 20 cm")
    assert grid.cells == (
        RangeCell(load=0, stop=1, n_asked=2, n_painful=2, worst=5),
        RangeCell(load=1, stop=1, n_asked=1, n_painful=1, worst=3),
        RangeCell(load=2, stop=0, n_asked=1, n_painful=0, worst=1),
        RangeCell(load=2, stop=1, n_asked=2, n_painful=0, worst=0),
    )
    assert (grid.n_range_alone, grid.n_load_alone, grid.n_both, grid.n_neither) == (1, 2, 1, 1)
    assert grid.loads_at_two_stops_kg == (8.0,)
    assert grid.n_left_out == 1


def test_ranges_logged_in_percent_are_told_to_the_nearest_five() -> None:
    grid = grid_of([squat(0, n + 1, 8.0, n, rom_pct=pct) for n, pct in enumerate((100, 78, 82))])
    assert isinstance(grid, LoadByRange)
    assert grid.stops == ("80 %", "100 %")
    assert [cell.n_asked for cell in grid.cells] == [2, 1]


def test_many_loads_share_rows() -> None:
    rows = load_rows([float(load) for load in range(1, 21)])  # 20 loads: three to a row
    assert rows[0] == (18.0, 20.0)
    assert rows[-1] == (1.0, 2.0)
    assert len(rows) == 7
    assert load_rows([5.0, 5.001, 7.0]) == ((7.0, 7.0), (5.0, 5.0))


def test_without_ranges_or_loads_it_says_what_to_log() -> None:
    bare = grid_of([squat(0, 1, 8.0, 1)])
    assert isinstance(bare, Withheld)
    assert "range" in bare.reason
    unloaded = grid_of([stop_set(0, 1, 0.0, "box 20 cm", 1)])
    assert isinstance(unloaded, Withheld)
    assert "no load" in unloaded.reason


def asked_test(
    sets: list[dict[str, object]], *, seed: int = 5, **tables: list[dict[str, object]]
) -> RangeTest:
    log: TrainingLog = small_log(sets, **{"ranges": STOPS} | tables)
    as_of = pd.Timestamp(log.sets["date"].max()).date()
    return range_test(log, observations(log, "T-01"), "T-01", KEY, as_of=as_of, seed=seed)


def plan_of(sets: list[dict[str, object]], **more: object) -> RangePlan:
    plan = asked_test(sets, **more).plan  # type: ignore[arg-type]
    assert isinstance(plan, RangePlan)
    return plan


def test_the_plan_takes_the_load_and_range_in_use_and_the_next_shorter_range() -> None:
    plan = plan_of(SETS)
    assert (plan.load_kg, plan.shorter, plan.longer) == (8.0, "box 15 cm", "box 20 cm")
    coin = np.random.default_rng(5).integers(0, 2, size=3)
    assert plan.shorter_first == tuple(bool(side) for side in coin)
    assert plan.seed == 5


def test_the_plan_keeps_every_limit() -> None:
    heavy = [stop_set(0, n, load, "box 20 cm", 0) for n, load in enumerate((8.0, 12.0, 12.0), 1)]
    assert plan_of(heavy).load_kg == 12.0
    limit = {"client": "T-01", "max_load": 20.0, "unit": "lb"}  # 9.07 kg
    assert plan_of(heavy, limits=[limit]).load_kg == 8.0
    stop = plan_of(SETS, limits=[{"client": "T-01", "max_range_stop": "box 15 cm"}])
    assert (stop.shorter, stop.longer) == ("box 10 cm", "box 15 cm")
    for limits in (
        {"client": "T-01", "leave_out": True},
        {"client": "T-01", "exercise": "step-down", "max_load": 5.0, "unit": "kg"},
        {"client": "T-01", "max_range_stop": "box 10 cm"},
        {"client": "T-01", "max_range_stop": "not in ranges.csv"},
    ):
        assert isinstance(asked_test(SETS, limits=[limits]).plan, Withheld), limits
    past = {"client": "T-01", "leave_out": True, "until": pd.Timestamp("2026-06-02")}
    assert isinstance(asked_test(SETS, limits=[past]).plan, RangePlan)


def test_no_test_after_sharp_pain_or_without_a_second_range() -> None:
    sharp = [*SETS, stop_set(6, 1, 8.0, "box 20 cm", 6, pain_feel="sharp")]
    told = asked_test(sharp).plan
    assert isinstance(told, Withheld)
    assert "sharp" in told.reason
    only = asked_test([stop_set(0, 1, 8.0, "box 10 cm", 1)]).plan
    assert isinstance(only, Withheld)
    assert "ranges.csv" in only.remedy


def marked(day: int, longer: int, shorter: int) -> list[dict[str, object]]:
    note = f"{MARK.upper()}, day {day}"
    return [
        stop_set(day, 1, 8.0, "box 20 cm", longer, note=note),
        stop_set(day, 2, 8.0, "box 15 cm", shorter, note=note),
    ]


def test_the_coin_goes_on_where_it_stopped() -> None:
    whole = plan_of(SETS)
    after_one = plan_of([*SETS, *marked(6, 3, 1)])
    assert after_one.shorter_first == whole.shorter_first[1:]
    assert (after_one.load_kg, after_one.shorter, after_one.longer) == (8.0, "box 15 cm", "box 20 cm")


def test_three_marked_sessions_are_analysed_and_others_are_not() -> None:
    sets = [*SETS, *marked(6, 4, 1), *marked(8, 3, 1), *marked(10, 2, 1)]
    result = asked_test(sets).result
    assert isinstance(result, RangeResult)
    assert (result.shorter, result.longer) == ("box 15 cm", "box 20 cm")
    assert result.mean_difference == pytest.approx(2.0)
    assert result.chance_if_alike == pytest.approx(0.25)  # 2 of the 8 falls of the coin
    assert [pair.shorter_first for pair in result.pairs] == [False, False, False]
    assert isinstance(asked_test(sets).plan, Withheld)
    waiting = asked_test([*SETS, *marked(6, 4, 1)]).result
    assert isinstance(waiting, Withheld)
    assert waiting.reason.startswith("1 of 3")


@pytest.mark.parametrize(
    ("differences", "chance"),
    [
        ((3, 2, 1, 4, 2), 2 / 32),  # all one way
        ((3, -1, 0), 1.0),  # |2| or more: 4, 2, -2, -4, each twice of 8
        ((3, 1, -1), 6 / 8),  # mean 1: sums 5, 3, 3, 1 and their negatives; 3 or more either way: 6 of 8
        ((0, 0, 0), 1.0),
    ],
)
def test_chance_if_alike_counts_the_falls_of_the_coin(differences: tuple[int, ...], chance: float) -> None:
    longer = 5.0 + np.array(differences, dtype=float)
    assert chance_if_alike(longer, np.full(len(differences), 5.0)) == pytest.approx(chance)
