"""The whole posterior is calibrated: true values rank anywhere among the draws, equally often.

Sixty clients of a tiny design; the study of a month-sized design is
``python tests/simulation/calibration.py --runs 300``. Both tests of every quantity together raise an alarm in at
most ALARM of calibrated studies (Bonferroni), and seeds are fixed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.simulation.calibration import Run, calibration_run, ranks, smallest_p, uniformity
from tests.simulation.prior_clients import small_design

ALARM = 0.01
N_RUNS, N_DRAWS = 60, 640


@pytest.fixture(scope="module")
def runs() -> list[Run]:
    design = small_design(n_sessions=5, n_exercises=2, n_sets=2)
    return [calibration_run(seed, design, N_DRAWS) for seed in range(N_RUNS)]


def alarm_p(runs: list[Run]) -> float:
    n_draws = next(iter(runs[0].draws.values())).size
    return smallest_p(uniformity(ranks(runs), n_draws, np.random.default_rng(3)))


def test_ranks_of_the_truth_are_uniform(runs: list[Run]) -> None:
    table = ranks(runs)
    assert len(table) == N_RUNS
    assert {"cutpoint 5", "log sd session", "line 0.2 exercise 1 standard left left"} <= set(table.columns)
    assert alarm_p(runs) > ALARM


def test_the_fits_settle(runs: list[Run]) -> None:
    assert np.mean([run.converged for run in runs]) >= 0.95


def test_draws_too_narrow_are_noticed(runs: list[Run]) -> None:
    """Draws pulled half-way to their median, as an approximation that forgets half the spread would give them."""
    narrow = [
        replace(run, draws={name: np.median(x) + 0.5 * (x - np.median(x)) for name, x in run.draws.items()})
        for run in runs
    ]
    assert alarm_p(narrow) < ALARM


def test_draws_beside_the_truth_are_noticed(runs: list[Run]) -> None:
    """Draws shifted by two thirds of a standard deviation, as a mode taken for a mean would shift them."""
    beside = [replace(run, draws={name: x + 0.67 * x.std() for name, x in run.draws.items()}) for run in runs]
    assert alarm_p(beside) < ALARM
