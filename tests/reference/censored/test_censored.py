"""Answers known only to lie in an interval: held against integrals and searches by scipy alone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize
from scipy.special import expit, ndtr
from scipy.stats import norm

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.wine.bottles import wine

CDF = {"logit": expit, "probit": ndtr}
LOG_LIKELIHOOD = 1e-9
FLAT = 2e-6
"""Slope of the brute-force criterion at our maximum, by central differences (step 1e-4, error about 1e-7)."""


def censored_wine() -> np.ndarray:
    """Every third rating known only as "this or more", every fifth as "this or one less"."""
    rating = wine().rating.astype(float)
    answers = np.column_stack([rating, rating])
    answers[::3, 1] = np.inf
    answers[::5, 0] -= 1
    return np.clip(answers, 1, None)


def brute_force(link: str, x: np.ndarray, *, with_judges: bool) -> float:
    """Log-likelihood of the censored ratings at cutpoints x[:4], coefficients x[4:6] and log sd x[6]."""
    data, answers = wine(), censored_wine()
    cuts = np.concatenate([[-np.inf], x[:4], [np.inf]])
    low, high = answers[:, 0].astype(int), np.minimum(answers[:, 1], 5).astype(int)
    eta = data.X @ x[4:6]

    def log_chance(rows: np.ndarray, u: float) -> float:
        upper, lower = cuts[high[rows]] - eta[rows] - u, cuts[low[rows] - 1] - eta[rows] - u
        return float(np.log(CDF[link](upper) - CDF[link](lower)).sum())

    if not with_judges:
        return log_chance(np.arange(72), 0.0)
    total = 0.0
    for judge in range(1, 10):
        rows = np.flatnonzero(data.judge == judge)

        def density(z: float, rows: np.ndarray = rows) -> float:
            return float(np.exp(log_chance(rows, z * np.exp(x[6])) - 0.5 * z**2) / np.sqrt(2 * np.pi))

        total += np.log(quad(density, -8, 8, epsabs=0, epsrel=1e-11, limit=200)[0])
    return total


@pytest.mark.parametrize("with_judges", [False, True])
@pytest.mark.parametrize("link", ["logit", "probit"])
def test_our_maximum_is_that_of_the_integrals(link: str, with_judges: bool) -> None:
    data = wine()
    groups = {"judge": data.judge} if with_judges else None
    fit = fit_cumulative_link_mixed(
        censored_wine(), data.X, groups, link=link, quadrature_points=60 if with_judges else 1
    )
    x = np.array([*fit.cutpoints, *fit.coefficients, *(np.log(c.sd) for c in fit.components)])

    def exact(x: np.ndarray) -> float:
        return brute_force(link, x, with_judges=with_judges)

    assert fit.log_likelihood == pytest.approx(exact(x), abs=LOG_LIKELIHOOD)
    step = 1e-4
    slope = [(exact(x + step * e) - exact(x - step * e)) / (2 * step) for e in np.eye(x.size)]
    np.testing.assert_allclose(slope, 0.0, atol=FLAT)
    assert fit.convergence.converged


def test_an_interval_over_the_whole_scale_says_nothing() -> None:
    data = wine()
    answers = np.column_stack([data.rating, data.rating]).astype(float)
    silent = np.tile([-np.inf, np.inf], (5, 1))
    with_them = fit_cumulative_link_mixed(
        np.vstack([answers, silent]),
        np.vstack([data.X, data.X[:5]]),
        {"judge": [*data.judge, *data.judge[:5]]},
    )
    without = fit_cumulative_link_mixed(answers, data.X, {"judge": data.judge})
    np.testing.assert_allclose(with_them.cutpoints, without.cutpoints, atol=1e-8)
    np.testing.assert_allclose(with_them.covariance, without.covariance, rtol=1e-6)
    assert with_them.log_likelihood == pytest.approx(without.log_likelihood, abs=1e-10)


def test_current_status_is_probit_regression() -> None:
    """Whether a normal threshold lies below a dose, at two doses each: censored answers and probit regression are one.

    The threshold's distribution N(mean, sd^2) is fitted by the likelihood of intervals (-inf, dose] and (dose, inf),
    and read off the probit fit as mean = cutpoint / slope and sd = 1 / slope.
    """
    dose = np.repeat([1.0, 2.0, 3.0, 4.0, 5.0], 8)
    dead = np.concatenate([np.arange(8) < killed for killed in (1, 2, 5, 6, 7)])
    fit = fit_cumulative_link_mixed(dead, dose, link="probit")

    def minus(x: np.ndarray) -> float:
        mean, log_sd = x
        below = norm.logcdf(dose, mean, np.exp(log_sd))
        above = norm.logsf(dose, mean, np.exp(log_sd))
        return float(-np.where(dead, below, above).sum())

    best = minimize(minus, np.array([3.0, 0.0]), method="BFGS", options={"gtol": 1e-9})
    assert fit.cutpoints[0] / fit.coefficients[0] == pytest.approx(best.x[0], abs=1e-6)
    assert 1.0 / fit.coefficients[0] == pytest.approx(np.exp(best.x[1]), abs=1e-6)
    assert fit.log_likelihood == pytest.approx(-best.fun, abs=1e-9)
