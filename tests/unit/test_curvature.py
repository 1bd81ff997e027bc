"""Gradient, Hessian and log-determinant adjoint of the likelihood against central differences."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.numerics.cumulative_link import OPEN_END
from analysis.numerics.curvature import Curvature
from analysis.numerics.links import ROW_TERMS, Link
from analysis.numerics.predictor import Group, Predictor, Rows, Slope

N_POINTS = 20
RELATIVE = 1e-5
"""Central differences with a step of 1e-5 are themselves good to about 1e-9 here."""
STEP = 1e-5
NARROW = 1e-8
"""A row of width 1e-7 loses about 1e-16 / 1e-7 of itself in double precision."""


def random_rows(rng: np.random.Generator, *, with_slope: bool, link: Link = "logit") -> Rows:
    """Scores, censored scores and "0 or 1" answers with two crossed factors."""
    n, J = 120, 5
    low = rng.integers(0, J + 1, n)
    high = low.copy()
    censored = (rng.random(n) < 0.15) & (low > 0)
    high[censored] = J
    unasked = rng.random(n) < 0.1
    low[unasked], high[unasked] = 0, 1
    groups = (
        Group(rng.integers(0, 4, n), np.ones(n), 4),
        Group(rng.integers(0, 6, n), rng.normal(size=n), 6),
    )
    slope = Slope(rng.normal(size=n), rng.integers(0, 3, n), 3) if with_slope else None
    return Rows(low, high, rng.normal(size=(n, 3)), groups, slope, J, link)


def central(function, theta: np.ndarray) -> np.ndarray:
    """Central differences of an array-valued function, one entry per parameter in front."""
    rows = [
        (function(theta + STEP * e) - function(theta - STEP * e)) / (2 * STEP) for e in np.eye(theta.size)
    ]
    return np.array(rows)


@pytest.mark.parametrize("link", ["logit", "probit"])
@pytest.mark.parametrize("with_slope", [True, False])
def test_derivatives_match_differences_at_random_points(with_slope: bool, link: Link) -> None:
    rng = np.random.default_rng(7)
    predictor = Predictor(random_rows(rng, with_slope=with_slope, link=link))
    for _ in range(N_POINTS):
        theta = 0.5 * rng.normal(size=predictor.size)
        here = Curvature(predictor, theta)
        gradient = central(lambda t: np.array(Curvature(predictor, t).log_likelihood), theta)
        assert np.abs(here.gradient() - gradient).max() < RELATIVE * np.abs(gradient).max()
        hessian = -central(lambda t: Curvature(predictor, t).gradient(), theta)
        assert np.abs(here.hessian() - hessian).max() < RELATIVE * np.abs(hessian).max()
        root = rng.normal(size=(predictor.size, predictor.size))
        S = root @ root.T
        adjoint = central(lambda t, S=S: np.array((Curvature(predictor, t).hessian() * S).sum()), theta)
        assert np.abs(here.adjoint(S) - adjoint).max() < RELATIVE * np.abs(adjoint).max()


@pytest.mark.parametrize("link", ["logit", "probit"])
def test_probabilities_of_all_scores_add_up_to_one(link: Link) -> None:
    rng = np.random.default_rng(3)
    theta = rng.normal(size=5 + 3 + 10)
    base = random_rows(rng, with_slope=False)
    total = np.zeros(120)
    for score in range(6):
        at = np.full(120, score)
        predictor = Predictor(Rows(at, at, base.X, base.groups, None, 5, link))
        total += np.exp(Curvature(predictor, theta).terms.log_probability)
    np.testing.assert_allclose(total, 1.0, atol=1e-12)


def test_sparse_and_dense_predictors_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(5)
    rows = random_rows(rng, with_slope=True)
    dense = Predictor(rows)
    monkeypatch.setattr("analysis.numerics.predictor.DENSE_BELOW", 0)
    sparse = Predictor(rows)
    theta = rng.normal(size=(dense.size, 3))
    np.testing.assert_allclose(dense.eta(theta)[0], sparse.eta(theta)[0], atol=1e-12)
    eta, term = dense.eta(theta)
    np.testing.assert_allclose(dense.gather(eta, term), sparse.gather(eta, term), atol=1e-10)


def test_probit_rows_far_out_and_narrow() -> None:
    """Log-probabilities by mpmath 1.4.1 with 50 digits; the narrow row keeps 8 of them."""
    r = np.array([-9.0, 12.5, 0.3 + 1e-7, OPEN_END, 8.0])
    l = np.array([-OPEN_END, 12.0, 0.3, 20.0, -8.0])
    expected = [-43.62814911333, -75.4127763107, -17.08203419913, -203.9171553711, -1.244192114854e-15]
    terms = ROW_TERMS["probit"](r, l)
    np.testing.assert_allclose(terms.log_probability, expected, rtol=NARROW, atol=1e-15)
    assert np.isfinite([terms.f_r, terms.f_l, terms.v_r, terms.v_l, terms.cross]).all()
