"""Range stops, preparation, levels and intervals other than the usual ones, and the sides blanks speak of."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from analysis.derive import load_step_kg
from analysis.design_terms import TERM_NAMES
from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import filled_setting, setting_row
from analysis.observations import observations
from analysis.questions.month import month_summary
from analysis.questions.pain_line import pain_line
from analysis.results import LineKey, PainLine, Setting
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=640)
STOPS = ((1, "low", 60.0), (2, "middle", 80.0), (3, "full", 100.0))


def rows(**more: object) -> list[dict[str, object]]:
    """Twelve sessions at 8, 10, 12 kg, worst 3 at 12 kg, mostly to the low stop."""
    return [
        squat(2 * session, i + 1, load, 3 if load == 12.0 and session % 2 else 0)
        | {"range_stop": "low" if session % 4 else "full"}
        | more
        for session in range(12)
        for i, load in enumerate((8.0, 10.0, 12.0))
    ]


def ranges(*, with_percent: bool) -> list[dict[str, object]]:
    return [
        {"exercise": "step-down", "order": order, "range_stop": stop}
        | ({"rom_pct": percent} if with_percent else {})
        for order, stop, percent in STOPS
    ]


def fitted(sets: list, **tables: object) -> PainFit:
    return fit_pain_model(small_log(sets, **tables), client="T-01", options=FEW)  # type: ignore[arg-type]


def covariate(fit: PainFit, name: str, at: Setting) -> float:
    assert fit.design is not None
    return float(setting_row(fit.design, next(iter(fit.tried)), at)[TERM_NAMES.index(name)])


def test_a_stop_with_a_percent_counts_as_its_percent_only() -> None:
    fit = fitted(rows(), ranges=ranges(with_percent=True))
    assert fit.design is not None
    column = fit.design.X[:, TERM_NAMES.index("range_rank")]
    assert not column.any()
    for stop, percent in (("low", 60.0), ("middle", 80.0), ("full", 100.0)):
        at = Setting(range_stop=stop)
        assert covariate(fit, "range_rank", at) == 0.0
        assert covariate(fit, "rom_pct", at) == pytest.approx((percent - 100) / 10)
        assert filled_setting(fit.design, next(iter(fit.tried)), at).rom_pct == percent
    assert covariate(fit, "range_rank", Setting()) == 0.0


def test_a_stop_without_a_percent_counts_from_the_furthest_done() -> None:
    fit = fitted(rows(), ranges=ranges(with_percent=False))
    assert covariate(fit, "range_rank", Setting(range_stop="low")) == -2.0
    assert covariate(fit, "range_rank", Setting(range_stop="full")) == 0.0
    assert covariate(fit, "rom_pct", Setting(range_stop="low")) == 0.0


def test_asked_preparation_does_not_hide_that_sessions_were_prepared() -> None:
    drill = [
        squat(2 * s, 10, 0.0, 0, exercise="ankle rocks", block="preparation") | {"set": 0} for s in range(12)
    ]
    sets = sorted([*rows(), *drill], key=lambda row: (row["date"], row["set"]))
    for row in sets:
        row["set"] = int(row["set"]) + 1  # type: ignore[call-overload]
    fit = fitted(sets)
    assert fit.design is not None
    assert fit.design.usual["step-down"]["prepared"] == 1.0


def test_the_status_at_another_level_counts_pain_at_that_level() -> None:
    fit = fitted(rows())
    assert next(iter(fit.tried.values())).n_at_level == (6, 6, 6, 0, 0)
    line = pain_line(fit, exercise="step-down", variant="standard", side="left", level=4)
    assert isinstance(line, PainLine)
    assert line.status in ("above_tried", "lower_only")
    assert line.tried.n_painful == 0
    own = pain_line(fit, exercise="step-down", variant="standard", side="left")
    assert isinstance(own, PainLine)
    assert own.tried.n_painful == 6


def test_the_status_does_not_depend_on_the_interval_asked_for() -> None:
    fit = fitted(rows())
    statuses = set()
    for confidence_level in (0.5, 0.8, 0.95):
        line = pain_line(
            fit,
            exercise="step-down",
            variant="standard",
            side="left",
            chance=0.5,
            confidence_level=confidence_level,
        )
        assert isinstance(line, PainLine)
        statuses.add(line.status)
    assert len(statuses) == 1


def test_a_line_without_load_answers_at_the_setting_asked_for() -> None:
    sets = [
        squat(
            2 * s, n, None, (3 if n == 3 else 0) if s % 2 else 0, exercise="wall sit", reps=None, hold_s=30.0
        )
        for s in range(12)
        for n in (1, 2, 3)
    ]
    fit = fitted(sets)
    usual = pain_line(fit, exercise="wall sit", variant="standard", side="left")
    sore = pain_line(
        fit, exercise="wall sit", variant="standard", side="left", at=Setting(provoked=True, place=15)
    )
    assert isinstance(usual, PainLine)
    assert isinstance(sore, PainLine)
    assert sore.at.place == 15
    assert sore.conditions[0].chance != pytest.approx(usual.conditions[0].chance, abs=1e-6)


def test_an_unscored_stop_of_a_midline_client_is_in_the_midline() -> None:
    sets = [squat(0, 1, 8.0, None, stopped_for="pain"), squat(0, 2, 8.0, None, pain_midline=0)]
    site = [{"client": "T-01", "site": "low back", "region": "low back", "side": "midline", "main": True}]
    assert set(observations(small_log(sets, sites=site), "T-01")["asked_side"]) == {"midline"}
    assert set(observations(small_log(sets), "T-01")["asked_side"]) == {"left", "midline"}


def test_the_step_of_a_past_day_knows_no_later_loads() -> None:
    sets = [squat(0, n + 1, load, 0) for n, load in enumerate((4.0, 8.0, 12.0))]
    sets += [squat(30, n + 1, load, 0) for n, load in enumerate((5.0, 6.0, 7.0))]
    log = small_log(sets)
    assert load_step_kg(log, "T-01", "step-down", as_of=dt.date(2026, 6, 2)) == 4.0
    assert load_step_kg(log, "T-01", "step-down") == 1.0


def test_scores_and_stops_without_a_score_make_one_share_of_zeros() -> None:
    sets = rows()
    for row in sets:
        if row["pain_left"] == 3:
            row |= {"pain_left": None, "stopped_for": "pain"}
    log = small_log(sets)
    fit = fit_pain_model(log, client="T-01", options=FEW)
    assert fit.share_of_zeros == pytest.approx(30 / 36)
    assert month_summary(log, "T-01", month="2026-06").share_of_zeros == pytest.approx(30 / 36)


def test_a_month_draws_the_load_of_the_set_that_hurt_most() -> None:
    sets = [squat(0, 1, 12.0, 2), squat(0, 2, 8.0, 6), squat(0, 3, 8.0, 0)]
    (session,) = month_summary(small_log(sets), "T-01", month="2026-06").sessions
    assert (session.worst, session.load_kg) == (6, 8.0)


@pytest.mark.parametrize("month", ["0000-05", "0001-01", "9999-12"])
def test_a_month_out_of_reach_is_refused_in_words(month: str) -> None:
    with pytest.raises(OptionError, match="choose a year"):
        month_summary(small_log(rows()), "T-01", month=month)


@pytest.mark.parametrize("n_draws", [-5, 0, 1, 127])
def test_too_few_draws_are_refused_in_words(n_draws: int) -> None:
    with pytest.raises(OptionError, match="128 or more"):
        PainOptions(n_draws=n_draws)


def test_what_a_setting_gives_is_kept_and_the_rest_is_usual() -> None:
    fit = fitted(rows())
    assert fit.design is not None
    key = LineKey(exercise="step-down", variant="standard", side="left", works="left")
    given = filled_setting(fit.design, key, Setting(lowering_s=5))
    assert given.lowering_s == 5
    assert np.isclose(setting_row(fit.design, key, replace(given, lowering_s=2))[0], 0.0)
