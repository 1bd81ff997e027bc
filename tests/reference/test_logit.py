"""With two categories and flat priors the model is binary logistic regression: held against statsmodels' Logit."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from analysis.numerics.optimise import fit_laplace
from analysis.numerics.predictor import Predictor, Rows
from analysis.numerics.prior import Prior

SAME = 1e-6
"""Both maximise the same concave likelihood by Newton's method."""


def test_two_categories_are_logistic_regression() -> None:
    rng = np.random.default_rng(8)
    X = rng.normal(size=(300, 2))
    y = (rng.logistic(size=300) < X @ [1.0, -0.5] - 0.3).astype(np.int64)
    predictor = Predictor(Rows(y, y, X, (), None, 1))
    prior = Prior(np.zeros(3), np.full(3, np.inf), ())
    ours = fit_laplace(predictor, prior, start=np.zeros(3), phi_start=np.zeros(0)).point
    theirs = sm.Logit(y, sm.add_constant(X)).fit(disp=False)
    np.testing.assert_allclose([-ours.theta[0], *ours.theta[1:]], theirs.params, atol=SAME)
    np.testing.assert_allclose(np.sqrt(np.diag(ours.S)), theirs.bse, atol=SAME)
    constants = 0.5 * 3 * np.log(2 * np.pi) - 0.5 * np.linalg.slogdet(ours.H)[1]
    assert ours.criterion - constants == pytest.approx(theirs.llf, abs=SAME)
