"""The profiled criterion against a likelihood written out in full, its gradient, and what the fit refuses."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from analysis.errors import OptionError
from analysis.numerics.linear_mixed import fit_linear_mixed
from analysis.numerics.linear_mixed_criterion import RandomFactor, mixed_point, mixed_products

EXACT = 1e-9
"""Same formula by two ways: rounding only."""
DIFFERENCE = 1e-5
"""Central differences of a criterion near 100, step 1e-5."""

Case = tuple[np.ndarray, np.ndarray, tuple[RandomFactor, ...]]


def crossed(seed: int = 4, n: int = 60) -> Case:
    """A correlated intercept and slope over 5 levels, crossed with an intercept over 7."""
    rng = np.random.default_rng(seed)
    x = rng.normal(size=n)
    X = np.column_stack([np.ones(n), x, rng.normal(size=n)])
    first = np.concatenate([np.arange(5), rng.integers(0, 5, n - 5)])
    second = np.concatenate([np.arange(7), rng.integers(0, 7, n - 7)])
    y = X @ [2.0, 0.5, -1.0] + rng.normal(size=5)[first] + rng.normal(size=7)[second] * 0.5
    y += rng.normal(size=5)[first] * x + rng.normal(size=n)
    return y, X, (RandomFactor(first, X[:, :2]), RandomFactor(second, X[:, :1]))


def relative_covariance(X: np.ndarray, groups: tuple[RandomFactor, ...], own: list[np.ndarray]) -> np.ndarray:
    """V = I + sum of Z_j T T' Z_j', entry by entry; T per unit of each column."""
    V = np.eye(len(X))
    for factor, T in zip(groups, own, strict=True):
        reach = factor.columns @ T
        V += (factor.level[:, None] == factor.level) * (reach @ reach.T)
    return V


def minus_twice_log_likelihood(y, X, V, *, reml: bool) -> float:
    """With beta and sigma at their best values for this V, by generalised least squares in full."""
    n, p = X.shape
    weight = np.linalg.inv(V)
    information = X.T @ weight @ X
    rest = y - X @ np.linalg.solve(information, X.T @ weight @ y)
    degrees = n - p if reml else n
    sigma2 = rest @ weight @ rest / degrees
    value = -2.0 * multivariate_normal(np.zeros(n), sigma2 * V).logpdf(rest)
    if reml:
        value += np.linalg.slogdet(information)[1] - p * np.log(sigma2) - p * np.log(2.0 * np.pi)
    return float(value)


@pytest.mark.parametrize("reml", [True, False])
def test_criterion_and_gradient_at_given_parameters(reml: bool) -> None:
    y, X, groups = crossed()
    products = mixed_products(y, X, groups)
    rng = np.random.default_rng(8)
    for _ in range(5):
        theta = rng.normal(size=4)
        point = mixed_point(products, theta, reml=reml)
        T = np.array([[theta[0], 0.0], [theta[1], theta[2]]]) / products.scales[0][:, None]
        V = relative_covariance(X, groups, [T, theta[3:].reshape(1, 1)])
        assert point.criterion == pytest.approx(minus_twice_log_likelihood(y, X, V, reml=reml), abs=1e-8)
        step = 1e-5 * np.eye(4)
        slopes = [
            mixed_point(products, theta + s, reml=reml).criterion
            - mixed_point(products, theta - s, reml=reml).criterion
            for s in step
        ]
        np.testing.assert_allclose(point.gradient, np.array(slopes) / 2e-5, atol=DIFFERENCE)


@pytest.mark.parametrize(("seed", "singular"), [(4, True), (5, False)])
def test_no_other_spread_is_likelier_than_the_fit(seed: int, singular: bool) -> None:
    y, X, groups = crossed(seed)
    fit = fit_linear_mixed(y, X, groups)
    assert fit.converged
    assert fit.singular[0] == singular
    best = [np.array([[fit.theta[0], 0.0], fit.theta[1:3]]), fit.theta[3:].reshape(1, 1)]
    at_fit = minus_twice_log_likelihood(y, X, relative_covariance(X, groups, best), reml=True)
    assert at_fit == pytest.approx(-2.0 * fit.log_likelihood, abs=1e-8)
    rng = np.random.default_rng(3)
    for size in (0.01, 0.3, 1.0):
        for _ in range(15):
            other = [T + size * np.tril(rng.normal(size=T.shape)) for T in best]
            V = relative_covariance(X, groups, other)
            assert minus_twice_log_likelihood(y, X, V, reml=True) > at_fit


def test_a_spread_of_zero_is_found_and_said() -> None:
    """Level means that are all equal: the most likely spread between levels is zero, not small."""
    level = np.repeat(np.arange(6), 4)
    y = np.tile([0.0, 1.0, 2.0, 3.0], 6)
    fit = fit_linear_mixed(y, np.ones((24, 1)), [RandomFactor(level, np.ones((24, 1)))])
    assert fit.converged
    assert fit.singular == (True,)
    assert fit.effect_covariances[0][0, 0] < 1e-8
    assert fit.sigma == pytest.approx(y.std(ddof=1), rel=EXACT)
    assert fit.degrees_of_freedom[0] == pytest.approx(23)


def test_without_factors_it_is_least_squares() -> None:
    y, X, _ = crossed()
    fit = fit_linear_mixed(y, X, [])
    beta, rss = np.linalg.lstsq(X, y)[:2]
    np.testing.assert_allclose(fit.beta, beta, rtol=EXACT)
    covariance = rss[0] / 57 * np.linalg.inv(X.T @ X)
    np.testing.assert_allclose(fit.covariance, covariance, rtol=EXACT, atol=1e-15)
    np.testing.assert_allclose(fit.degrees_of_freedom, 57)


def test_balanced_random_intercept_has_the_closed_form() -> None:
    """One-way analysis of variance, balanced: REML spread = (MSB - MSW) / m, df of the mean = levels - 1."""
    rng = np.random.default_rng(12)
    level = np.repeat(np.arange(8), 5)
    y = 3.0 + 2.0 * rng.normal(size=8)[level] + rng.normal(size=40)
    fit = fit_linear_mixed(y, np.ones((40, 1)), [RandomFactor(level, np.ones((40, 1)))])
    means = y.reshape(8, 5).mean(1)
    within = y.reshape(8, 5).var(axis=1, ddof=1).mean()
    between = 5 * means.var(ddof=1)
    assert between > within
    assert fit.sigma**2 == pytest.approx(within, rel=1e-8)
    assert fit.effect_covariances[0][0, 0] == pytest.approx((between - within) / 5, rel=1e-7)
    assert fit.std_error[0] ** 2 == pytest.approx(between / 40, rel=1e-8)
    assert fit.degrees_of_freedom[0] == pytest.approx(7, rel=1e-5)
    shrunk = (means - y.mean()) * (1 - within / between)
    np.testing.assert_allclose(fit.effects[0][:, 0], shrunk, rtol=1e-7)


def test_moving_or_stretching_a_slope_column_changes_only_its_units() -> None:
    """Correlated intercept and slope: the model is the same wherever the column's zero and whatever its unit."""
    y, X, _ = crossed()
    level = np.arange(60) % 6
    moved = np.column_stack([X[:, 0], 40.0 + 250.0 * X[:, 1]])
    plain = fit_linear_mixed(y, X[:, :2], [RandomFactor(level, X[:, :2])])
    far = fit_linear_mixed(y, moved, [RandomFactor(level, moved)])
    assert far.converged
    assert far.log_likelihood + np.log(250.0) == pytest.approx(plain.log_likelihood, abs=1e-8)
    assert far.beta[1] * 250.0 == pytest.approx(plain.beta[1], rel=1e-7)
    assert far.std_error[1] * 250.0 == pytest.approx(plain.std_error[1], rel=1e-5)


def test_refusals() -> None:
    y, X, groups = crossed()
    with pytest.raises(OptionError, match="leave one out"):
        fit_linear_mixed(y, np.column_stack([X, X[:, 1] + X[:, 2]]), groups)
    with pytest.raises(OptionError, match="give more rows"):
        fit_linear_mixed(y[:3], X[:3], [])
    with pytest.raises(OptionError, match="as many levels as rows"):
        fit_linear_mixed(y, X, [RandomFactor(np.arange(60), X[:, :1])])
    with pytest.raises(OptionError, match="all zero"):
        fit_linear_mixed(y, X, [RandomFactor(groups[0].level, np.zeros((60, 1)))])
    with pytest.raises(OptionError, match="no residual is left"):
        fit_linear_mixed(X @ [1.0, 2.0, 3.0], X, groups)
    with pytest.raises(OptionError, match="no residual is left"):
        fit_linear_mixed(X[:, 1] + groups[0].level, X, groups)
