"""Two categories without factors are binary regression: held against statsmodels' Logit and Probit."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed

SAME = 1e-8
"""Both climb the same concave likelihood by Newton's method to its rounding."""


@pytest.mark.parametrize(("link", "model"), [("logit", sm.Logit), ("probit", sm.Probit)])
def test_two_categories_are_binary_regression(link: str, model: type) -> None:
    rng = np.random.default_rng(8)
    X = rng.normal(size=(300, 2))
    y = (rng.logistic(size=300) < X @ [1.0, -0.5] - 0.3).astype(np.int64)
    ours = fit_cumulative_link_mixed(y, X, link=link)
    theirs = model(y, sm.add_constant(X)).fit(disp=False, tol=1e-12)
    np.testing.assert_allclose([-ours.cutpoints[0], *ours.coefficients], theirs.params, atol=SAME)
    np.testing.assert_allclose(np.sqrt(np.diag(ours.covariance)), theirs.bse, atol=SAME)
    assert ours.log_likelihood == pytest.approx(theirs.llf, abs=SAME)
