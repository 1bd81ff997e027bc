"""The general fit's promises apart from its numbers: refusals, boundary, separation, priors, invariances."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy.optimize import minimize
from scipy.special import expit

from analysis.errors import OptionError
from analysis.models.cumulative_link_factors import GroupingFactor
from analysis.models.cumulative_link_mixed import fit_cumulative_link_mixed
from analysis.numerics.cumulative_link import gaps_from_cutpoints, gaps_in_cutpoints
from analysis.numerics.marginal import Marginal
from analysis.numerics.maximise import difference_hessian
from analysis.numerics.predictor import Rows
from tests.reference.wine.bottles import wine

SAME = 1e-7
"""The same maximum reached by another road; searches stop at Newton steps of 1e-9."""
BOTTLE = np.tile(np.arange(8), 9)


def codes(fit) -> list[str]:
    return [finding.code for finding in fit.findings]


def test_every_fault_is_said_at_once() -> None:
    with pytest.raises(OptionError) as caught:
        fit_cumulative_link_mixed(
            [1, 2, np.nan, 3],
            [[1, 2], [1, 3], [1, 1], [1, np.inf]],
            {"a": ["x", "x", "x", None]},
            link="cloglog",
            quadrature_points=0,
            coefficient_sd=-1,
            log_sd_sd=[1, 2],
        )
    lines = str(caught.value).split("\n")
    expected = [
        ("link is 'cloglog'", "choose 'logit' or 'probit'"),
        ("y is missing or not whole in row 3", "leave those rows out"),
        ("X is missing or infinite in row 4", "leave those rows out"),
        ("groups['a'] has no label in row 4", "give a label"),
        ("groups['a'] has fewer than two levels", "leave it out"),
        ("quadrature_points is 0", "from 1 (Laplace) to 100"),
        ("coefficient_sd is -1.0", "above 0"),
        ("log_sd_sd has 2 entries", "one for each grouping factor (1)"),
    ]
    assert len(lines) == len(expected)
    for line, (what, mend) in zip(lines, expected, strict=True):
        assert what in line
        assert mend in line


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"y": ["a", "b"]}, "y holds something that is not a number"),
        ({"y": np.zeros((2, 3))}, "y has shape (2, 3)"),
        ({"y": [[2, 1], [0, 1]]}, "y has low above high in row 1"),
        ({"y": [[-np.inf, np.inf]] * 3}, "y has no finite end"),
        ({"y": [1.5, 2, 3]}, "y is missing or not whole in row 1"),
        ({"y": [4, 4, 4]}, "y allows one category only"),
        ({"X": [1.0, 2.0]}, "X has shape (2,); give one row for each of the 6 answers"),
        ({"X": [["a"]] * 6}, "X holds something that is not a number"),
        ({"X": np.ones(6)}, "Column 'x1' of X is constant"),
        ({"X": np.arange(12).reshape(6, 2)}, "Column 'x2' of X is a sum of the columns before it"),
        ({"X": np.arange(6), "coefficient_names": ["a", "b"]}, "give 1 different names"),
        ({"groups": {"a": [1, 2]}}, "groups['a'] has (2,) labels"),
        ({"groups": {"a": GroupingFactor([1, 1, 1, 2, 2, 2], np.zeros(6))}}, "the value 0 everywhere"),
        (
            {"groups": {"a": GroupingFactor([1, 1, 1, 2, 2, 2], [np.nan] * 6)}},
            "has no value in rows 1, 2, 3, 4, 5",
        ),
        (
            {"groups": {"a": [1, 1, 1, 2, 2, 2], "b": [5, 5, 5, 0, 0, 0]}},
            "exactly as groups['a']; leave one out",
        ),
        (
            {"groups": {"a": [1, 1, 1, 2, 2, 2], "b": [1, 2, 1, 2, 1, 2]}, "quadrature_points": 5},
            "quadrature takes exactly one. Choose 1 (Laplace)",
        ),
        ({"quadrature_points": 2.5}, "choose a whole number"),
    ],
)
def test_refusals_say_what_and_how_to_mend(arguments, said) -> None:
    with pytest.raises(OptionError) as caught:
        fit_cumulative_link_mixed(**({"y": [0, 1, 2, 0, 1, 2]} | arguments))
    assert said in str(caught.value)


def test_a_variance_best_at_zero_is_exactly_zero_and_said() -> None:
    """Judges differ, the eight bottles of a temperature and contact do not: clmm says nothing there."""
    data = wine()
    both = fit_cumulative_link_mixed(data.rating, data.X, {"judge": data.judge, "bottle": BOTTLE})
    judge_only = fit_cumulative_link_mixed(data.rating, data.X, {"judge": data.judge})
    judge, bottle = both.components
    assert (bottle.sd, bottle.variance, bottle.at_boundary) == (0.0, 0.0, True)
    assert not judge.at_boundary
    assert np.isnan(bottle.log_sd_std_error)
    assert (bottle.modes == 0).all()
    assert codes(both) == ["variance_at_boundary"]
    assert "bottle" in both.findings[0].what
    assert both.convergence.correct_decimals[-1] == -1
    np.testing.assert_allclose(both.coefficients, judge_only.coefficients, atol=SAME)
    np.testing.assert_allclose(both.covariance[:7, :7], judge_only.covariance, atol=SAME)
    assert both.log_likelihood == pytest.approx(judge_only.log_likelihood, abs=SAME)


def test_a_prior_on_log_sd_keeps_it_off_the_boundary() -> None:
    data = wine()
    groups = {"judge": data.judge, "bottle": BOTTLE}
    fit = fit_cumulative_link_mixed(data.rating, data.X, groups, log_sd_mean=-1.0, log_sd_sd=0.5)
    assert fit.findings == ()
    assert all(component.sd > 0 for component in fit.components)
    assert fit.log_posterior < fit.log_likelihood
    z = [(np.log(component.sd) + 1.0) / 0.5 for component in fit.components]
    log_prior = sum(-0.5 * z_k**2 - np.log(0.5) - 0.5 * np.log(2 * np.pi) for z_k in z)
    assert fit.log_posterior - fit.log_likelihood == pytest.approx(log_prior, abs=1e-10)


def separated() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A marked group of ten that only ever answers 0, among sixty answers 0 to 2; covariates (marked, z)."""
    rng = np.random.default_rng(1)
    z, marked = rng.normal(size=60), (np.arange(60) < 10).astype(float)
    return np.where(marked > 0, 0, rng.integers(0, 3, 60)), np.column_stack([marked, z]), np.arange(60) // 12


def test_separation_is_said_and_the_rest_is_the_fit_without_it() -> None:
    y, X, _ = separated()
    fit = fit_cumulative_link_mixed(y, X, coefficient_names=["marked", "z"])
    rest = fit_cumulative_link_mixed(y[10:], X[10:, 1])
    assert fit.coefficients[0] == -np.inf
    assert np.isnan(fit.coefficient_std_errors[0])
    assert codes(fit) == ["separation"]
    assert "marked" in fit.findings[0].what
    assert "coefficient_sd" in fit.findings[0].remedy
    np.testing.assert_allclose(fit.cutpoints, rest.cutpoints, atol=1e-6)
    np.testing.assert_allclose(fit.coefficients[1], rest.coefficients[0], atol=1e-6)
    np.testing.assert_allclose(fit.cutpoint_std_errors, rest.cutpoint_std_errors, atol=1e-6)
    assert fit.log_likelihood == pytest.approx(rest.log_likelihood, abs=1e-9)


def test_separation_beside_a_factor() -> None:
    y, X, day = separated()
    fit = fit_cumulative_link_mixed(y, X, {"day": day})
    rest = fit_cumulative_link_mixed(y[10:], X[10:, 1], {"day": day[10:]})
    assert fit.coefficients[0] == -np.inf
    assert fit.log_likelihood == pytest.approx(rest.log_likelihood, abs=1e-8)
    assert fit.components[0].sd == pytest.approx(rest.components[0].sd, abs=1e-5)


def test_complete_separation_leaves_nothing_and_says_so() -> None:
    x = np.linspace(-1, 1, 20)
    fit = fit_cumulative_link_mixed(x > 0, x, {"half": np.arange(20) % 2})
    assert fit.coefficients[0] == np.inf
    assert np.isnan(fit.covariance).all()
    assert np.isnan(fit.components[0].sd)
    assert fit.log_likelihood == pytest.approx(0.0, abs=1e-12)
    assert codes(fit) == ["separation"]


def test_with_a_weak_prior_separation_is_finite() -> None:
    x = np.linspace(-1, 1, 20)
    fit = fit_cumulative_link_mixed(x > 0, x, coefficient_sd=2.5)
    assert fit.findings == ()

    def minus(theta: np.ndarray) -> float:
        chance = expit(np.where(x > 0, 1, -1) * (theta[1] * x - theta[0]))
        return float(-np.log(chance).sum() + 0.5 * (theta[1] / 2.5) ** 2)

    best = minimize(minus, np.zeros(2), method="BFGS", options={"gtol": 1e-8})
    np.testing.assert_allclose([fit.cutpoints[0], fit.coefficients[0]], best.x, atol=1e-6)
    assert 0 < fit.coefficient_std_errors[0] < 2.5


def test_levels_that_explain_every_answer_are_said() -> None:
    group = np.repeat(np.arange(6), 10)
    z = np.random.default_rng(2).normal(size=60)
    fit = fit_cumulative_link_mixed(group > 2, z, {"group": group})
    assert "variance_very_large" in codes(fit)


def test_empty_categories_are_merged_and_said() -> None:
    data = wine()
    spread = np.array([0, 2, 5, 6, 9])[data.rating - 1]
    fit = fit_cumulative_link_mixed(spread, data.X)
    plain = fit_cumulative_link_mixed(data.rating, data.X)
    assert fit.categories == (0, 2, 5, 6, 9)
    assert fit.parameter_names[:4] == ("0|2", "2|5", "5|6", "6|9")
    assert codes(fit) == ["categories_merged"]
    assert "1, 3, 4, 7 and 8" in fit.findings[0].what
    np.testing.assert_allclose(fit.cutpoints, plain.cutpoints, atol=1e-12)


@pytest.mark.parametrize("points", [1, 7])
def test_units_and_origins_of_covariates_do_not_matter(points: int) -> None:
    data = wine()
    groups = {"judge": data.judge}
    plain = fit_cumulative_link_mixed(data.rating, data.X, groups, quadrature_points=points)
    moved = fit_cumulative_link_mixed(
        data.rating, data.X * [1e5, 1e-4] + [7e5, -3.0], groups, quadrature_points=points
    )
    np.testing.assert_allclose(moved.coefficients * [1e5, 1e-4], plain.coefficients, rtol=SAME)
    shift = plain.coefficients @ [7.0, -3e4]
    np.testing.assert_allclose(moved.cutpoints - shift, plain.cutpoints, atol=1e-5)
    np.testing.assert_allclose(
        moved.coefficient_std_errors * [1e5, 1e-4], plain.coefficient_std_errors, rtol=1e-5
    )


def test_row_order_and_labels_do_not_matter() -> None:
    data = wine()
    plain = fit_cumulative_link_mixed(data.rating, data.X, {"judge": data.judge})
    order = np.random.default_rng(3).permutation(72)
    names = np.array([f"judge {10 - k}" for k in data.judge], dtype=object)
    other = fit_cumulative_link_mixed(data.rating[order], data.X[order], {"judge": names[order]})
    np.testing.assert_allclose(other.covariance, plain.covariance, rtol=1e-5)
    assert other.components[0].levels == tuple(f"judge {k}" for k in range(1, 10))
    np.testing.assert_allclose(other.components[0].modes[::-1], plain.components[0].modes, atol=SAME)


def test_turning_the_scale_round_turns_the_signs() -> None:
    data = wine()
    plain = fit_cumulative_link_mixed(data.rating, data.X, {"judge": data.judge}, quadrature_points=5)
    turned = fit_cumulative_link_mixed(-data.rating, data.X, {"judge": data.judge}, quadrature_points=5)
    np.testing.assert_allclose(turned.coefficients, -plain.coefficients, atol=SAME)
    np.testing.assert_allclose(turned.cutpoints[::-1], -plain.cutpoints, atol=SAME)
    np.testing.assert_allclose(turned.cutpoint_std_errors[::-1], plain.cutpoint_std_errors, rtol=1e-5)


def test_nested_factors() -> None:
    """Bottles within judges: rows of a judge in pairs, every pair with a label of its own."""
    data = wine()
    pair = data.judge * 10 + BOTTLE // 4
    fit = fit_cumulative_link_mixed(data.rating, data.X, {"judge": data.judge, "pair": pair})
    assert len(fit.components[1].levels) == 18
    assert fit.convergence.converged


def test_a_frame_names_its_coefficients() -> None:
    data = wine()
    fit = fit_cumulative_link_mixed(data.rating, pd.DataFrame(data.X, columns=["warm", "contact"]))
    assert fit.parameter_names[4:] == ("warm", "contact")


def test_arrays_of_the_result_cannot_be_written_to() -> None:
    fit = fit_cumulative_link_mixed([0, 1, 2, 0, 1, 2, 2, 1], [0, 0, 1, 0, 1, 1, 0, 1])
    for array in (fit.cutpoints, fit.coefficients, fit.covariance, fit.convergence.correct_decimals):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0


def test_covariance_without_factors_is_the_inverse_of_the_differenced_curvature() -> None:
    data = wine()
    fit = fit_cumulative_link_mixed(data.rating, data.X)
    marginal = Marginal(Rows(data.rating - 1, data.rating - 1, data.X, (), None, 4), 1)
    x = np.concatenate([gaps_from_cutpoints(fit.cutpoints), fit.coefficients])

    def criterion(x: np.ndarray) -> tuple[float, np.ndarray]:
        point = marginal(x)
        return point.log_likelihood, point.gradient

    to_natural = np.eye(6)
    to_natural[:4, :4] = gaps_in_cutpoints(x[:4])
    covariance = to_natural @ np.linalg.inv(difference_hessian(criterion, x)) @ to_natural.T
    np.testing.assert_allclose(fit.covariance, covariance, rtol=1e-6)


def test_a_category_censoring_leaves_without_probability_is_merged() -> None:
    """Category 1 begins one interval and ends another, but no answer needs it: its cutpoints meet at the maximum."""
    answers = [[0, 0]] * 6 + [[0, 1]] * 2 + [[1, 2]] * 2 + [[2, 2]] * 6
    fit = fit_cumulative_link_mixed(answers)
    assert fit.categories == (0, 2)
    assert codes(fit) == ["categories_merged"]
    assert fit.cutpoints[0] == pytest.approx(0.0, abs=1e-9)
    assert fit.log_likelihood == pytest.approx(16 * np.log(0.5), abs=1e-9)


def test_a_coefficient_no_answer_speaks_of_is_refused() -> None:
    """The one marked row allows every category."""
    answers = np.array([[0, 0], [1, 1], [0, 0], [1, 1], [0, 1]])
    with pytest.raises(OptionError, match="No answer tells the coefficients of 'marked' from the rest"):
        fit_cumulative_link_mixed(answers, [0, 0, 0, 0, 1], coefficient_names=["marked"])
    held = fit_cumulative_link_mixed(answers, [0, 0, 0, 0, 1], coefficient_sd=2.0)
    assert held.coefficients[0] == pytest.approx(0.0, abs=1e-9)
    assert held.coefficient_std_errors[0] == pytest.approx(2.0, abs=1e-9)
