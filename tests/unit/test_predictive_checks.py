"""Answers that contradict the model are told, answers that the model could have given are not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from scipy.stats import poisson_binom

from analysis.derive import PAIN_COLUMNS
from analysis.design import Design
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_layout import NamedDraws, name_draws, pain_layout
from analysis.models.pain_model import fit_pain_model
from analysis.models.predictive_checks import (
    PredictiveCheck,
    after_pain,
    count_tails,
    heaviest_sets,
    predictive_checks,
    predictive_findings,
    row_predictor,
    session_effects,
)
from analysis.simulate import simulate_client
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=640)
CLOSE_TAILS = 0.01
"""Largest error of a tail probability of the two-moment binomial in the cases below."""

Answers = Callable[[pd.DataFrame, np.random.Generator], np.ndarray]


def fit_of(log: TrainingLog) -> PainFit:
    return fit_pain_model(log, client=str(log.sets["client"].iloc[0]), options=FEW)


def found(fit: PainFit) -> dict[str, str]:
    assert fit.design is not None
    findings = predictive_findings(fit.design, fit, fit.level, seed=1)
    return {finding.code: finding.what for finding in findings}


def checks(fit: PainFit) -> dict[str, PredictiveCheck]:
    assert fit.design is not None
    return {check.code: check for check in predictive_checks(fit.design, fit, fit.level, seed=1)}


def with_answers(log: TrainingLog, answers: Answers) -> TrainingLog:
    """The log with other scores wherever a score was asked."""
    sets = log.sets.sort_values(["date", "set"], ignore_index=True)
    new = answers(sets, np.random.default_rng(8))
    columns = {name: sets[name].where(sets[name].isna(), new).astype("Int64") for name in PAIN_COLUMNS}
    return replace(log, sets=sets.assign(**columns))


def score(sets: pd.DataFrame) -> np.ndarray:
    return sets[list(PAIN_COLUMNS)].max(axis=1).fillna(0).to_numpy(int)


def all_or_nothing(sets: pd.DataFrame, rng: np.random.Generator) -> np.ndarray:
    return np.where(score(sets) >= 2, 10, 0)


def easier_when_heavy(sets: pd.DataFrame, rng: np.random.Generator) -> np.ndarray:
    """A quarter of the sets at the usual load hurt, nearly all an octave below, none an octave above."""
    usual = sets.groupby(["exercise", "side"])["load"].transform("median")
    chance = 1.0 / (1.0 + np.exp(1.1 + 4.0 * np.log2(sets["load"] / usual).to_numpy(float)))
    return np.where(rng.random(len(sets)) < chance, rng.choice([1, 2, 3], len(sets)), 0)


def in_runs(sets: pd.DataFrame, rng: np.random.Generator) -> np.ndarray:
    """Pain that has come in an exercise mostly stays for its next set that day, whatever the load."""
    answers, hurts = np.zeros(len(sets), dtype=int), {}
    for i, key in enumerate(zip(sets["date"], sets["exercise"], sets["side"], strict=True)):
        hurts[key] = rng.random() < (0.85 if hurts.get(key) else 0.12)
        answers[i] = rng.choice([2, 3, 4]) if hurts[key] else 0
    return answers


@pytest.mark.parametrize("world", ["W0", "W1", "W5"])
def test_answers_from_the_model_family_are_not_remarked(world: str) -> None:
    fit = fit_of(simulate_client(2001, world).log)
    assert len(checks(fit)) == 3
    assert found(fit) == {}


@pytest.mark.parametrize(
    ("answers", "world", "code"),
    [
        (all_or_nothing, "W1", "high_scores_unlike_model"),
        (easier_when_heavy, "W0", "zeros_unlike_model"),
        (in_runs, "W1", "pain_follows_pain"),
    ],
)
def test_each_contradiction_has_its_finding(answers: Answers, world: str, code: str) -> None:
    """Two clients each, so that it is no luck."""
    for seed in (2001, 2002):
        fit = fit_of(with_answers(simulate_client(seed, world).log, answers))
        what = found(fit)
        assert code in what
        check = checks(fit)[code]
        assert f"{check.observed} of {check.n_sets}" in what[code]
        assert f"about {check.expected:.0f}" in what[code]
        assert check.observed > check.expected


def test_words_follow_the_direction() -> None:
    """Hurts every second time, never twice in a row: the remedy speaks of that, not of runs."""
    rows = [
        squat(2 * session, i + 1, 10.0 + 2 * (i % 3), 3 if i % 2 else 0)
        for session in range(15)
        for i in range(8)
    ]
    fit = fit_of(small_log(rows))
    assert fit.design is not None
    (finding,) = predictive_findings(fit.design, fit, fit.level, seed=1)
    assert finding.code == "pain_follows_pain"
    assert "0 of 45" in finding.what
    assert "seldom" in finding.consequence
    assert "run" not in finding.remedy


def small_design() -> Design:
    rows = [
        squat(0, 1, 8.0, 2),
        squat(0, 2, 10.0, 0),
        squat(0, 3, 10.0, None, stopped_for="pain"),
        squat(0, 4, 12.0, 1),
        squat(0, 5, 20.0, 0, exercise="bridge"),
        squat(2, 1, 12.0, 4),
        squat(2, 2, 14.0, 0, side="right", pain_left=None, pain_right=0),
        squat(2, 3, 14.0, 5),
    ]
    design = fit_of(small_log(rows)).design
    assert design is not None
    return design


def test_which_sets_follow_pain_and_which_are_heaviest() -> None:
    """Stopped for pain counts as pain; another side, another exercise and the first set of a day do not follow."""
    design = small_design()
    assert after_pain(design, 2).tolist() == [False, True, False, True, False, False, False, True]
    assert heaviest_sets(design).tolist() == [False, False, False, False, False, False, True, True]


def test_a_handful_of_sets_is_not_judged() -> None:
    rows = [squat(0, i + 1, 8.0 + 2 * i, 10) for i in range(4)]
    assert checks(fit_of(small_log(rows))) == {}


@pytest.mark.parametrize(("n", "a", "b"), [(10, 0.5, 2.0), (40, 2.0, 2.0), (40, 1.0, 20.0), (200, 2.0, 6.0)])
def test_tails_against_the_exact_distribution(n: int, a: float, b: float) -> None:
    """scipy.stats.poisson_binom."""
    chance = np.random.default_rng(1).beta(a, b, n)
    exact = poisson_binom(chance)
    for count in range(n + 1):
        at_least, at_most = count_tails(chance[:, None], count)
        assert at_least[0] == pytest.approx(exact.sf(count - 1), abs=CLOSE_TAILS)
        assert at_most[0] == pytest.approx(exact.cdf(count), abs=CLOSE_TAILS)


def test_sure_answers_have_sure_counts() -> None:
    """Chances of 0 and 1 leave no room; a count outside is impossible."""
    sure = np.array([1.0, 1.0, 1.0, 0.0])[:, None]
    for count, at_least, at_most in ((2, 1.0, 0.0), (3, 1.0, 1.0), (4, 0.0, 1.0)):
        tails = count_tails(sure, count)
        assert tails[0][0] == pytest.approx(at_least, abs=1e-6)
        assert tails[1][0] == pytest.approx(at_most, abs=1e-6)


def test_session_effects_have_their_conditional_distribution() -> None:
    """One session of twelve sets: mean and spread against the density on a grid, within 4 Monte Carlo errors."""
    rows = [squat(0, i + 1, 10.0, [0, 0, 2, 3][i % 4]) for i in range(12)]
    design = fit_of(small_log(rows)).design
    assert design is not None
    n = 4000
    cutpoints = np.tile([1.0, 1.7, 2.4, 3.1, 3.8], (n, 1))
    eta, sd = np.full((12, n), 0.4), np.full(n, 0.9)
    u = session_effects(design, eta, cutpoints, sd, np.random.default_rng(2))[0]
    grid = np.linspace(-5, 5, 2001)
    cdf = 1 / (1 + np.exp(-(cutpoints[0][:, None] - 0.4 - grid)))
    log_density = 6 * np.log(cdf[0]) + 3 * np.log(cdf[2] - cdf[1]) + 3 * np.log(cdf[3] - cdf[2])
    weight = np.exp(log_density - 0.5 * (grid / 0.9) ** 2)
    weight /= weight.sum()
    mean = (weight * grid).sum()
    spread = np.sqrt((weight * (grid - mean) ** 2).sum())
    assert u.mean() == pytest.approx(mean, abs=0.03)  # the mode lies a little beside the mean
    assert u.std() == pytest.approx(spread, rel=0.06)


def test_the_predictor_is_that_of_the_fit() -> None:
    """Against the layout's own predictor, without the sessions, for a log with weeks and variants."""
    log = simulate_client(3, "W1").log
    design = fit_of(log).design
    assert design is not None
    assert design.variants
    assert design.weeks
    layout = pain_layout(design)
    theta = 0.3 * np.random.default_rng(5).standard_normal((layout.predictor.size, 6))
    phi = np.zeros((len(layout.phi_of), 6))
    named: NamedDraws = name_draws(layout, design, theta, phi)
    theta[layout.predictor.group_slice(layout.group_of["session"])] = 0.0
    np.testing.assert_allclose(
        row_predictor(design, named, np.arange(6)), layout.predictor.eta(theta)[0], atol=1e-12
    )


def test_the_fit_carries_the_finding() -> None:
    fit = fit_of(with_answers(simulate_client(2001, "W1").log, all_or_nothing))
    (finding,) = [f for f in fit.findings if f.code == "high_scores_unlike_model"]
    assert finding.what == found(fit)[finding.code]
