"""Doses that kill beetles with given chances, found by the inversion of the pain line.

Data: Bliss 1935, Ann Appl Biol 22:134-167, as printed in Dobson & Barnett, An Introduction to Generalized Linear
Models, who give -60.717 (5.181) and 34.270 (2.912) (from memory); values.json holds all digits.
"""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.dose_line import delta_std_error, dose_at, values

DOSE = 1e-8
"""Log10 dose, whose whole range is .2."""
STD_ERROR = 1e-4
FIELLER = 3e-4
"""Log10 dose: ends from 100,000 draws; standard errors are near .004."""

LOG_DOSE = np.array([1.6907, 1.7242, 1.7552, 1.7842, 1.8113, 1.8369, 1.8610, 1.8839])
TREATED = np.array([59, 60, 62, 56, 63, 59, 62, 60])
KILLED = np.array([6, 13, 18, 28, 52, 53, 61, 60])


def test_lethal_doses_standard_errors_and_fiellers_limits() -> None:
    y = np.concatenate([np.arange(n) < k for n, k in zip(TREATED, KILLED, strict=True)]).astype(int)
    fit = fit_cumulative_link_mixed(y, np.repeat(LOG_DOSE, TREATED)[:, None])
    r = values("bliss")["logit"]
    np.testing.assert_allclose([-fit.cutpoints[0], fit.coefficients[0]], r["coefficients"], rtol=1e-6)
    np.testing.assert_allclose(
        [fit.cutpoint_std_errors[0], fit.coefficient_std_errors[0]], r["std_errors"], rtol=STD_ERROR
    )
    cutpoint, slope = float(fit.cutpoints[0]), float(fit.coefficients[0])
    rng = np.random.default_rng(32)
    drawn = rng.multivariate_normal([cutpoint, slope], fit.covariance, 100_000)
    rows = r["lines"]["all"]
    for i, chance in enumerate(rows["chance"]):
        at = dose_at(np.array([cutpoint]), np.array([slope]), chance, centre=1.8)
        assert at[0] == pytest.approx(rows["dose"][i], abs=DOSE)
        delta = delta_std_error(cutpoint, slope, fit.covariance, chance, centre=1.8)
        assert delta == pytest.approx(rows["std_error"][i], rel=5 * STD_ERROR)
        doses = dose_at(drawn[:, 0], drawn[:, 1], chance, centre=1.8)
        ends = [rows["fieller_low"][i], rows["fieller_high"][i]]
        np.testing.assert_allclose(np.quantile(doses, [0.025, 0.975]), ends, atol=FIELLER)
