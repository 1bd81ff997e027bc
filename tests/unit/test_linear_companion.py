"""The linear companion on logs made for it: its slopes, its reasons to withhold, and odd logs of every kind."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from analysis.errors import OptionError
from analysis.models.linear_companion import LinearCompanion, fit_linear_companion
from analysis.models.linear_companion_design import load_parts
from analysis.results import Estimate, Withheld
from tests.small_logs import small_log, squat

ROUNDED = 0.08
"""Scores are whole numbers: 60 sessions of 12 sets leave the slopes this loose, points per 10 %."""


def ramp_rows(
    rng: np.random.Generator, *, sessions: int, within: float, between: float, mean: float
) -> list[dict[str, object]]:
    """Two exercises, a ramp of loads every session; slopes in points per 10 %, scores rounded to 0 .. 10."""
    rows = []
    for day in range(sessions):
        today, usual = rng.normal(0, 0.5), rng.normal(0, 0.2, 2)
        for number in range(12):
            lift = number % 2
            inside = np.log(1.1) * (number // 2 - 2.5)
            load = (20.0, 55.0)[lift] * np.exp(inside + usual[lift])
            score = (
                mean + (within * inside + between * usual[lift]) / np.log(1.1) + today + rng.normal(0, 0.7)
            )
            pain = int(np.clip(np.rint(score), 0, 10))
            rows.append(squat(3 * day, number + 1, load, pain) | {"exercise": f"drill {lift}"})
    return rows


def fitted(rows: list[dict[str, object]], **options: float) -> LinearCompanion:
    answer = fit_linear_companion(small_log(rows), client="T-01", **options)
    assert isinstance(answer, LinearCompanion)
    return answer


def test_slopes_are_those_the_scores_were_made_with() -> None:
    """Within and between may have opposite signs, as when loads are lowered because of pain."""
    rng = np.random.default_rng(5)
    answer = fitted(ramp_rows(rng, sessions=60, within=0.6, between=-0.5, mean=5.0))
    assert isinstance(answer.within, Estimate)
    assert isinstance(answer.between, Estimate)
    assert answer.within.value == pytest.approx(0.6, abs=ROUNDED)
    assert answer.between.value == pytest.approx(-0.5, abs=ROUNDED)
    assert answer.within.low < 0.6 < answer.within.high
    assert answer.within.unit == "points per 10 % load"
    assert answer.session_sd == pytest.approx(0.5, abs=0.15)
    assert answer.converged
    assert (answer.n_sets, answer.n_answers, answer.n_sessions, answer.n_lines) == (720, 720, 60, 2)
    assert answer.findings == ()


def test_many_zeros_are_said_and_pull_the_slope_down() -> None:
    rng = np.random.default_rng(5)
    answer = fitted(ramp_rows(rng, sessions=60, within=0.6, between=0.6, mean=-0.5))
    assert answer.share_of_zeros > 0.5
    assert isinstance(answer.within, Estimate)
    assert answer.within.high < 0.5
    (floor,) = [finding for finding in answer.findings if finding.code == "linear_floor"]
    assert floor.what == f"{answer.share_of_zeros:.0%} of the scores are 0."


def test_a_spread_of_zero_and_a_search_that_did_not_settle_are_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same scores every session: sessions differ by nothing at all, which is less than chance would have."""
    rows = [squat(d, i, 20.0 + i, pain) for d in range(6) for i, pain in enumerate([1, 3, 2, 5, 3])]
    answer = fitted(rows)
    assert [finding.code for finding in answer.findings] == ["linear_session_sd_zero"]
    assert answer.session_sd == pytest.approx(0.0, abs=1e-4)
    monkeypatch.setattr("analysis.numerics.linear_mixed.SETTLED", -1.0)
    unsettled = fitted(rows)
    assert not unsettled.converged
    assert unsettled.findings[0].code == "linear_not_settled"


def test_a_wider_confidence_gives_a_wider_interval_round_the_same_value() -> None:
    rows = ramp_rows(np.random.default_rng(2), sessions=8, within=0.5, between=0.0, mean=4.0)
    narrow, wide = fitted(rows, confidence_level=0.8).between, fitted(rows, confidence_level=0.95).between
    assert isinstance(narrow, Estimate)
    assert isinstance(wide, Estimate)
    assert narrow.value == wide.value
    # a t interval: its ends go out further than those of a normal one
    assert (wide.high - wide.value) / (narrow.high - narrow.value) > norm.ppf(0.975) / norm.ppf(0.9)
    assert wide.low < narrow.low < narrow.high < wide.high
    with pytest.raises(OptionError, match="between 0 and 1"):
        fitted(rows, confidence_level=95.0)


def test_pounds_names_and_the_order_of_rows_change_nothing() -> None:
    rows = ramp_rows(np.random.default_rng(7), sessions=8, within=0.5, between=0.2, mean=3.0)
    pounds = [row | {"load": float(str(row["load"])) / 0.45359237, "unit": "lb"} for row in rows]
    renamed = [row | {"exercise": f"new {row['exercise']}"} for row in reversed(rows)]
    plain = fitted(rows)
    assert isinstance(plain.within, Estimate)
    for other in (fitted(pounds), fitted(renamed)):
        assert isinstance(other.within, Estimate)
        assert isinstance(other.between, Estimate)
        assert other.within.value == pytest.approx(plain.within.value, abs=1e-9)
        assert other.within.high == pytest.approx(plain.within.high, abs=1e-6)


def test_parts_of_load_by_hand() -> None:
    """One line over two sessions (1, 3 | 5) and another of one session: means 2 and 5, line mean 3."""
    within, between = load_parts(
        np.array([1.0, 3.0, 5.0, 7.0]), line=np.array([0, 0, 0, 1]), session=np.array([0, 0, 1, 1])
    )
    np.testing.assert_allclose(within, [-1.0, 1.0, 0.0, 0.0])
    np.testing.assert_allclose(between, [-1.0, -1.0, 2.0, 0.0])


def test_stopped_sets_bands_and_painkiller_days_stay_out_and_are_counted() -> None:
    rows = ramp_rows(np.random.default_rng(7), sessions=8, within=0.5, between=0.2, mean=3.0)
    band = squat(1, 1, 5.0, 2) | {"load": None, "load_basis": "band", "band": "green"}
    stopped = squat(1, 2, 30.0, None) | {"stopped_for": "pain"}
    answer = fitted([*rows, band, stopped])
    assert answer.n_answers == len(rows)
    assert answer.n_left_out == 2
    marked = [{"client": "T-01", "date": rows[0]["date"], "painkiller": True}]
    log = small_log(rows, days=marked)
    without = fit_linear_companion(log, client="T-01")
    with_it = fit_linear_companion(log, client="T-01", painkiller_days=True)
    assert isinstance(without, LinearCompanion)
    assert isinstance(with_it, LinearCompanion)
    assert with_it.n_answers - without.n_answers == 12


@pytest.mark.parametrize(
    ("rows", "reason"),
    [
        ([squat(d, 1, 20.0 + d, d) for d in range(5)], "5 sets have both"),
        ([squat(0, i + 1, 20.0 + i, i) for i in range(8)], "one session"),
        ([squat(d, 1, 20.0 + d, 0) for d in range(8)], "Every score is 0"),
        ([squat(d, i, 20.0, d) for d in range(8) for i in (1, 2)], "one load only"),
        ([squat(d, i, 20.0 + d, (d + i) % 4) for d in range(3) for i in (1, 2)], "too few sessions"),
        (
            [squat(d, i, 20.0 + i, d) for d in range(4) for i in (1, 2, 3)],
            "no score differs from the others",
        ),
    ],
)
def test_too_little_is_withheld_by_rule(rows: list[dict[str, object]], reason: str) -> None:
    answer = fit_linear_companion(small_log(rows), client="T-01")
    assert isinstance(answer, Withheld)
    assert reason in answer.reason
    assert answer.remedy


def test_a_slope_that_could_be_anything_is_withheld() -> None:
    """Loads 1.5 % apart and scores from 0 to 10 by chance: 10 % more load could mean anything."""
    rng = np.random.default_rng(3)
    rows = [squat(d, i, (20.0, 20.3)[i % 2], int(rng.integers(0, 11))) for d in range(2) for i in range(1, 5)]
    answer = fitted(rows)
    assert isinstance(answer.within, Withheld)
    assert "wider than the whole" in answer.within.reason
    nearly = [row | {"load": 20.0 + 0.01 * i} for i, row in enumerate(rows)]
    assert isinstance(fit_linear_companion(small_log(nearly), client="T-01"), Withheld)


def test_one_slope_may_be_known_without_the_other() -> None:
    scores = iter([0, 2, 1, 3, 0, 1, 2, 2, 1, 4, 0, 2])
    inside = fitted([squat(d, i, 20.0 + i, next(scores)) for d in range(6) for i in (1, 2)])
    assert isinstance(inside.within, Estimate)
    assert isinstance(inside.between, Withheld)
    assert "same in all sessions" in inside.between.reason
    scores = iter([0, 2, 1, 3, 0, 1, 2, 2, 1, 4, 0, 2])
    across = fitted([squat(d, i, 20.0 + d, next(scores)) for d in range(6) for i in (1, 2)])
    assert isinstance(across.within, Withheld)
    assert "two loads in one session" in across.within.reason
    assert isinstance(across.between, Estimate)


def odd_rows(rng: np.random.Generator) -> list[dict[str, object]]:
    """A log of 1 to 80 sets whose sessions, lines, loads and scores are few or many, alike or not."""
    n = int(rng.integers(1, 81))
    n_days, n_lines = int(rng.choice([1, 2, 3, 6, 12, n])), int(rng.choice([1, 1, 2, 5, n]))
    loads = [
        20.0 * (1.0 + 1e-12 * np.arange(n)),
        rng.choice([20.0, 22.0], n),
        np.exp(rng.uniform(-0.7, 6.2, n)),
    ]
    load = loads[int(rng.integers(3))]
    day, line = rng.integers(0, n_days, n), rng.integers(0, n_lines, n)
    scores = {
        "any": rng.integers(0, 11, n),
        "mostly 0": rng.integers(0, 11, n) * (rng.random(n) < 0.1),
        "by day": day % 11,
        "by line": line % 11,
        "by load": np.minimum(10, load // 5).astype(int),
        "one number": np.full(n, 10),
    }
    score = scores[str(rng.choice(list(scores)))]
    rows = [
        squat(int(day[i]), i + 1, float(load[i]), int(score[i])) | {"exercise": f"drill {line[i]}"}
        for i in range(n)
    ]
    if rng.random() < 0.3:  # the other side was asked as well, and answered alike
        rows = [row | {"pain_right": row["pain_left"]} for row in rows]
    return rows


def test_odd_logs_get_numbers_or_reasons() -> None:
    rng = np.random.default_rng(901)
    n_fitted = 0
    for _ in range(40):
        answer = fit_linear_companion(small_log(odd_rows(rng)), client="T-01")
        if isinstance(answer, Withheld):
            assert answer.reason
            assert answer.remedy
            continue
        n_fitted += 1
        assert answer.converged
        for part in (answer.within, answer.between):
            if isinstance(part, Estimate):
                assert np.isfinite([part.low, part.value, part.high]).all()
                assert part.low < part.value < part.high
        sds = [sd for sd in (answer.session_sd, answer.line_sd, answer.residual_sd) if sd is not None]
        assert np.isfinite([*sds, answer.log_likelihood]).all()
        assert answer.residual_sd > 0
    assert n_fitted >= 8
