"""Statuses, bounds, words and refusals of the pain line."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import chance_draws, line_draws
from analysis.questions.chance_of_pain import chance_of_pain
from analysis.questions.line_history import chance_curve, line_history
from analysis.questions.pain_line import _line_shape, pain_line
from analysis.results import Estimate, PainLine, Setting, Tried, TriedLoad, Withheld
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=640)


def tried(n_asked: int = 20, n_with_load: int | None = None, **more: object) -> Tried:
    asked = n_asked if n_with_load is None else n_with_load
    plain = {
        "n_sets": 20,
        "n_asked": n_asked,
        "n_painful": 4,
        "n_sessions": 8,
        "lightest_kg": 8.0,
        "heaviest_kg": 16.0,
        "last_load_kg": 12.0,
        "last_date": None,
        "loads": (
            TriedLoad(load_kg=8.0, n_asked=asked - 4, n_painful=0),
            TriedLoad(load_kg=16.0, n_asked=4, n_painful=4),
        ),
        "load_step_kg": 2.0,
        "unit": "kg",
        "load_basis": "per hand",
    }
    return Tried(**(plain | more))  # type: ignore[arg-type]


def normal_draws(middle_kg: float, sd: float) -> np.ndarray:
    """Draws of a line whose quantiles are those of a normal on log2."""
    from scipy.stats import norm

    return np.log2(middle_kg) + sd * norm.ppf((np.arange(4000) + 0.5) / 4000)


Z80, Z95 = 1.2815515655, 1.9599639845


def test_reached_states_every_bound() -> None:
    shape = _line_shape(normal_draws(13.0, 0.1), tried(), 0.8)
    assert shape.status == "reached"
    assert shape.load_kg == pytest.approx(13.0, rel=1e-3)
    assert shape.low_kg == pytest.approx(13.0 * 2 ** (-0.1 * Z80), rel=1e-3)
    assert shape.high_kg == pytest.approx(13.0 * 2 ** (0.1 * Z80), rel=1e-3)
    assert shape.low95_kg == pytest.approx(13.0 * 2 ** (-0.1 * Z95), rel=2e-3)
    assert shape.high95_kg == pytest.approx(13.0 * 2 ** (0.1 * Z95), rel=2e-3)


def test_an_open_95_end_is_not_stated() -> None:
    shape = _line_shape(normal_draws(15.0, 0.16), tried(), 0.8)
    assert shape.status == "reached"
    assert shape.high_kg is not None
    assert shape.high95_kg is None


def test_above_everything_tried_is_capped_at_the_heaviest() -> None:
    shape = _line_shape(normal_draws(30.0, 0.3), tried(), 0.8)
    assert (shape.status, shape.low_kg, shape.load_kg, shape.high_kg) == ("above_tried", 16.0, None, None)


def test_below_everything_tried_states_the_upper_end_only() -> None:
    shape = _line_shape(normal_draws(5.0, 0.3), tried(), 0.8)
    assert shape.status == "below_tried"
    assert shape.high_kg == pytest.approx(5.0 * 2 ** (0.3 * Z80), rel=1e-3)
    assert (shape.low_kg, shape.load_kg) == (None, None)


@pytest.mark.parametrize(
    ("seen", "sd"),
    [
        (tried(n_asked=11), 0.1),
        (tried(n_asked=22, n_with_load=11), 0.1),
        (tried(n_painful=0), 0.1),
        (tried(), 0.6),
    ],
)
def test_lower_only_where_the_upper_end_is_not_known(seen: Tried, sd: float) -> None:
    shape = _line_shape(normal_draws(13.0, sd), seen, 0.8)
    assert shape.status == "lower_only"
    assert shape.low_kg is not None
    assert (shape.load_kg, shape.high_kg) == (None, None)


def test_one_step_decides_and_a_tenth_stands_in_for_it() -> None:
    draws = normal_draws(15.2, 0.14)  # upper 80 % end near 17.2
    assert _line_shape(draws, tried(load_step_kg=2.0), 0.8).status == "reached"
    assert _line_shape(draws, tried(load_step_kg=1.0), 0.8).status == "lower_only"
    assert _line_shape(draws, tried(load_step_kg=None), 0.8).status == "reached"


@pytest.fixture(scope="module")
def fit() -> PainFit:
    """Twelve sessions at 8, 10 and 12 kg; 12 hurts on the left. A wall sit without load, a few sets of a drill."""
    rows = []
    for session in range(12):
        day = 2 * session
        for i, load in enumerate((8.0, 10.0, 12.0)):
            pain = 3 if load == 12.0 and session % 3 else 0
            rows.append(squat(day, 2 * i + 1, load, pain))
            rows.append(squat(day, 2 * i + 2, load, None, side="right", pain_right=0))
        rows.append(
            squat(
                day,
                7,
                None,
                0,
                exercise="wall sit",
                side="both",
                reps=None,
                hold_s=30,
                pain_right=session % 2,
            )
        )
    rows += [squat(22, 8 + i, 6.0, 0, exercise="bridge") for i in range(4)]
    rows += [squat(23, i, 20.0, 0, exercise="calf raise") for i in range(1, 8)]
    log = small_log(rows, exercises=[{"exercise": "step-down", "load_step": 2.0, "unit": "kg"}])
    return fit_pain_model(log, client="T-01", options=FEW)


def test_a_withheld_line_says_what_would_tell(fit: PainFit) -> None:
    few = pain_line(fit, exercise="bridge", variant="standard", side="left")
    assert isinstance(few, Withheld)
    assert "4 sets" in few.reason
    assert few.remedy == "Two sets at a second load would tell."
    one_load = pain_line(fit, exercise="calf raise", variant="standard", side="left")
    assert isinstance(one_load, Withheld)
    assert "one load" in one_load.reason


def test_a_line_without_load_gives_chances(fit: PainFit) -> None:
    line = pain_line(fit, exercise="wall sit", variant="standard", side="left", works="both")
    assert isinstance(line, PainLine)
    assert line.status == "no_load"
    assert [c.label for c in line.conditions] == ["30 s hold"]
    assert line.conditions[0].n_asked == 12
    assert 0 <= line.conditions[0].low < line.conditions[0].chance < line.conditions[0].high < 1
    assert line.reason
    assert line.remedy


def test_the_line_lies_between_quiet_and_painful_loads(fit: PainFit) -> None:
    line = pain_line(fit, exercise="step-down", variant="standard", side="left")
    assert isinstance(line, PainLine)
    assert line.status == "reached"
    assert line.load_kg is not None
    assert 9.0 < line.load_kg < 12.0
    assert line.last is not None
    assert line.one_step_up is not None
    assert (line.last.load_kg, line.one_step_up.load_kg) == (12.0, 14.0)
    assert line.last.chance < line.one_step_up.chance
    assert line.tried.loads[-1].n_painful == 8


def test_works_none_prefers_the_side_itself(fit: PainFit) -> None:
    line = pain_line(fit, exercise="step-down", variant="standard", side="left")
    assert isinstance(line, PainLine)
    assert line.key.works == "left"
    both = pain_line(fit, exercise="wall sit", variant="standard", side="right")
    assert isinstance(both, PainLine)
    assert both.key.works == "both"


def test_the_chance_at_the_line_is_the_chance(fit: PainFit) -> None:
    """Inverse of forward, draw by draw."""
    assert fit.design is not None
    key = next(iter(fit.tried))
    for chance in (0.2, 0.5):
        draws = np.exp2(line_draws(fit, fit.design, key, level=2, chance=chance))
        for i in range(0, draws.size, 97):
            there = chance_draws(fit, fit.design, key, draws[i : i + 1], level=2)[i, 0]
            assert there == pytest.approx(chance, abs=1e-9)


def test_history_ends_at_the_line_and_the_curve_rises(fit: PainFit) -> None:
    line = pain_line(fit, exercise="step-down", variant="standard", side="left")
    assert isinstance(line, PainLine)
    weeks = line_history(fit, line.key)
    assert [(weeks[-1].day - week.day).days for week in weeks] == [25, 18, 11, 4, 0]
    assert weeks[-1].load_kg == pytest.approx(line.load_kg)
    assert [w.week for w in weeks] == sorted(w.week for w in weeks)
    curve = chance_curve(fit, line.key, [6.0, 9.0, 12.0, 15.0])
    chances = [point.chance for point in curve]
    assert chances == sorted(chances)
    assert all(point.low < point.chance < point.high for point in curve)


def test_chance_of_pain_agrees_with_the_line(fit: PainFit) -> None:
    line = pain_line(fit, exercise="step-down", variant="standard", side="left")
    assert isinstance(line, PainLine)
    assert line.last is not None
    answer = chance_of_pain(fit, exercise="step-down", variant="standard", side="left", load_kg=12.0)
    assert isinstance(answer, Estimate)
    assert answer.value == pytest.approx(line.last.chance)
    assert isinstance(
        chance_of_pain(fit, exercise="bridge", variant="standard", side="left", load_kg=6.0), Withheld
    )


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"level": 0}, "level"),
        ({"level": 6}, "1 to 5"),
        ({"level": 2.5}, "whole"),
        ({"chance": 0.0}, "chance"),
        ({"chance": 1.0}, "between 0 and 1"),
        ({"confidence_level": 80}, "confidence_level"),
        ({"at": "best"}, "usual"),
        ({"at": Setting(range_stop="full")}, "range_stop"),
        ({"side": "midline"}, "Asked so far"),
        ({"works": "both"}, "both working"),
    ],
)
def test_refusals_say_what_to_choose(fit: PainFit, wrong: dict, words: str) -> None:
    asked = {"exercise": "step-down", "variant": "standard", "side": "left"} | wrong
    with pytest.raises(OptionError, match=words):
        pain_line(fit, **asked)


def test_settings_move_the_line_as_the_coefficients_say(fit: PainFit) -> None:
    """Provoked against not: the line moves by minus the coefficient over the slope."""
    assert fit.design is not None
    key = next(iter(fit.tried))
    usual = line_draws(fit, fit.design, key, level=2, chance=0.2)
    sore = line_draws(fit, fit.design, key, level=2, chance=0.2, at=Setting(provoked=True))
    np.testing.assert_allclose(usual - sore, fit.coefficients[:, 9] / fit.slopes[:, 0], rtol=1e-9, atol=1e-12)


def test_unknown_client_lists_those_there_are() -> None:
    with pytest.raises(OptionError, match="T-01"):
        fit_pain_model(small_log([squat(0, 1, 8.0, 0)]), client="T-99")


def test_nothing_asked_gives_a_fit_without_lines() -> None:
    fit = fit_pain_model(small_log([squat(0, 1, 8.0, None)]), client="T-01")
    assert fit.tried == {}
    assert (fit.n_sets, fit.n_asked, fit.unasked_share) == (1, 0, 1.0)
