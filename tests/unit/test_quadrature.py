"""The integrated log-likelihood's gradient against central differences, for one factor and for several."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.errors import FitError
from analysis.numerics.links import Link
from analysis.numerics.marginal import Marginal
from analysis.numerics.predictor import Group, Predictor, Rows
from analysis.numerics.quadrature import OneFactor

STEP = 1e-4
GRADIENT = 2e-6
"""Central differences: third derivatives near 100 times STEP^2 / 6."""
X_AT = np.array([-1.0, -0.3, 0.2, 0.7, -0.4, -0.2])


def random_rows(link: Link, n_factors: int) -> Rows:
    """Three cutpoints, two covariates, some censored rows; the first factor's value is a covariate."""
    rng = np.random.default_rng(12)
    n = 90
    low = rng.integers(0, 4, n)
    high = np.where(rng.random(n) < 0.2, 3, low)
    groups = (
        Group(rng.integers(0, 6, n), rng.normal(size=n), 6),
        Group(rng.integers(0, 2, n), np.ones(n), 2),
    )
    return Rows(low, high, rng.normal(size=(n, 2)), groups[:n_factors], None, 3, link)


@pytest.mark.parametrize("link", ["logit", "probit"])
@pytest.mark.parametrize(("n_factors", "points"), [(0, 1), (1, 1), (1, 2), (1, 9), (2, 1)])
@pytest.mark.parametrize("log_sd", [-2.0, 0.5])
def test_gradient(link: Link, n_factors: int, points: int, log_sd: float) -> None:
    marginal = Marginal(random_rows(link, n_factors), points)
    x = np.concatenate([X_AT[:5], np.full(n_factors, log_sd)])
    numeric = [
        (marginal(x + STEP * e).log_likelihood - marginal(x - STEP * e).log_likelihood) / (2 * STEP)
        for e in np.eye(x.size)
    ]
    np.testing.assert_allclose(marginal(x).gradient, numeric, atol=GRADIENT)


def test_without_spread_the_factor_is_not_there() -> None:
    rows = random_rows("logit", 1)
    alone = Marginal(random_rows("logit", 0), 1)(X_AT[:5]).log_likelihood
    for points in (1, 7):
        narrow = Marginal(rows, points)(np.append(X_AT[:5], -12.0)).log_likelihood
        assert narrow == pytest.approx(alone, abs=1e-8)


def test_modes_are_kept_between_calls_and_found_again_from_afar() -> None:
    criterion = OneFactor(Predictor(random_rows("logit", 1)), 5)
    x = np.append(X_AT[:5], 0.3)
    first = criterion(x)
    criterion(np.append(4.0 * X_AT[:5], 2.0))
    again = criterion(x)
    np.testing.assert_allclose(again.modes, first.modes, atol=1e-9)
    assert again.log_likelihood == pytest.approx(first.log_likelihood, abs=1e-9)


def test_parameters_that_are_not_numbers_are_an_error() -> None:
    with pytest.raises(FitError):
        Marginal(random_rows("logit", 1), 3)(np.full(6, np.nan))
