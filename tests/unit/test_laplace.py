"""The outer gradient of the Laplace criterion, and the whitened joint posterior, against central differences."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.errors import FitError
from analysis.numerics.laplace import find_mode, laplace_point
from analysis.numerics.optimise import LaplaceFit, fit_laplace, refit_laplace
from analysis.numerics.predictor import Group, Predictor, Rows, Slope
from analysis.numerics.prior import Prior, SdBlock
from analysis.numerics.target import WhitenedPosterior

ABSOLUTE = 1e-6
"""Criterion values near 100 differenced with a step of 1e-4 are good to about 1e-8."""


def small_problem() -> tuple[Predictor, Prior]:
    """A load slope, two factors (one with a random-walk prior) and proper priors on everything."""
    rng = np.random.default_rng(11)
    n, J = 80, 3
    ell = rng.normal(size=n)
    group = rng.integers(0, 5, n)
    y = np.clip(np.round(0.8 * ell + 0.5 * rng.normal(size=5)[group] + rng.logistic(size=n)), 0, J).astype(
        int
    )
    rows = Rows(
        y,
        y,
        rng.normal(size=(n, 1)),
        (Group(group, np.ones(n), 5), Group(rng.integers(0, 4, n), np.ones(n), 4)),
        Slope(ell, rng.integers(0, 2, n), 2),
        J,
    )
    predictor = Predictor(rows)
    steps = np.diff(np.eye(5), axis=0)[:, :-1]
    blocks = (
        SdBlock(predictor.group_slice(0), None, np.log(0.3), 0.4),
        SdBlock(predictor.group_slice(1), None, 0.0, 0.5),
        SdBlock(predictor.group_slice(2), steps.T @ steps, np.log(0.4), 0.5),
    )
    return predictor, Prior(np.zeros(predictor.size), np.full(predictor.size, 1.5), blocks)


@pytest.mark.parametrize("n_outer", [0, 5])
def test_outer_gradient_is_exact(n_outer: int) -> None:
    predictor, prior = small_problem()
    latent = np.ones(predictor.size, dtype=bool)
    latent[:n_outer] = False
    theta, phi = np.zeros(predictor.size), np.array([-1.0, 0.2, -0.5])
    x = np.concatenate([theta[~latent] + 0.1, phi])

    def at(x: np.ndarray):
        start = theta.copy()
        start[~latent] = x[:n_outer]
        return laplace_point(predictor, prior, start, x[n_outer:], latent)

    step = 1e-4
    numeric = [(at(x + step * e).criterion - at(x - step * e).criterion) / (2 * step) for e in np.eye(x.size)]
    np.testing.assert_allclose(at(x).gradient, numeric, atol=ABSOLUTE)


def test_fit_reaches_a_maximum_with_the_reported_curvature() -> None:
    predictor, prior = small_problem()
    fit = fit_laplace(
        predictor, prior, start=np.zeros(predictor.size), phi_start=prior.log_sd_mean, tolerance=1e-5
    )
    assert fit.converged
    assert np.linalg.eigvalsh(fit.outer_hessian).min() > 0
    latent = np.ones(predictor.size, dtype=bool)
    for e in np.eye(3):
        for sign in (-1, 1):
            moved = laplace_point(predictor, prior, fit.point.theta, fit.point.phi + sign * 0.05 * e, latent)
            drop = fit.point.criterion - moved.criterion
            assert drop == pytest.approx(0.5 * 0.05**2 * float(e @ fit.outer_hessian @ e), rel=0.1)


def with_rows(predictor: Predictor, kept: np.ndarray) -> Predictor:
    """The same parameters with some of the rows."""
    rows = predictor.rows
    assert rows.slope is not None
    return Predictor(
        replace(
            rows,
            low=rows.low[kept],
            high=rows.high[kept],
            X=rows.X[kept],
            groups=tuple(replace(g, index=g.index[kept], value=g.value[kept]) for g in rows.groups),
            slope=replace(rows.slope, ell=rows.slope.ell[kept], index=rows.slope.index[kept]),
        )
    )


def fitted(predictor: Predictor, prior: Prior) -> LaplaceFit:
    return fit_laplace(
        predictor, prior, start=np.zeros(predictor.size), phi_start=prior.log_sd_mean, tolerance=1e-5
    )


def test_a_refit_after_one_more_row_is_the_fit_of_all_rows() -> None:
    predictor, prior = small_problem()
    before = fitted(with_rows(predictor, np.arange(79)), prior)
    again, anew = refit_laplace(predictor, prior, before, tolerance=1e-5), fitted(predictor, prior)
    assert again.converged
    assert np.abs(again.point.phi - before.point.phi).max() > 1e-3  # there was something to do
    assert again.n_evaluations <= 4
    assert again.point.criterion == pytest.approx(anew.point.criterion, abs=1e-9)
    np.testing.assert_allclose(again.point.phi, anew.point.phi, atol=1e-5)
    np.testing.assert_allclose(again.point.theta, anew.point.theta, atol=1e-5)
    size = np.sqrt(np.diag(anew.outer_hessian))
    np.testing.assert_allclose(
        again.outer_hessian / np.outer(size, size), anew.outer_hessian / np.outer(size, size), atol=0.05
    )


@pytest.mark.parametrize("wrong", [30.0, 0.2, -1.0, np.nan])
def test_a_refit_with_a_hessian_that_does_not_hold_begins_anew(wrong: float) -> None:
    predictor, prior = small_problem()
    before = fitted(with_rows(predictor, np.arange(40)), prior)
    misled = replace(before, outer_hessian=wrong * before.outer_hessian)
    again, anew = refit_laplace(predictor, prior, misled, tolerance=1e-5), fitted(predictor, prior)
    assert again.converged
    np.testing.assert_allclose(again.point.phi, anew.point.phi, atol=1e-4)
    np.testing.assert_allclose(again.outer_hessian, anew.outer_hessian, rtol=1e-2, atol=1e-2)


def test_a_refit_at_the_maximum_still_takes_a_step() -> None:
    """A gradient that is small already says nothing of the Hessian; the step does."""
    predictor, prior = small_problem()
    fit = fitted(predictor, prior)
    assert refit_laplace(predictor, prior, fit, tolerance=1e-3).n_evaluations == 2


def test_whitened_posterior_gradient_is_exact() -> None:
    predictor, prior = small_problem()
    fit = fit_laplace(predictor, prior, start=np.zeros(predictor.size), phi_start=prior.log_sd_mean)
    target = WhitenedPosterior(predictor, prior, fit)
    z = np.random.default_rng(1).normal(size=(predictor.size + 3, 4))
    _, gradient = target.value_and_gradient(z)
    for i in range(z.shape[0]):
        step = np.zeros_like(z)
        step[i] = 1e-5
        up, down = target.value_and_gradient(z + step)[0], target.value_and_gradient(z - step)[0]
        np.testing.assert_allclose(gradient[i], (up - down) / 2e-5, atol=1e-5)


def test_a_start_that_is_not_a_number_is_an_error() -> None:
    y = np.zeros(10, dtype=int)
    predictor = Predictor(Rows(y, y, np.zeros((10, 0)), (), None, 1))
    prior = Prior(np.zeros(1), np.full(1, np.inf), ())
    with pytest.raises(FitError):
        find_mode(predictor, prior, np.full(1, np.nan), np.zeros(0), np.ones(1, dtype=bool))
