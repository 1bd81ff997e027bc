"""The criteria themselves, at parameters that are given: before any search, against R and against one-dimensional
integrals by scipy.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from scipy.special import expit

from analysis.numerics.cumulative_link import cutpoints_from_gaps, gaps_from_cutpoints
from analysis.numerics.marginal import Marginal
from analysis.numerics.predictor import Group, Rows
from tests.reference.stored import listed, stored
from tests.reference.wine.bottles import Wine, wine

R = stored(__file__)
SAME = 1e-8
"""Same formula at the same parameters; R's values carry 13 digits."""
EXACT = 1e-9
"""scipy's quad is asked for 1e-12; forty nodes a judge are exact to about 1e-12 here."""
AT = np.array([-1.6, 1.5, 4.2, 6.1, 3.0, 1.8, 0.2])
"""Cutpoints, coefficients and log sd near, not at, the maximum."""


def rows_of(data: Wine) -> Rows:
    at = data.rating - 1
    return Rows(at, at, data.X, (Group(data.judge - 1, np.ones(72), 9),), None, 4)


def theta(values: np.ndarray) -> np.ndarray:
    return np.concatenate([gaps_from_cutpoints(values[:4]), values[4:]])


@pytest.mark.parametrize("points", [1, 10])
def test_log_likelihood_at_the_estimates_of_r(points: int) -> None:
    r = R[f"clmm_logit_{points}"]
    ours = Marginal(rows_of(wine()), points)(theta(listed(r["estimate"])))
    assert ours.log_likelihood == pytest.approx(r["log_likelihood"], abs=SAME)


def joint_log_density(data: Wine, judge: int) -> Callable[[float], float]:
    """Log-likelihood of one judge's ratings at effect u, plus the log density of u; nothing of ours in it."""
    cuts = np.concatenate([[-np.inf], AT[:4], [np.inf]])
    mine = data.judge == judge
    rating, eta, sd = data.rating[mine], data.X[mine] @ AT[4:6], np.exp(AT[6])

    def at(u: float) -> float:
        chance = expit(cuts[rating] - eta - u) - expit(cuts[rating - 1] - eta - u)
        return float(np.log(chance).sum() - 0.5 * (u / sd) ** 2 - np.log(sd) - 0.5 * np.log(2 * np.pi))

    return at


def test_many_nodes_are_the_integral() -> None:
    data = wine()
    exact = 0.0
    for judge in range(1, 10):
        log_density = joint_log_density(data, judge)
        exact += np.log(quad(lambda u, f=log_density: np.exp(f(u)), -12, 12, epsabs=0, epsrel=1e-12)[0])
    assert Marginal(rows_of(data), 40)(theta(AT)).log_likelihood == pytest.approx(exact, abs=EXACT)


def test_one_node_is_the_laplace_approximation() -> None:
    data, total, step = wine(), 0.0, 1e-3
    for judge in range(1, 10):
        f = joint_log_density(data, judge)
        u = minimize_scalar(lambda u, f=f: -f(u), bracket=(-2, 2), tol=1e-12).x
        curvature = -(-f(u + 2 * step) + 16 * f(u + step) - 30 * f(u) + 16 * f(u - step) - f(u - 2 * step))
        total += f(u) + 0.5 * np.log(2 * np.pi) - 0.5 * np.log(curvature / (12 * step**2))
    assert Marginal(rows_of(data), 1)(theta(AT)).log_likelihood == pytest.approx(total, abs=1e-7)


def test_laplace_level_by_level_and_all_at_once_agree() -> None:
    """The same model twice: one factor by `quadrature`, and split in two by `laplace` (five judges and four)."""
    rows = rows_of(wine())
    judge = rows.groups[0].index
    first = Group(np.minimum(judge, 4), (judge < 5).astype(float), 5)
    second = Group(np.maximum(judge - 5, 0), (judge >= 5).astype(float), 4)
    split = Marginal(Rows(rows.low, rows.high, rows.X, (first, second), None, 4), 1)
    whole = Marginal(rows, 1)(theta(AT))
    parts = split(np.append(theta(AT), AT[6]))
    assert parts.log_likelihood == pytest.approx(whole.log_likelihood, abs=EXACT)
    gradient = np.append(parts.gradient[:6], parts.gradient[6:].sum())
    np.testing.assert_allclose(gradient, whole.gradient, atol=1e-7)
    np.testing.assert_allclose(np.concatenate(parts.modes), whole.modes[0], atol=EXACT)


def test_gaps_and_cutpoints_are_inverse() -> None:
    np.testing.assert_allclose(cutpoints_from_gaps(gaps_from_cutpoints(AT[:4])), AT[:4], atol=1e-14)
