"""Order of named stops: one order, for the sets and for settings asked about."""

from __future__ import annotations

import pandas as pd

from analysis.derive import derive_sets
from analysis.design import build_design
from analysis.observations import observations
from analysis.range_stops import stop_percents, stop_ranks
from tests.small_logs import small_log, squat

STOPS = [
    {"exercise": "step-down", "order": 9, "range_stop": "full"},
    {"exercise": "bridge", "order": 1, "range_stop": "floor", "rom_pct": 100.0},
    {"exercise": "step-down", "order": 2, "range_stop": "box 45 cm", "rom_pct": 60.0},
    {"exercise": "step-down", "order": 5, "range_stop": "box 30 cm"},
]


def test_the_order_column_decides_not_the_row() -> None:
    ranges = pd.DataFrame(STOPS)
    ranks = stop_ranks(ranges)
    assert ranks["step-down"] == {"box 45 cm": 0.0, "box 30 cm": 1.0, "full": 2.0}
    assert list(ranks["step-down"]) == ["box 45 cm", "box 30 cm", "full"]
    assert ranks["bridge"] == {"floor": 0.0}
    assert stop_percents(ranges) == {"bridge": {"floor": 100.0}, "step-down": {"box 45 cm": 60.0}}


def test_stops_of_one_place_keep_the_order_of_their_rows() -> None:
    tied = [{"exercise": "hinge", "order": 1, "range_stop": f"stop {i}", "rom_pct": None} for i in range(40)]
    assert list(stop_ranks(pd.DataFrame(tied))["hinge"]) == [f"stop {i}" for i in range(40)]


def test_sets_and_settings_share_the_order() -> None:
    names = [stop["range_stop"] for stop in STOPS if stop["exercise"] == "step-down"]
    rows = [squat(i, 1, 10.0, 0, range_stop=name) for i, name in enumerate(names)]
    log = small_log(rows, ranges=STOPS)
    sets = derive_sets(log, "T-01")
    design = build_design(observations(log, "T-01"), variants=log.variants, ranges=log.ranges)
    of_sets = dict(zip(sets["range_stop"], sets["range_rank"], strict=True))
    assert of_sets == design.range_ranks["step-down"]
    assert sets["rom_pct"].dropna().tolist() == [60.0]
