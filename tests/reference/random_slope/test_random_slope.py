"""A person's intercept and slope, uncorrelated: held against R's clmm; make.R beside this makes values.json."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_factors import GroupingFactor
from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.binary.verbal_aggression import verbal_aggression
from tests.reference.stored import estimates, listed, stored

R = stored(__file__)["clmm_1"]
ESTIMATE = 1e-7
STD_ERROR = 5e-5
"""Relative; R's are second differences of a criterion whose inner search leaves some 1e-9."""
LOG_LIKELIHOOD = 1e-7


def test_intercept_and_slope_of_each_person() -> None:
    data = verbal_aggression(30)
    fit = fit_cumulative_link_mixed(
        data["resp"],
        data[["do", "scold", "shout"]],
        {"id": data["id"], "do by id": GroupingFactor(data["id"], data["do"])},
    )
    expected = listed(R["estimate"])
    sd = expected[-2:].copy()  # clmm takes the sd itself, not its log, where there are several factors
    expected[-2:] = np.log(sd)
    np.testing.assert_allclose(estimates(fit), expected, atol=ESTIMATE)
    std_error = listed(R["std_error"])
    std_error[-2:] /= sd
    np.testing.assert_allclose(np.sqrt(np.diag(fit.covariance)), std_error, rtol=STD_ERROR)
    assert fit.log_likelihood == pytest.approx(R["log_likelihood"], abs=LOG_LIKELIHOOD)
    assert fit.convergence.converged
