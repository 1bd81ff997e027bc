"""Persons crossed with items, three ordered answers: held against R's clmm; make.R beside this makes values.json."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from tests.reference.binary.verbal_aggression import verbal_aggression
from tests.reference.stored import estimates, listed, stored

R = stored(__file__)["clmm_1"]
ESTIMATE = 1e-7
STD_ERROR = 5e-5
"""Relative; R's are second differences of a criterion whose inner search leaves some 1e-9."""
LOG_LIKELIHOOD = 1e-7


def r_estimates() -> np.ndarray:
    """clmm takes the sd itself, not its log, where there are several factors."""
    values = listed(R["estimate"])
    return np.concatenate([values[:-2], np.log(values[-2:])])


def test_persons_crossed_with_items() -> None:
    data = verbal_aggression(30)
    fit = fit_cumulative_link_mixed(
        data["resp"], data[["do", "scold", "shout"]], {"id": data["id"], "item": data["item"]}
    )
    np.testing.assert_allclose(estimates(fit), r_estimates(), atol=ESTIMATE)
    std_error = listed(R["std_error"])
    std_error[-2:] /= np.exp(r_estimates()[-2:])  # of log sd
    np.testing.assert_allclose(np.sqrt(np.diag(fit.covariance)), std_error, rtol=STD_ERROR)
    assert fit.log_likelihood == pytest.approx(R["log_likelihood"], abs=LOG_LIKELIHOOD)
    assert fit.convergence.converged
    assert fit.convergence.correct_decimals.min() >= 7
    assert [len(component.levels) for component in fit.components] == [30, 24]
    assert fit.findings == ()
