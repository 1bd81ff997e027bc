"""The draws against a distribution whose answers are known, and the checks of their stability."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm, rankdata

from analysis.errors import FitError
from analysis.numerics.intervals import central_interval, effective_size, rank_r_hat, stability
from analysis.numerics.sampler import sample, start_chains, warm_up

SD = np.array([0.5, 1.0, 2.0])


class Gaussian:
    """Independent normals with the given standard deviations."""

    def value_and_gradient(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return -0.5 * ((z / SD[:, None]) ** 2).sum(0), self.gradient(z)

    def gradient(self, z: np.ndarray) -> np.ndarray:
        return -z / SD[:, None] ** 2


class Walled(Gaussian):
    """A standard normal cut off at 2: beyond it the density is zero."""

    def value_and_gradient(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.where(np.abs(z).max(axis=0) > 2.0, -np.inf, -0.5 * (z**2).sum(0)), -z

    def gradient(self, z: np.ndarray) -> np.ndarray:
        return -z


class Nowhere(Gaussian):
    """No density anywhere."""

    def value_and_gradient(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.full(z.shape[1], -np.inf), np.zeros_like(z)


def drawn(n_moves: int = 600):
    rng = np.random.default_rng(4)
    state = start_chains(Gaussian(), np.zeros(3), n_chains=16, rng=rng)
    state = warm_up(Gaussian(), state, n_moves=40, rng=rng)
    return sample(Gaussian(), state, n_moves=n_moves, rng=rng)


def test_draws_have_the_right_quantiles() -> None:
    draws = drawn()
    kept = np.moveaxis(draws.z, 1, 2)  # (moves, chains, quantities)
    sizes = effective_size(kept)
    low, middle, high = central_interval(kept.reshape(-1, 3), 0.8)
    # standard error of a quantile: sqrt(p (1 - p) / n) / density; four of them
    allowed = 4 * SD * np.sqrt(0.1 * 0.9 / sizes) / norm.pdf(norm.ppf(0.1))
    assert (np.abs(low - SD * norm.ppf(0.1)) < allowed).all()
    assert (np.abs(high - SD * norm.ppf(0.9)) < allowed).all()
    assert (np.abs(middle) < allowed).all()
    assert 0.6 < draws.acceptance < 0.95
    assert rank_r_hat(kept).max() < 1.02


def test_r_hat_sees_a_chain_that_is_elsewhere_and_one_that_is_wider() -> None:
    rng = np.random.default_rng(2)
    good = rng.normal(size=(100, 8, 1))
    assert rank_r_hat(good)[0] < 1.02
    apart = good.copy()
    apart[:, 0] += 3.0
    assert rank_r_hat(apart)[0] > 1.05
    wide = good.copy()
    wide[:, 0] *= 8.0
    assert rank_r_hat(wide)[0] > 1.05


@pytest.mark.parametrize("rho", [0.0, 0.5, 0.8])
def test_effective_size_of_an_autoregression(rho: float) -> None:
    """n (1 - rho) / (1 + rho), the textbook value for a first-order autoregression."""
    rng = np.random.default_rng(9)
    x = np.empty((2000, 8, 1))
    x[0] = rng.normal(size=(8, 1))
    for t in range(1, 2000):
        x[t] = rho * x[t - 1] + np.sqrt(1 - rho**2) * rng.normal(size=(8, 1))
    assert effective_size(x)[0] == pytest.approx(16000 * (1 - rho) / (1 + rho), rel=0.15)


def with_refusals() -> np.ndarray:
    """Chains that stay where they are in every fourth move, and one quantity that never moves."""
    rng = np.random.default_rng(12)
    x = rng.normal(size=(41, 6, 3))
    for t in range(1, 41):
        stays = rng.random(6) < 0.25
        x[t, stays] = x[t - 1, stays]
    x[:, :, 2] = 1.0
    return x


def test_stability_is_the_single_checks_together() -> None:
    x = with_refusals()
    together = stability(x, (0.025, 0.975))
    np.testing.assert_array_equal(together.r_hat, rank_r_hat(x))
    np.testing.assert_array_equal(together.bulk, effective_size(x))
    np.testing.assert_array_equal(
        together.tail, np.minimum(effective_size(x, 0.025), effective_size(x, 0.975))
    )


def test_r_hat_is_that_of_the_definition() -> None:
    """Equations 3.1, 3.2 and 4.1 of Vehtari et al. 2021 written out, with mean ranks for ties."""
    x = with_refusals()

    def plain(values: np.ndarray) -> float:
        scores = norm.ppf((rankdata(values).reshape(values.shape) - 0.375) / (values.size + 0.25))
        n = len(scores)
        within = scores.var(axis=0, ddof=1).mean()
        return float(np.sqrt((n - 1) / n + scores.mean(0).var(ddof=1) / within))

    for q in range(2):
        split = np.concatenate([x[:20, :, q], x[-20:, :, q]], axis=1)
        folded = np.abs(split - np.median(split))
        assert rank_r_hat(x)[q] == pytest.approx(max(plain(split), plain(folded)), rel=1e-12)
    assert rank_r_hat(x)[2] == 1.0


def test_a_density_that_is_nowhere_finite_is_an_error() -> None:
    with pytest.raises(FitError):
        start_chains(Nowhere(), np.zeros(2), n_chains=4, rng=np.random.default_rng(1))


def test_runaway_chains_are_refused_not_kept() -> None:
    """A density with a wall: moves over it are not finite and must never be accepted."""

    rng = np.random.default_rng(6)
    state = warm_up(Walled(), start_chains(Walled(), np.zeros(2), n_chains=8, rng=rng), n_moves=20, rng=rng)
    draws = sample(Walled(), state, n_moves=100, rng=rng)
    assert np.abs(draws.z).max() <= 2.0
