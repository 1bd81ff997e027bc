"""A line's interval in kilograms: quantiles, finite however far away the draws lie."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import interval_kg
from analysis.questions.line_history import line_history
from tests.small_logs import small_log, squat


def test_ends_are_quantiles_in_kilograms() -> None:
    log2_line = np.linspace(2.0, 4.0, 2001)
    np.testing.assert_allclose(interval_kg(log2_line, 0.8), [2**2.2, 8.0, 2**3.8])


@pytest.mark.parametrize("octaves", [-5000.0, 5000.0])
def test_draws_beyond_any_load_keep_kilograms_finite_and_above_zero(octaves: float) -> None:
    ends = interval_kg(np.array([octaves, 3.0, 3.0, 3.0, -octaves]), 0.95)
    assert np.isfinite(ends).all()
    assert 0 < ends[0] < ends[1] < ends[2]


def test_a_line_of_decades_ago_is_finite() -> None:
    days = [365 * year for year in range(0, 60, 5)]
    rows = [squat(day, i + 1, 8.0 + 4 * i, 3 * (i > 0)) for day in days for i in range(2)]
    fit = fit_pain_model(small_log(rows), client="T-01", options=PainOptions(n_draws=128))
    (key,) = fit.tried
    for week in line_history(fit, key):
        assert 0 < week.low_kg <= week.load_kg <= week.high_kg < np.inf
