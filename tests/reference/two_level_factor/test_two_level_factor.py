"""A factor of two levels, which R's clmm refuses: held against glmer and against one-dimensional integrals.

make.R beside this makes values.json.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.stored import listed, stored
from tests.reference.wine.bottles import wine

R = stored(__file__)
ESTIMATE = 1e-5
"""glmer's bobyqa stops 5e-7 to 3e-6 short with two levels, whose sd the data hardly hold."""
STD_ERROR = 1e-3
"""Relative; glmer's come from second differences of its deviance."""
LOG_LIKELIHOOD = 1e-8
BY_QUAD = 2e-5
"""Nelder-Mead on integrals exact to 1e-12 settles to about 5e-6 on each parameter."""


@pytest.mark.parametrize("points", [1, 10])
def test_binary_against_glmer(points: int) -> None:
    data, r = wine(), R[f"glmer_{points}"]
    fit = fit_cumulative_link_mixed(
        data.rating > 2, data.X[:, 1], {"temperature": data.X[:, 0]}, quadrature_points=points
    )
    np.testing.assert_allclose([-fit.cutpoints[0], *fit.coefficients], listed(r["estimate"]), atol=ESTIMATE)
    np.testing.assert_allclose(
        [*fit.cutpoint_std_errors, *fit.coefficient_std_errors], listed(r["std_error"]), rtol=STD_ERROR
    )
    assert fit.components[0].sd == pytest.approx(r["sd"], abs=ESTIMATE)
    np.testing.assert_allclose(fit.components[0].modes, r["modes"], atol=ESTIMATE)
    assert fit.log_likelihood == pytest.approx(r["log_likelihood"], abs=LOG_LIKELIHOOD)


def test_five_categories_against_integrals() -> None:
    data = wine()
    fit = fit_cumulative_link_mixed(
        data.rating, data.X[:, 1], {"temperature": data.X[:, 0]}, quadrature_points=50
    )

    def minus_log_likelihood(x: np.ndarray) -> float:
        cuts, beta, log_sd = np.concatenate([[-np.inf], x[:4], [np.inf]]), x[4], x[5]
        if (np.diff(cuts) <= 0).any():
            return 1e6
        total = 0.0
        for warm in (0.0, 1.0):
            mine = data.X[:, 0] == warm
            rating, eta = data.rating[mine], beta * data.X[mine, 1]

            def density(z: float, rating=rating, eta=eta) -> float:
                u = z * np.exp(log_sd)
                chance = expit(cuts[rating] - eta - u) - expit(cuts[rating - 1] - eta - u)
                return float(np.exp(np.log(chance).sum() + 40.0 - 0.5 * z**2) / np.sqrt(2 * np.pi))

            total += np.log(quad(density, -9, 9, epsabs=0, epsrel=1e-11, limit=200)[0]) - 40.0
        return -total

    x = np.array([*fit.cutpoints, *fit.coefficients, np.log(fit.components[0].sd)])
    assert -minus_log_likelihood(x) == pytest.approx(fit.log_likelihood, abs=1e-9)
    step = 1e-4
    slope = [
        (minus_log_likelihood(x + step * e) - minus_log_likelihood(x - step * e)) / (2 * step)
        for e in np.eye(6)
    ]
    np.testing.assert_allclose(slope, 0.0, atol=1e-6)
