"""Chance over good and bad days, and its inverse, against adaptive quadrature."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import norm

from analysis.numerics.day_average import chance_over_days, logit_for_chance


@pytest.mark.parametrize("sd", [0.1, 0.6, 1.5])
@pytest.mark.parametrize("a", [-4.0, -1.4, 0.0, 2.0])
def test_nine_points_agree_with_adaptive_quadrature(a: float, sd: float) -> None:
    exact, _ = quad(lambda u: expit(a + u) * norm.pdf(u, scale=sd), -12 * sd, 12 * sd)
    assert chance_over_days(np.array(a), np.array(sd)) == pytest.approx(exact, rel=2e-3)


def test_a_chance_is_never_above_one() -> None:
    assert chance_over_days(np.array([50.0, 700.0]), np.array([0.6, 3.0])).max() <= 1.0


@pytest.mark.parametrize("chance", [0.01, 0.2, 0.5, 0.97])
def test_inverse_gives_the_chance_back(chance: float) -> None:
    sd = np.array([0.0, 0.3, 1.0, 3.0])
    np.testing.assert_allclose(chance_over_days(logit_for_chance(chance, sd), sd), chance, rtol=1e-9)
