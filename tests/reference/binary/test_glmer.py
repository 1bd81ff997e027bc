"""Two categories and one factor are a binary mixed model: held against R's lme4 (make.R makes values.json)."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.binary.verbal_aggression import verbal_aggression
from tests.reference.stored import listed, stored

R = stored(__file__)
ESTIMATE = 1e-6
"""glmer's bobyqa stops about 4e-7 short."""
LOG_LIKELIHOOD = 1e-6
STD_ERROR = 2e-4
"""Relative; glmer's come from second differences of its deviance (good to 1.3e-4 here)."""


@pytest.mark.parametrize(
    ("key", "points", "link"),
    [("glmer_1", 1, "logit"), ("glmer_10", 10, "logit"), ("glmer_probit_25", 25, "probit")],
)
def test_316_persons(key: str, points: int, link: str) -> None:
    data = verbal_aggression()
    fit = fit_cumulative_link_mixed(
        data["resp"] > 0,
        data[["scold", "shout", "do"]],
        {"id": data["id"]},
        link=link,
        quadrature_points=points,
    )
    r = R[key]
    np.testing.assert_allclose([-fit.cutpoints[0], *fit.coefficients], listed(r["estimate"]), atol=ESTIMATE)
    np.testing.assert_allclose(
        [*fit.cutpoint_std_errors, *fit.coefficient_std_errors], listed(r["std_error"]), rtol=STD_ERROR
    )
    assert fit.components[0].sd == pytest.approx(r["sd"], abs=ESTIMATE)
    assert fit.log_likelihood == pytest.approx(r["log_likelihood"], abs=LOG_LIKELIHOOD)
    assert fit.log_likelihood > r["log_likelihood"] - 1e-8
    assert fit.convergence.converged
