"""Likelihood and prior of many chains at once, held against those of one parameter vector."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.numerics.chain_likelihood import ChainLikelihood
from analysis.numerics.chain_prior import ChainPrior
from analysis.numerics.curvature import Curvature
from analysis.numerics.predictor import Group, Predictor, Rows, Slope
from analysis.numerics.prior import Prior, SdBlock

N_CHAINS = 3
TOLERANCE = 1e-11
"""Relative; both sides sum a few hundred terms in different orders."""


def rows(n_cutpoints: int, *, slope: bool, n: int = 60) -> Rows:
    """Scores, intervals of every kind (open below, open above, inside, all open) and two factors."""
    rng = np.random.default_rng(n_cutpoints)
    low = rng.integers(0, n_cutpoints + 1, n)
    high = np.minimum(low + rng.integers(0, 3, n) * (rng.random(n) < 0.3), n_cutpoints)
    low[0], high[0] = 0, n_cutpoints
    return Rows(
        low,
        high,
        rng.normal(size=(n, 2)),
        (Group(rng.integers(0, 4, n), np.ones(n), 4), Group(rng.integers(0, 3, n), rng.normal(size=n), 3)),
        Slope(rng.normal(size=n), rng.integers(0, 2, n), 2) if slope else None,
        n_cutpoints,
    )


@pytest.mark.parametrize("sparse", [False, True])
@pytest.mark.parametrize("slope", [False, True])
@pytest.mark.parametrize("n_cutpoints", [1, 2, 5])
def test_likelihood_and_gradient_are_those_of_one_vector(
    n_cutpoints: int, slope: bool, sparse: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if sparse:
        monkeypatch.setattr("analysis.numerics.split_matrix.DENSE_BELOW", 0)
    predictor = Predictor(rows(n_cutpoints, slope=slope))
    theta = 0.6 * np.random.default_rng(7).normal(size=(predictor.size, N_CHAINS))
    chains = ChainLikelihood(predictor)
    value, gradient = chains.value_and_gradient(theta)
    one_by_one = [Curvature(predictor, theta[:, c].copy()) for c in range(N_CHAINS)]
    np.testing.assert_allclose(value, [one.log_likelihood for one in one_by_one], rtol=TOLERANCE)
    expected = np.stack([one.gradient() for one in one_by_one], axis=1)
    np.testing.assert_allclose(gradient, expected, rtol=TOLERANCE, atol=TOLERANCE)
    np.testing.assert_array_equal(chains.gradient(theta), gradient)


def test_far_from_the_data_the_likelihood_is_a_straight_line_not_an_overflow() -> None:
    """A score of 0 at a predictor of 900: log P is c_1 - 900 and its derivative -1."""
    data = Rows(np.array([0]), np.array([0]), np.array([[1.0]]), (), None, 1)
    value, gradient = ChainLikelihood(Predictor(data)).value_and_gradient(np.array([[0.5], [900.0]]))
    assert value[0] == pytest.approx(-899.5)
    np.testing.assert_allclose(gradient[:, 0], [1.0, -1.0])


def test_prior_and_its_gradients_are_those_of_one_vector() -> None:
    rng = np.random.default_rng(3)
    walk = np.diff(np.eye(4), axis=0)
    structure = walk.T @ walk + 0.1 * np.eye(4)
    sd = np.array([2.0, np.inf, 0.5, *np.ones(7)])
    mean = np.array([1.0, 0.0, -1.0, *np.full(7, 9.0)])  # ignored inside blocks
    prior = Prior(
        mean,
        sd,
        (SdBlock(slice(6, 10), structure, 0.1, 0.5), SdBlock(slice(3, 6), None, -0.3, np.inf)),
    )
    theta, phi = rng.normal(size=(10, N_CHAINS)), rng.normal(size=(2, N_CHAINS))
    value, in_theta, in_phi = ChainPrior(prior).value_and_gradient(theta, phi)
    expected = prior.gradient(theta, phi)
    np.testing.assert_allclose(value, prior.log_density(theta, phi), rtol=TOLERANCE)
    np.testing.assert_allclose(in_theta, expected[0], rtol=TOLERANCE, atol=TOLERANCE)
    np.testing.assert_allclose(in_phi, expected[1], rtol=TOLERANCE, atol=TOLERANCE)
    again = ChainPrior(prior).gradient(theta, phi)
    np.testing.assert_array_equal(again[0], in_theta)
    np.testing.assert_array_equal(again[1], in_phi)


def test_a_prior_without_blocks() -> None:
    prior = Prior(np.zeros(2), np.ones(2), ())
    theta, phi = np.ones((2, N_CHAINS)), np.zeros((0, N_CHAINS))
    value, in_theta, in_phi = ChainPrior(prior).value_and_gradient(theta, phi)
    np.testing.assert_allclose(value, prior.log_density(theta, phi))
    np.testing.assert_allclose(in_theta, -theta)
    assert in_phi.shape == (0, N_CHAINS)


def test_only_the_logit_splits_into_binary_terms() -> None:
    data = replace(rows(2, slope=False), link="probit")
    with pytest.raises(ValueError, match="probit"):
        ChainLikelihood(Predictor(data))
