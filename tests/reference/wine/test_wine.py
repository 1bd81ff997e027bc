"""Cumulative-link fits of the wine data against R's ordinal package; make.R beside this makes values.json."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from analysis.models.cumulative_link_result import CumulativeLinkFit
from tests.reference.stored import estimates, listed, stored
from tests.reference.wine.bottles import wine

R = stored(__file__)
ESTIMATE = 1e-7
"""R's criterion climbed to its own rounding (polish.R) agrees to 7e-9; clmm's default search stops 1e-5 earlier."""
STD_ERROR = 1e-5
"""Relative. R's are second differences of its criterion, good to about 2e-6 with Laplace and 1e-8 with quadrature."""
LOG_LIKELIHOOD = 1e-8
"""Agrees to 3e-10."""
CASES = [("logit", 0), ("probit", 0), ("logit", 1), ("logit", 10), ("probit", 1), ("probit", 10)]
"""Link and nodes a judge; 0 is without judges."""


def fitted(link: str, points: int) -> CumulativeLinkFit:
    data = wine()
    groups = {"judge": data.judge} if points else None
    return fit_cumulative_link_mixed(
        data.rating,
        data.X,
        groups,
        link=link,
        quadrature_points=max(points, 1),
        coefficient_names=("warm", "contact"),
    )


def r_of(link: str, points: int) -> dict:
    return R[f"clmm_{link}_{points}" if points else f"clm_{link}"]


@pytest.mark.parametrize(("link", "points"), CASES)
def test_estimates_and_standard_errors(link: str, points: int) -> None:
    fit, r = fitted(link, points), r_of(link, points)
    np.testing.assert_allclose(estimates(fit), listed(r["estimate"]), atol=ESTIMATE)
    np.testing.assert_allclose(np.sqrt(np.diag(fit.covariance)), listed(r["std_error"]), rtol=STD_ERROR)
    assert fit.log_likelihood == pytest.approx(r["log_likelihood"], abs=LOG_LIKELIHOOD)
    assert fit.convergence.converged
    assert fit.convergence.correct_decimals.min() >= 7
    assert fit.findings == ()


@pytest.mark.parametrize(("link", "points"), [case for case in CASES if case[1]])
def test_modes_and_conditional_variances_of_the_judges(link: str, points: int) -> None:
    (judge,), r = fitted(link, points).components, r_of(link, points)
    assert judge.levels == tuple(range(1, 10))
    np.testing.assert_allclose(judge.modes, r["modes"], atol=ESTIMATE)
    np.testing.assert_allclose(judge.mode_variances, r["mode_variances"], atol=ESTIMATE)


def test_clmm_by_default_stops_short_of_its_own_maximum() -> None:
    r = R["clmm_logit_1"]
    assert r["clmm_default"]["log_likelihood"] - r["log_likelihood"] == pytest.approx(3.5e-6, abs=1e-7)


def test_names_follow_the_scale() -> None:
    fit = fitted("logit", 1)
    assert fit.parameter_names == ("1|2", "2|3", "3|4", "4|5", "warm", "contact", "log sd of judge")
    assert fit.categories == (1, 2, 3, 4, 5)


def test_correct_decimals_are_right() -> None:
    """The decimals claimed for the quadrature fit are those it shares with R's to eight places."""
    fit, r = fitted("logit", 10), r_of("logit", 10)
    claimed = np.minimum(fit.convergence.correct_decimals, 8)
    assert (np.abs(estimates(fit) - listed(r["estimate"])) < 10.0**-claimed).all()
