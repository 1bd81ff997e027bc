"""One set of checks for every case whose values.json was made by lmer_values.R beside this file."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from analysis.numerics.linear_mixed import LinearMixedFit, fit_linear_mixed
from analysis.numerics.linear_mixed_criterion import RandomFactor, mixed_point, mixed_products

FIXED = 1e-7
"""Criterion at given parameters, absolute: the same formula by two programs, values up to 5,000."""
CRITERION = 1e-7
"""Criterion at the optimum, absolute: flat there, so that it agrees better than the parameters do."""
COEFFICIENT = 1e-6
STD_ERROR = 1e-5
VARIANCE = 5e-5
"""Relative: lmer's search, carried on to rhoend 1e-10, stops where its criterion has no more digits."""
NEAR_ZERO = 1e-6
"""A spread, relative to the residual one, that both programs call zero: never compared relatively."""
DEGREES = 2e-3
"""Satterthwaite's degrees of freedom, relative: lmerTest differentiates numerically twice."""


@dataclass(frozen=True)
class LmerCase:
    """Data of a case: response, fixed columns, and factors with the labels of their levels, in lme4's order."""

    y: np.ndarray
    X: np.ndarray
    labels: tuple[np.ndarray, ...]
    columns: tuple[np.ndarray, ...]

    @property
    def groups(self) -> list[RandomFactor]:
        codes = [np.unique(label, return_inverse=True)[1] for label in self.labels]
        return [RandomFactor(code, column) for code, column in zip(codes, self.columns, strict=True)]


def values(folder: str) -> dict:
    """What R printed for a case."""
    return json.loads((Path(__file__).parent / folder / "values.json").read_text())


def scaled(case: LmerCase, theta: list[float]) -> np.ndarray:
    """lme4's theta, per unit of each column, as the criterion takes it."""
    products = mixed_products(case.y, case.X, case.groups)
    parts, at = [], 0
    for (_, k), scale in zip(products.shapes, products.scales, strict=True):
        T = np.zeros((k, k))
        T.T[np.triu_indices(k)] = theta[at : at + k * (k + 1) // 2]  # lme4 goes down the columns
        parts.append((T * scale[:, None])[np.tril_indices(k)])
        at += k * (k + 1) // 2
    return np.concatenate(parts)


def check_against_lmer(case: LmerCase, r: dict, *, reml: bool) -> LinearMixedFit:
    """Criterion at fixed parameters first, then the optimum, then everything derived from it."""
    products = mixed_products(case.y, case.X, case.groups)
    fixed = mixed_point(products, scaled(case, r["fixed_theta"]), reml=reml)
    assert fixed.criterion == pytest.approx(r["criterion_at_fixed_theta"], abs=FIXED)

    fit = fit_linear_mixed(case.y, case.X, case.groups, reml=reml)
    assert fit.converged
    assert any(fit.singular) == r["singular"]
    assert -2.0 * fit.log_likelihood == pytest.approx(r["criterion"], abs=CRITERION)
    np.testing.assert_allclose(fit.beta, r["coefficients"], rtol=COEFFICIENT)
    np.testing.assert_allclose(fit.std_error, r["std_errors"], rtol=STD_ERROR)
    np.testing.assert_allclose(fit.degrees_of_freedom, r["degrees_of_freedom"], rtol=DEGREES)
    assert fit.sigma == pytest.approx(r["sigma"], rel=VARIANCE)
    floor = (NEAR_ZERO * fit.sigma) ** 2
    for ours, theirs in zip(fit.effect_covariances, r["covariances"], strict=True):
        np.testing.assert_allclose(ours, np.array(theirs), rtol=VARIANCE, atol=floor)
    _check_modes(case, fit, r["modes"])
    return fit


def _check_modes(case: LmerCase, fit: LinearMixedFit, modes: dict[str, dict[str, list[float]]]) -> None:
    """Conditional modes level by level; lme4 puts uncorrelated columns of one factor side by side."""
    at = 0
    for theirs in modes.values():
        names = np.unique(case.labels[at])
        wide = np.array([np.atleast_1d(theirs[str(name)]) for name in names])
        ours = [fit.effects[at]]
        while sum(part.shape[1] for part in ours) < wide.shape[1]:
            at += 1
            ours.append(fit.effects[at])
        at += 1
        np.testing.assert_allclose(np.hstack(ours), wide, rtol=VARIANCE, atol=VARIANCE * fit.sigma)
