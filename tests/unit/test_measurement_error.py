"""Measurement error and regression to the mean, against published values."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.numerics.measurement_error import detectable_change, regression_to_mean, successive_std_error


def test_smallest_change_of_two_single_ratings() -> None:
    # Childs et al. 2005, Spine 30:1331-1334: SEM 1.02. Their "MDC 2" leaves out the square root of 2; with it:
    assert detectable_change(1.02, confidence_level=0.95) == pytest.approx(2.827, abs=1e-3)
    assert detectable_change(1.02, confidence_level=0.90) == pytest.approx(2.373, abs=1e-3)
    # Alghadir et al. 2018, J Pain Res 11:851-856, numeric scale: SEM 0.48, MDC 1.33.
    assert detectable_change(0.48, confidence_level=0.95) == pytest.approx(1.330, abs=1e-3)


def test_means_of_several_ratings_need_less() -> None:
    # 1.96 * 1.02 * sqrt(1/4 + 1/9)
    found = detectable_change(1.02, n_before=4, n_after=9, confidence_level=0.95)
    assert found == pytest.approx(1.959964 * 1.02 * (13 / 36) ** 0.5, rel=1e-6)


def test_error_from_successive_differences_ignores_a_slow_course() -> None:
    assert successive_std_error(np.array([2.0, 2.0, 2.0])) == 0
    assert successive_std_error(np.array([1.0, 3.0, 1.0])) == pytest.approx(
        2**0.5
    )  # half of the mean of 4 and 4
    rng = np.random.default_rng(1)
    noise = rng.normal(0.0, 0.8, 4000)
    assert successive_std_error(noise + np.linspace(5, 1, 4000)) == pytest.approx(0.8, rel=0.05)


@pytest.mark.parametrize(("n_baseline", "expected"), [(1, 1.22011), (2, 0.72469), (4, 0.40246)])
def test_regression_to_the_mean(n_baseline: int, expected: float) -> None:
    # Barnett et al. 2005, Int J Epidemiol 34:215-220 (formula from memory): mean 4, SD 2, ICC .6, chosen above 6.
    found = regression_to_mean(mean=4, std_dev=2, reliability=0.6, cutoff=6, n_baseline=n_baseline)
    assert found == pytest.approx(expected, abs=1e-4)


def test_regression_to_the_mean_by_simulation() -> None:
    rng = np.random.default_rng(2)
    lasting = rng.normal(4.0, 2.0 * 0.6**0.5, 400_000)
    first, second = lasting + rng.normal(0.0, 2.0 * 0.4**0.5, (2, lasting.size))
    chosen = first > 6
    assert (first - second)[chosen].mean() == pytest.approx(1.22011, abs=0.03)


def test_a_rating_that_lasts_wholly_does_not_fall() -> None:
    assert regression_to_mean(mean=4, std_dev=2, reliability=1.0, cutoff=6) == 0
