"""Doses that kill a quarter, half and three quarters of the moths, found by the inversion of the pain line.

Data: tobacco budworm, killed of 20 at doses 1, 2, 4, ..., 32 micrograms (Collett 1991, p. 75). Venables & Ripley,
Modern Applied Statistics with S, 4th edition, section 7.2, print for females LD25, LD50 and LD75 on log2 dose 2.2313
(.2499), 3.2636 (.2298), 4.2959 (.2747) (seen in a package's tests); values.json holds all digits.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import norm

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from analysis.models.cumulative_link_result import CumulativeLinkFit
from tests.reference.dose_line import delta_std_error, dose_at, values

DOSE = 1e-6
"""Log2 dose; both programs solve to rounding."""
STD_ERROR = 1e-4
"""Relative: our covariance is the inverse of numerical differences of an exact gradient."""
FIELLER = 0.015
"""Log2 dose: ends from 100,000 draws, Monte Carlo error up to .005 where the end lies .9 from the middle."""
N_DRAWS = 100_000

LDOSE = np.tile(np.arange(6.0), 2)
MALE = np.repeat([1.0, 0.0], 6)
DEAD = np.array([1, 4, 9, 13, 18, 20, 0, 2, 6, 10, 12, 16])
SEXES = ("female", "male")


@pytest.fixture(scope="module")
def fits() -> dict[str, CumulativeLinkFit]:
    y = np.concatenate([np.arange(20) < dead for dead in DEAD]).astype(int)
    X = np.column_stack([np.repeat(MALE, 20), np.repeat(LDOSE, 20)])
    return {link: fit_cumulative_link_mixed(y, X, link=link) for link in ("logit", "probit")}


def line(fit: CumulativeLinkFit, sex: str) -> tuple[float, float, np.ndarray]:
    """Cutpoint, slope and their covariance for one sex."""
    shift = float(sex == "male")
    combine = np.array([[1.0, -shift, 0.0], [0.0, 0.0, 1.0]])
    estimate = np.array([fit.cutpoints[0], *fit.coefficients])
    cutpoint, slope = combine @ estimate
    return float(cutpoint), float(slope), combine @ fit.covariance @ combine.T


@pytest.mark.parametrize("link", ["logit", "probit"])
def test_the_fit_is_the_generalised_linear_model(fits, link: str) -> None:
    r, fit = values("budworm")[link], fits[link]
    female, male, slope = r["coefficients"]
    assert fit.cutpoints[0] == pytest.approx(-female, rel=1e-6)
    np.testing.assert_allclose(fit.coefficients, [male - female, slope], rtol=1e-6)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("centre", [0.0, 2.5])
def test_lethal_doses_and_their_standard_errors(fits, sex: str, centre: float) -> None:
    r = values("budworm")["logit"]["lines"][sex]
    cutpoint, slope, covariance = line(fits["logit"], sex)
    for chance, dose, std_error in zip(r["chance"], r["dose"], r["std_error"], strict=True):
        ours = dose_at(np.array([cutpoint]), np.array([slope]), chance, centre=centre)
        assert ours[0] == pytest.approx(dose, abs=DOSE)
        delta = delta_std_error(cutpoint, slope, covariance, chance, centre=centre)
        assert delta == pytest.approx(std_error, rel=STD_ERROR)


@pytest.mark.parametrize("sex", SEXES)
def test_quantiles_of_the_draws_are_fiellers_limits(fits, sex: str) -> None:
    """Where intercept and slope are jointly normal, P(line < x) is what Fieller's limits solve for."""
    r = values("budworm")["logit"]["lines"][sex]
    cutpoint, slope, covariance = line(fits["logit"], sex)
    rng = np.random.default_rng(31)
    drawn = rng.multivariate_normal([cutpoint, slope], covariance, N_DRAWS)
    for chance, low, high in zip(r["chance"], r["fieller_low"], r["fieller_high"], strict=True):
        doses = dose_at(drawn[:, 0], drawn[:, 1], chance, centre=2.5)
        np.testing.assert_allclose(np.quantile(doses, [0.025, 0.975]), [low, high], atol=FIELLER)


def test_current_status_of_thresholds_is_the_probit_line(fits) -> None:
    """Each moth's own threshold, known only to lie below or above its dose: the same likelihood, by censoring.

    The mean threshold is the dose at a chance of one half, and the spread of thresholds one over the slope.
    """
    fit = fits["probit"]

    def minus_log_likelihood(x: np.ndarray) -> float:
        z = (LDOSE - np.where(MALE == 1, x[1], x[0])) / np.exp(x[2])
        return -float(np.sum(DEAD * norm.logcdf(z) + (20 - DEAD) * norm.logsf(z)))

    found = minimize(minus_log_likelihood, [3.0, 2.0, 0.0], method="BFGS", options={"gtol": 1e-6})
    r = values("budworm")["current_status"]
    slope = fit.coefficients[1]
    halves = np.array([fit.cutpoints[0], fit.cutpoints[0] - fit.coefficients[0]]) / slope
    np.testing.assert_allclose(halves, found.x[:2], atol=1e-5)
    np.testing.assert_allclose(halves, r["means_female_male"], atol=1e-6)
    assert 1.0 / slope == pytest.approx(np.exp(found.x[2]), rel=1e-5)
    assert 1.0 / slope == pytest.approx(r["sd"], rel=1e-6)
    assert fit.log_likelihood == pytest.approx(-found.fun, abs=1e-8)
    assert fit.log_likelihood == pytest.approx(r["log_likelihood"], abs=1e-7)
    for sex, std_error in zip(SEXES, r["std_errors"], strict=True):
        cutpoint, b, covariance = line(fit, sex)
        gradient = np.array([1.0 / b, -cutpoint / b**2])
        assert np.sqrt(gradient @ covariance @ gradient) == pytest.approx(std_error, rel=STD_ERROR)
