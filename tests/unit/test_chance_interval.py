"""A chance and its interval from draws: quantiles, and the mean always inside."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.questions.chance_interval import chance_with_interval


def test_ends_are_the_central_quantiles() -> None:
    draws = np.arange(101) / 100
    assert chance_with_interval(draws, 0.8) == pytest.approx((0.5, 0.1, 0.9))


def test_an_end_is_moved_out_to_the_mean_of_lopsided_draws() -> None:
    draws = np.r_[np.zeros(95), np.ones(5)]
    assert chance_with_interval(draws, 0.8) == pytest.approx((0.05, 0.0, 0.05))
    assert chance_with_interval(1 - draws, 0.8) == pytest.approx((0.95, 0.95, 1.0))


def test_a_lower_end_under_one_in_a_hundred_is_stated_as_none() -> None:
    draws = np.linspace(0.001, 0.101, 101)
    assert chance_with_interval(draws, 0.9)[1] == 0.0
    assert chance_with_interval(draws, 0.6)[1] == pytest.approx(0.021)
