"""Variances best at 0: a factor without spread is a factor left out, so no choice of factors may fit better."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed

SAME = 1e-6
"""Log-likelihoods of one maximum reached on two ways."""


def crossed(seed: int) -> tuple[np.ndarray, np.ndarray, dict[str, np.ndarray]]:
    """Scores 0 to 3 with one covariate; persons differ, days a little or not, rooms not at all."""
    rng = np.random.default_rng(seed)
    n = 120
    groups = {name: rng.integers(0, size, n) for name, size in (("person", 15), ("day", 8), ("room", 5))}
    day_sd = (0.0, 0.5)[seed % 2]
    eta = rng.normal(size=n)
    x = eta.copy()
    eta = eta + rng.normal(size=15)[groups["person"]] + day_sd * rng.normal(size=8)[groups["day"]]
    y = ((eta + rng.logistic(size=n))[:, None] > np.array([-0.5, 0.5, 1.5])).sum(axis=1)
    return y, x, groups


@pytest.mark.parametrize("seed", range(8))
def test_no_choice_of_factors_fits_better(seed: int) -> None:
    y, x, groups = crossed(seed)
    fit = fit_cumulative_link_mixed(y, x, groups)
    assert fit.convergence.converged
    stays = {component.name for component in fit.components if not component.at_boundary}
    for size in range(4):
        for names in combinations(groups, size):
            lesser = fit_cumulative_link_mixed(y, x, {name: groups[name] for name in names})
            assert lesser.log_likelihood < fit.log_likelihood + SAME
            if set(names) == stays:
                assert lesser.log_likelihood == pytest.approx(fit.log_likelihood, abs=SAME)
                np.testing.assert_allclose(lesser.coefficients, fit.coefficients, atol=SAME)


def test_two_and_all_factors_can_be_without_spread() -> None:
    """Among these seeds one, two and three variances are 0."""
    zero = {
        sum(c.at_boundary for c in fit_cumulative_link_mixed(*crossed(seed)).components) for seed in range(8)
    }
    rng = np.random.default_rng(3)
    noise = rng.integers(0, 3, 90)
    names = {name: np.tile(np.arange(size), 90 // size) for name, size in (("a", 3), ("b", 5), ("c", 9))}
    even = fit_cumulative_link_mixed(np.sort(noise), None, names)
    assert {1, 2} <= zero
    assert all(component.at_boundary for component in even.components)
    alone = fit_cumulative_link_mixed(np.sort(noise))
    assert even.log_likelihood == pytest.approx(alone.log_likelihood, abs=SAME)
    assert even.convergence.n_evaluations > alone.convergence.n_evaluations
