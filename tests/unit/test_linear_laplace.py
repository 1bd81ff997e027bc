"""The Laplace criterion of linear models against the general one, and its derivatives against differences."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.numerics import effects_curvature
from analysis.numerics.laplace import laplace_point
from analysis.numerics.linear_laplace import LinearLaplace
from analysis.numerics.links import Link
from analysis.numerics.marginal import Marginal
from analysis.numerics.predictor import Group, Predictor, Rows
from analysis.numerics.prior import Prior, SdBlock

STEP = 1e-3
"""Of the central differences; a Hessian of size 100 is then good to about 1e-5, and four times better at half of it."""


def problem(n_factors: int, link: Link, seed: int = 3) -> tuple[Predictor, np.ndarray]:
    """Censored answers 0 .. 4, two covariates and up to three factors, the last with a random slope."""
    rng = np.random.default_rng(seed)
    n, J = 150, 4
    values = (np.ones(n), np.ones(n), rng.normal(size=n))
    groups = tuple(
        Group(rng.integers(0, size, n), value, size)
        for size, value in zip((5, 14, 7)[:n_factors], values, strict=False)
    )
    low = rng.integers(0, J + 1, n)
    high = np.minimum(low + rng.integers(0, 2, n) * rng.integers(0, 3, n), J)
    x = np.concatenate([[-1.0, -0.2, 0.1, -0.5, 0.4, -0.3], 0.5 * rng.normal(size=n_factors) - 0.5])
    return Predictor(Rows(low, high, rng.normal(size=(n, 2)), groups, None, J, link)), x


@pytest.mark.parametrize("link", ["logit", "probit"])
@pytest.mark.parametrize("n_factors", [1, 2, 3])
def test_it_is_the_general_criterion(n_factors: int, link: Link) -> None:
    predictor, x = problem(n_factors, link)
    criterion = LinearLaplace(predictor)
    point = criterion(x)
    size, n_fixed = predictor.size, predictor.dense.stop
    blocks = tuple(SdBlock(predictor.group_slice(k), None, 0.0, np.inf) for k in range(n_factors))
    start = np.concatenate([x[:n_fixed], np.zeros(size - n_fixed)])
    latent = np.arange(size) >= n_fixed
    prior = Prior(np.zeros(size), np.full(size, np.inf), blocks)
    general = laplace_point(predictor, prior, start, x[n_fixed:], latent, tolerance=1e-18)
    assert point.log_likelihood == pytest.approx(general.criterion, abs=1e-10)
    np.testing.assert_allclose(point.gradient, general.gradient, atol=1e-7)
    order = np.concatenate([np.arange(size - n_fixed)[span] for span in criterion.layout.spans])
    np.testing.assert_allclose(point.u[order], general.theta[n_fixed:], atol=1e-8)
    np.testing.assert_allclose(point.variances[order], np.diag(general.S)[n_fixed:], atol=1e-8)


@pytest.mark.parametrize("link", ["logit", "probit"])
@pytest.mark.parametrize("n_factors", [1, 2, 3])
def test_the_hessian_is_what_differences_of_the_gradient_go_to(n_factors: int, link: Link) -> None:
    predictor, x = problem(n_factors, link)
    criterion = LinearLaplace(predictor)
    hessian = criterion.hessian(criterion(x))
    apart = []
    for step in (STEP, 0.5 * STEP):
        rows = [
            (criterion(x + step * e).gradient - criterion(x - step * e).gradient) / (2 * step)
            for e in np.eye(x.size)
        ]
        apart.append(np.abs(np.array(rows) - hessian).max())
    assert apart[0] < 1e-6 * np.abs(hessian).max()
    assert apart[1] < 0.3 * apart[0]  # of second order in the step: nothing else is left


def test_marginal_gives_the_hessian_of_minus_the_criterion_but_not_for_quadrature() -> None:
    predictor, x = problem(1, "logit")
    criterion = LinearLaplace(predictor)
    marginal = Marginal(predictor.rows, 1)
    np.testing.assert_allclose(marginal.hessian(x), -criterion.hessian(criterion(x)), atol=1e-8)
    assert not Marginal(predictor.rows, 5).has_hessian
    with pytest.raises(ValueError, match="Quadrature"):
        Marginal(predictor.rows, 5).hessian(x)


def test_it_does_not_matter_where_the_last_point_was() -> None:
    predictor, x = problem(3, "logit")
    fresh, used = LinearLaplace(predictor), LinearLaplace(predictor)
    for shift in (3.0, -2.0):
        used(x + shift)
    np.testing.assert_allclose(used(x).gradient, fresh(x).gradient, atol=1e-7)
    assert used(x).log_likelihood == pytest.approx(fresh(x).log_likelihood, abs=1e-10)


def test_sparse_and_dense_rows_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    predictor, x = problem(3, "probit")
    dense = LinearLaplace(predictor)
    monkeypatch.setattr(effects_curvature, "DENSE_BELOW", 0)
    sparse = LinearLaplace(predictor)
    np.testing.assert_allclose(sparse(x).gradient, dense(x).gradient, atol=1e-10)
    np.testing.assert_allclose(sparse.hessian(sparse(x)), dense.hessian(dense(x)), atol=1e-10)
