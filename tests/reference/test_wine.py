"""Cumulative-link fits of the wine data against R's ordinal package (data: Randall 1989, Biometrics 45:781-792).

values.json holds what R printed; make.R beside it makes those values.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.special import expit

from analysis.numerics.cumulative_link import cutpoints_from_gaps, gaps_from_cutpoints
from analysis.numerics.curvature import Curvature
from analysis.numerics.laplace import laplace_point
from analysis.numerics.optimise import fit_laplace
from analysis.numerics.predictor import Group, Predictor, Rows
from analysis.numerics.prior import Prior, SdBlock

HERE = Path(__file__).parent / "wine"
ESTIMATE = 1e-3
"""Bar for estimates; both engines agree to about 2e-5, where R's own search stops."""
FIXED = 1e-6
"""Log-likelihood at given parameters: same formula, so only rounding of R's printed digits."""
FIXED_LAPLACE_DEFAULT = 5e-6
"""R's default inner search stops early, which leaves its criterion 3.5e-6 off at its own estimates."""


@pytest.fixture(scope="module")
def r_values() -> dict:
    return json.loads((HERE / "values.json").read_text())


@pytest.fixture(scope="module")
def wine() -> dict[str, np.ndarray]:
    with (HERE / "data.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {
        "y": np.array([int(row["rating"]) - 1 for row in rows]),
        "X": np.array([[row["temp"] == "warm", row["contact"] == "yes"] for row in rows], dtype=float),
        "judge": np.array([int(row["judge"]) - 1 for row in rows]),
    }


def flat_model(wine: dict[str, np.ndarray], *, with_judge: bool) -> tuple[Predictor, Prior]:
    """Flat priors on cutpoints, coefficients and the log sd: maximum likelihood."""
    n = wine["y"].size
    groups = (Group(wine["judge"], np.ones(n), 9),) if with_judge else ()
    predictor = Predictor(Rows(wine["y"], wine["y"], wine["X"], groups, None, 4))
    blocks = (SdBlock(predictor.group_slice(0), None, 0.0, np.inf),) if with_judge else ()
    return predictor, Prior(np.zeros(predictor.size), np.full(predictor.size, np.inf), blocks)


def theta_of(coefficients: dict[str, float], size: int) -> np.ndarray:
    values = [float(value) for value in coefficients.values()]
    theta = np.zeros(size)
    theta[:4], theta[4:6] = gaps_from_cutpoints(np.array(values[:4])), values[4:6]
    return theta


def test_log_likelihood_without_judges_at_fixed_parameters(wine, r_values) -> None:
    r = r_values["wine_clm"]["values"]
    predictor, _ = flat_model(wine, with_judge=False)
    ours = Curvature(predictor, theta_of(r["coef"], predictor.size)).log_likelihood
    assert ours == pytest.approx(float(r["logLik"]), abs=FIXED)


def test_estimates_without_judges(wine, r_values) -> None:
    r = r_values["wine_clm"]["values"]
    predictor, prior = flat_model(wine, with_judge=False)
    fit = fit_laplace(predictor, prior, start=np.zeros(predictor.size), phi_start=np.zeros(0))
    expected = [float(v) for v in r["coef"].values()]
    np.testing.assert_allclose(cutpoints_from_gaps(fit.point.theta[:4]), expected[:4], atol=ESTIMATE)
    np.testing.assert_allclose(fit.point.theta[4:6], expected[4:], atol=ESTIMATE)
    np.testing.assert_allclose(
        np.sqrt(np.diag(fit.point.S))[4:6], [float(v) for v in list(r["se"].values())[4:]], atol=ESTIMATE
    )


def test_laplace_log_likelihood_at_fixed_parameters(wine, r_values) -> None:
    predictor, prior = flat_model(wine, with_judge=True)
    latent = np.zeros(predictor.size, dtype=bool)
    latent[predictor.group_slice(0)] = True
    for key, tolerance in (("wine_clmm_nAGQ1", FIXED_LAPLACE_DEFAULT), ("wine_clmm_tight", FIXED)):
        r = r_values[key]["values"]
        phi = np.array([np.log(float(r["ranef_sd"]["judge"]["(Intercept)"]))])
        theta = theta_of(r["coef"], predictor.size)
        ours = laplace_point(predictor, prior, theta, phi, latent).criterion
        assert ours == pytest.approx(float(r["logLik"]), abs=tolerance), key
        assert ours == pytest.approx(laplace_by_judge(wine, theta, float(np.exp(phi[0]))), abs=1e-8), key


def laplace_by_judge(wine: dict[str, np.ndarray], theta: np.ndarray, sd: float) -> float:
    """The same criterion by one-dimensional searches, judge by judge, without our numerics."""
    cuts = np.concatenate([[-np.inf], cutpoints_from_gaps(theta[:4]), [np.inf]])
    eta = wine["X"] @ theta[4:6]
    total = 0.0
    for judge in range(9):
        mine = wine["judge"] == judge
        upper, lower = cuts[wine["y"][mine] + 1], cuts[wine["y"][mine]]

        def minus_log(u: float, mine=mine, upper=upper, lower=lower) -> float:
            p = expit(upper - eta[mine] - u) - expit(lower - eta[mine] - u)
            return -(np.log(p).sum() - 0.5 * (u / sd) ** 2)

        u = minimize_scalar(minus_log, bracket=(-2, 2), tol=1e-12).x
        s_up, s_low = expit(upper - eta[mine] - u), expit(lower - eta[mine] - u)
        curvature = (s_up * (1 - s_up) + s_low * (1 - s_low)).sum() + 1 / sd**2
        total += -minus_log(u) - np.log(sd) - 0.5 * np.log(curvature)
    return total


def test_laplace_estimates_modes_and_variances(wine, r_values) -> None:
    r = r_values["wine_clmm_nAGQ1"]["values"]
    predictor, prior = flat_model(wine, with_judge=True)
    latent = np.zeros(predictor.size, dtype=bool)
    latent[predictor.group_slice(0)] = True
    fit = fit_laplace(
        predictor, prior, start=np.zeros(predictor.size), phi_start=np.zeros(1), latent=latent, tolerance=1e-6
    )
    assert fit.converged
    expected = [float(v) for v in r["coef"].values()]
    np.testing.assert_allclose(cutpoints_from_gaps(fit.point.theta[:4]), expected[:4], atol=ESTIMATE)
    np.testing.assert_allclose(fit.point.theta[4:6], expected[4:6], atol=ESTIMATE)
    assert np.exp(2 * fit.point.phi[0]) == pytest.approx(
        float(r["ranef_var"]["judge"]["(Intercept)"]), abs=ESTIMATE
    )
    assert fit.point.criterion == pytest.approx(float(r["logLik"]), abs=ESTIMATE)
    std_error = np.sqrt(np.diag(np.linalg.inv(fit.outer_hessian)))
    np.testing.assert_allclose(std_error[4:6], [float(v) for v in list(r["se"].values())[4:6]], atol=ESTIMATE)
    judges = predictor.group_slice(0)
    np.testing.assert_allclose(
        fit.point.theta[judges], [float(v) for v in r["condmodes"]["judge"].values()], atol=ESTIMATE
    )
    np.testing.assert_allclose(
        np.diag(fit.point.S)[judges], [float(v) for v in r["condvar"]["judge"].values()], atol=ESTIMATE
    )
