"""Slopes within and between people, where pooling hides the one behind the other.

Bland & Altman 1995, BMJ 310:446, 47 measurements of pH and PaCO2 in 8 people: they print r = -.51 and P = .0008 for
the correlation within people (from memory); values.json holds R's digits.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import pearsonr, t

from analysis.models.linear_companion_design import load_parts
from analysis.numerics.linear_mixed import fit_linear_mixed
from analysis.numerics.linear_mixed_criterion import RandomFactor

EXACT = 1e-9
STD_ERROR = 1e-5
DEGREES = 2e-3
"""lmerTest differentiates numerically twice."""
HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def r_values() -> dict:
    return json.loads((HERE / "values.json").read_text())


@pytest.fixture(scope="module")
def blood() -> dict[str, np.ndarray]:
    with (HERE / "data.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {
        "person": np.array([int(row["person"]) - 1 for row in rows]),
        "ph": np.array([float(row["ph"]) for row in rows]),
        "paco2": np.array([float(row["paco2"]) for row in rows]),
    }


def test_the_within_coefficient_is_the_ancova_slope(blood, r_values) -> None:
    """Split into parts, the slope within people of a random-intercept model is that of fixed people (Mundlak 1978)."""
    one_line = np.zeros(47, dtype=np.int64)
    within, between = load_parts(blood["ph"], line=one_line, session=blood["person"])
    ones = np.ones((47, 1))
    X = np.column_stack([ones, within, between])
    fit = fit_linear_mixed(blood["paco2"], X, [RandomFactor(blood["person"], ones)])
    assert fit.beta[1] == pytest.approx(r_values["ancova_slope"], rel=EXACT)
    assert fit.beta[1] == pytest.approx(-2.37083, abs=5e-6)
    split = r_values["split"]
    assert -2.0 * fit.log_likelihood == pytest.approx(split["criterion"], abs=1e-7)
    np.testing.assert_allclose(fit.beta, split["coefficients"], rtol=1e-6)
    np.testing.assert_allclose(fit.std_error, split["std_errors"], rtol=STD_ERROR)
    np.testing.assert_allclose(fit.degrees_of_freedom, split["degrees_of_freedom"], rtol=DEGREES)


def test_repeated_measures_correlation(blood, r_values) -> None:
    """The correlation of the parts within, on 47 - 8 - 1 degrees of freedom."""
    one_line = np.zeros(47, dtype=np.int64)
    ph, mean_ph = load_parts(blood["ph"], line=one_line, session=blood["person"])
    paco2, mean_paco2 = load_parts(blood["paco2"], line=one_line, session=blood["person"])
    r, df = pearsonr(ph, paco2).statistic, 38
    assert df == r_values["degrees_of_freedom"]
    assert r == pytest.approx(r_values["r"], abs=EXACT)
    assert 2 * t.sf(abs(r) * np.sqrt(df / (1 - r**2)), df) == pytest.approx(r_values["p"], rel=1e-6)
    ends = np.tanh(np.arctanh(r) + np.array([-1, 1]) * 1.959963984540054 / np.sqrt(df - 1))
    np.testing.assert_allclose(ends, r_values["fisher_95"], atol=EXACT)
    assert pearsonr(blood["ph"], blood["paco2"]).statistic == pytest.approx(r_values["pooled_r"], abs=EXACT)
    first = np.unique(blood["person"], return_index=True)[1]
    people = pearsonr(mean_ph[first], mean_paco2[first]).statistic
    assert people == pytest.approx(r_values["between_r"], abs=EXACT)


def test_within_and_between_of_opposite_sign() -> None:
    """Sessions A, B, C at heavier loads with less pain, while inside each more load means more pain."""
    load = np.array([20.0, 30, 40, 40, 50, 60, 60, 70, 80])
    pain = np.array([4.0, 5, 6, 2, 3, 4, 0, 1, 2])
    within, between = load_parts(load, line=np.zeros(9, dtype=np.int64), session=np.repeat([0, 1, 2], 3))
    X = np.column_stack([np.ones(9), within, between])
    np.testing.assert_allclose(np.linalg.lstsq(X, pain)[0][1:], [0.10, -0.10], atol=EXACT)
    pooled = np.column_stack([np.ones(9), load])
    assert np.linalg.lstsq(pooled, pain)[0][1] == pytest.approx(-0.06, abs=EXACT)
