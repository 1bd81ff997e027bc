"""Intervals of the pain line hold the truth about as often as they say, in 60 clients of the first world.

The full study is ``python tests/simulation/coverage.py --clients 300``; with 60 clients (about 590 lines) the
standard errors are .011 for the 95 % and .020 for the 80 % coverage, so the bounds below leave four of them.
"""

from __future__ import annotations

import pandas as pd
import pytest

from tests.simulation.coverage import coverage_table, score_client


@pytest.fixture(scope="module")
def table() -> pd.DataFrame:
    return coverage_table(line for seed in range(1, 61) for line in score_client(seed, "W1"))


def test_coverage_and_width_in_the_first_world(table: pd.DataFrame) -> None:
    every = table.loc["all"]
    assert every["lines"] > 500
    assert 0.905 <= every["cov95"] <= 0.99
    assert 0.73 <= every["cov80"] <= 0.885
    assert abs(every["bias"]) <= 0.10
    assert every["width80"] <= 0.80


def test_every_fit_settles(table: pd.DataFrame) -> None:
    assert table.loc["all", "converged"] == 1.0
