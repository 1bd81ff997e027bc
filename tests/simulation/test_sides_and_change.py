"""The ratio of the sides and the change of the line hold the truth, in a few clients of three months.

The full run is ``python tests/simulation/sides_and_change.py --clients 200``. With 6 clients (18 ratios, 42 changes)
the standard error of the coverage is about .05, clustered, so the bounds only catch what is badly wrong: a sign, a
side, a week or a slope mixed up.
"""

from __future__ import annotations

import pandas as pd
import pytest

from tests.simulation.sides_and_change import coverage_table, run

N_CLIENTS = 6


@pytest.fixture(scope="module")
def rows() -> pd.DataFrame:
    return run(world="W2", seeds=range(1, N_CLIENTS + 1), n_draws=640)


@pytest.mark.parametrize(
    ("what", "number", "widest"),
    [("sides", 18, 0.9), ("change, first", 42, 1.0), ("change, 28 days", 42, 0.6)],
)
def test_coverage_and_width(rows: pd.DataFrame, what: str, number: int, widest: float) -> None:
    table = coverage_table(rows)
    every = table[(table["what"] == what) & (table["status"] == "all")].iloc[0]
    assert every["n"] == number
    assert every["cov95"] >= 0.80
    assert every["width80"] <= widest
    assert abs(every["bias"]) <= 0.2


def test_the_estimates_follow_the_truth(rows: pd.DataFrame) -> None:
    for what in ("sides", "change, first"):
        mine = rows[rows["what"] == what]
        assert mine["q50"].corr(mine["truth"]) > 0.5


def test_a_direction_that_is_said_is_right(rows: pd.DataFrame) -> None:
    table = coverage_table(rows)
    said = table[(table["status"] == "all") & (table["said"] > 0)]
    assert len(said) >= 2
    assert (said["said_right"] >= 0.9).all()
