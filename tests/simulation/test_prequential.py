"""Live predictions come true as often as they say, under a coach who answers pain with the next load.

Sixty small clients; ``python tests/simulation/prequential.py --clients 300`` has more and longer ones.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray
from scipy.special import expit, logit
from scipy.stats import norm

from tests.simulation.prequential import Predicted, predicted_session, prequential_table

Floats = NDArray[np.float64]

N_CLIENTS = 60
ALARM = 0.01
"""Chance of any alarm over five levels and both statistics (Bonferroni) for a calibrated engine."""


@pytest.fixture(scope="module")
def sessions() -> list[Predicted]:
    return [predicted_session(seed) for seed in range(1, N_CLIENTS + 1)]


def worst(table: pd.DataFrame, column: str) -> float:
    return float(table[column].abs().max() / norm.isf(0.5 * ALARM / (2 * len(table))))


def changed(sessions: list[Predicted], how: Callable[[Floats], Floats]) -> pd.DataFrame:
    return prequential_table(replace(s, chance=expit(how(logit(s.chance)))) for s in sessions)


def test_predictions_come_true_as_often_as_they_say(sessions: list[Predicted]) -> None:
    table = prequential_table(sessions)
    assert table["sets"].iloc[0] == 8 * N_CLIENTS
    assert table["came"].min() > 20
    assert worst(table, "z") < 1.0
    assert worst(table, "z_sureness") < 1.0


def test_enough_draws_stand_behind_nearly_every_prediction(sessions: list[Predicted]) -> None:
    """A day that surprises leaves few draws with weight; that must be rare for the z above to hold."""
    assert np.quantile([s.effective_draws for s in sessions], 0.05) > 50


def test_predictions_half_a_logit_low_are_noticed(sessions: list[Predicted]) -> None:
    assert worst(changed(sessions, lambda lean: lean - 0.5), "z") > 1.0


def test_predictions_too_sure_are_noticed(sessions: list[Predicted]) -> None:
    assert worst(changed(sessions, lambda lean: 1.4 * lean), "z_sureness") > 1.0
