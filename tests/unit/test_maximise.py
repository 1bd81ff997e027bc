"""The search for a maximum on functions whose maximum is known."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.errors import FitError
from analysis.numerics.maximise import climb, difference_hessian, newton_step, polish


def hill(x: np.ndarray) -> tuple[float, np.ndarray]:
    """Minus Rosenbrock's function: maximum 0 at (1, 1), Hessian of minus it ((802, -400), (-400, 200))."""
    value = -((1 - x[0]) ** 2 + 100 * (x[1] - x[0] ** 2) ** 2)
    gradient = np.array([2 * (1 - x[0]) + 400 * x[0] * (x[1] - x[0] ** 2), -200 * (x[1] - x[0] ** 2)])
    return float(value), gradient


def test_climb_and_polish_reach_the_top() -> None:
    rough = climb(hill, np.array([-1.2, 1.0]), np.eye(2))
    top = polish(hill, rough.x)
    np.testing.assert_allclose(top.x, 1.0, atol=1e-9)
    np.testing.assert_allclose(top.hessian, [[802, -400], [-400, 200]], rtol=1e-6)
    assert top.converged
    assert np.abs(top.last_step).max() < 1e-9


def test_polish_alone_walks_in_from_nearby() -> None:
    assert polish(hill, np.array([0.7, 0.4])).x == pytest.approx([1.0, 1.0], abs=1e-9)


def test_a_plain_without_top_is_not_converged() -> None:
    def rising(x: np.ndarray) -> tuple[float, np.ndarray]:
        return float(-np.exp(-x[0])), np.array([np.exp(-x[0])])

    top = polish(rising, np.zeros(1))
    assert not top.converged


def test_a_saddle_is_not_converged() -> None:
    def saddle(x: np.ndarray) -> tuple[float, np.ndarray]:
        return float(x[0] ** 2 - x[1] ** 2), np.array([2 * x[0], -2 * x[1]])

    top = polish(saddle, np.zeros(2))
    assert not top.definite
    assert not top.converged


def test_a_step_uphill_even_where_the_hessian_has_the_wrong_sign() -> None:
    gradient = np.array([0.3, -0.2])
    step = newton_step(np.diag([-2.0, 5.0]), gradient)
    assert gradient @ step > 0
    np.testing.assert_allclose(step, [0.15, -0.04])


def test_where_the_criterion_breaks_down_the_climb_turns_back() -> None:
    def fenced(x: np.ndarray) -> tuple[float, np.ndarray]:
        if x[0] > 3.0:
            raise FitError("beyond the fence")
        return float(-((x[0] - 2.0) ** 2)), np.array([-2.0 * (x[0] - 2.0)])

    rough = climb(fenced, np.array([-5.0]), np.array([[1.0]]))
    assert rough.x[0] == pytest.approx(2.0, abs=1e-3)


def test_difference_hessian_of_a_quadratic_is_exact() -> None:
    A = np.array([[2.0, 0.5], [0.5, 1.0]])
    hessian = difference_hessian(lambda x: (float(-0.5 * x @ A @ x), -A @ x), np.array([0.3, -0.1]))
    np.testing.assert_allclose(hessian, A, atol=1e-10)
