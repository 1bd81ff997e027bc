"""Newton's method with log scales, on functions whose maximum is known."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.numerics.ascend import ascend

FLOOR = np.array([-np.inf, np.log(0.03)])
IS_LOG_SCALE = np.array([False, True])


def even_in_the_scale(sign: float):
    """-(m - 1)^2 + sign s^2 - s^4, s = exp(x_1): maximum at s = sqrt(sign / 2), or at 0 for a negative sign."""

    def value_and_gradient(x: np.ndarray) -> tuple[float, np.ndarray]:
        s = np.exp(x[1])
        value = -((x[0] - 1.0) ** 2) + sign * s**2 - s**4
        return float(value), np.array([-2.0 * (x[0] - 1.0), 2.0 * sign * s**2 - 4.0 * s**4])

    def hessian(x: np.ndarray) -> np.ndarray:
        s = np.exp(x[1])
        return np.diag([2.0, -4.0 * sign * s**2 + 16.0 * s**4])

    return value_and_gradient, hessian


@pytest.mark.parametrize("start", [0.05, 0.3, 1.0, 20.0])
def test_a_maximum_inside(start: float) -> None:
    criterion, hessian = even_in_the_scale(2.0)
    found = ascend(
        criterion,
        np.array([4.0, np.log(start)]),
        hessian,
        is_log_scale=IS_LOG_SCALE,
        floor=FLOOR,
        tolerance=1e-6,
    )
    np.testing.assert_allclose(found.x, [1.0, 0.0], atol=1e-6)


@pytest.mark.parametrize("start", [0.01, 0.3, 1.0, 20.0])
def test_a_scale_that_falls_is_held_at_its_floor_and_the_rest_found(start: float) -> None:
    criterion, hessian = even_in_the_scale(-2.0)
    found = ascend(
        criterion,
        np.array([4.0, np.log(start)]),
        hessian,
        is_log_scale=IS_LOG_SCALE,
        floor=FLOOR,
        tolerance=1e-6,
    )
    np.testing.assert_allclose(found.x, [1.0, FLOOR[1]], atol=1e-6)
    assert found.n_evaluations < 20


def test_a_parameter_that_runs_off_is_followed_by_growing_steps() -> None:
    """-1 / x has no maximum: Newton's step is x / 2, and the search goes as far as its steps allow."""
    found = ascend(
        lambda x: (float(-1.0 / x[0]), np.array([x[0] ** -2.0])),
        np.array([1.0]),
        lambda x: np.array([[2.0 * x[0] ** -3.0]]),
        is_log_scale=np.array([False]),
        floor=np.array([-np.inf]),
        tolerance=1e-12,
    )
    assert found.x[0] > 1e5
