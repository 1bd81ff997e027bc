"""Left against right at equal pain, on draws set by hand, so that every number can be worked out on paper."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from analysis.design_terms import TERM_NAMES
from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.questions.review import review
from analysis.questions.sides import load_at_equal_pain, side_keys, side_rows
from analysis.results import Withheld
from analysis.results_sides import LoadAtEqualPain, SideKey
from analysis.tables import review_json
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

STEP_DOWN = SideKey(exercise="step-down", variant="standard", works="each")
OPTIONS = PainOptions(n_draws=640)
FIXED_KEYS = ["exercise", "variant", "log2_left_over_right", "low", "high", "probability_left_lower"]


def one_side(
    side: str, loads: tuple[float, ...], hurts_from: float, *, name: str = "step-down"
) -> list[dict]:
    return [
        squat(3 * session, 2 * i + 1 + (side == "right"), load, None, side=side, exercise=name)
        | {"pain_left": None, f"pain_{side}": 3 if load >= hurts_from and session % 2 else 0}
        for session in range(10)
        for i, load in enumerate(loads)
    ]


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    rows = one_side("left", (8.0, 10.0, 12.0), 12.0) + one_side("right", (10.0, 14.0, 16.0), 16.0)
    rows += [one | {"set": one["set"] + 10} for one in one_side("left", (5.0, 6.0), 99.0, name="bridge")]
    rows += [one | {"set": one["set"] + 10} for one in one_side("right", (5.0, 6.0), 99.0, name="bridge")]
    rows += [squat(0, 30, 9.0, 0, exercise="lunge"), squat(0, 31, 9.0, None, exercise="lunge", side="right")]
    rows[-1]["pain_right"] = 1
    rows += [
        squat(
            3 * day, 40, None, 0, exercise="wall sit", side="both", pain_right=day % 2, hold_s=30, reps=None
        )
        for day in range(8)
    ]
    return small_log(sorted(rows, key=lambda row: (row["date"], row["set"])))


@pytest.fixture(scope="module")
def fit(log: TrainingLog) -> PainFit:
    return fit_pain_model(log, client="T-01", options=OPTIONS)


def with_draws(
    fit: PainFit, *, left: float, right: float, slope: float, side: float, spread: float
) -> PainFit:
    """The fit with posterior draws of the step-down set by hand: offsets spread evenly, all else fixed."""
    assert fit.design is not None
    n = len(fit.slopes)
    shift = np.linspace(-spread, spread, n)
    intercepts, slopes = fit.intercepts.copy(), fit.slopes.copy()
    coefficients = np.zeros_like(fit.coefficients)
    coefficients[:, TERM_NAMES.index("side")] = side
    intercepts[:, fit.design.side_index(STEP_DOWN.left)] = left + shift
    intercepts[:, fit.design.side_index(STEP_DOWN.right)] = right
    slopes[:, fit.design.exercises.index("step-down")] = slope
    cutpoints = np.broadcast_to([1.0, 2.0, 3.0, 4.0, 5.0], fit.cutpoints.shape).copy()
    return replace(
        fit,
        intercepts=intercepts,
        slopes=slopes,
        coefficients=coefficients,
        cutpoints=cutpoints,
        day_sd=np.full_like(fit.day_sd, 0.5),
    )


def test_the_ratio_is_the_gap_of_the_offsets_over_the_slope(fit: PainFit) -> None:
    # log2 L - log2 R = (offset right - offset left) / slope = (0.5 - 1.5/2 - (1.0 + 1.5/2)) / 4 = -0.5.
    made = with_draws(fit, left=1.0, right=0.5, slope=4.0, side=1.5, spread=0.4)
    found = load_at_equal_pain(made, STEP_DOWN)
    assert isinstance(found, LoadAtEqualPain)
    assert (found.left.status, found.right.status) == ("reached", "reached")
    assert found.log2_left_over_right == pytest.approx(-0.5)
    # The offset of the left lies evenly within 0.4 of its middle, so the ratio within 0.1 of its own.
    assert (found.low, found.high) == pytest.approx((-0.5 - 0.08, -0.5 + 0.08))
    assert (found.low95, found.high95) == pytest.approx((-0.5 - 0.095, -0.5 + 0.095))
    assert found.probability_left_lower == 1.0
    assert found.left.load_kg is not None
    assert found.right.load_kg is not None
    assert found.left.load_kg / found.right.load_kg == pytest.approx(2**-0.5, rel=1e-3)


@pytest.mark.parametrize(("level", "chance"), [(1, 0.2), (2, 0.5), (4, 0.35)])
def test_the_ratio_is_the_same_at_every_level_and_chance(fit: PainFit, level: int, chance: float) -> None:
    made = with_draws(fit, left=1.0, right=0.5, slope=4.0, side=1.5, spread=0.4)
    assert made.design is not None
    one, two = (
        line_draws(made, made.design, key, level=level, chance=chance)
        for key in (STEP_DOWN.left, STEP_DOWN.right)
    )
    assert np.median(one - two) == pytest.approx(-0.5)


def test_a_right_side_beyond_everything_tried_leaves_the_lower_end_open(fit: PainFit) -> None:
    made = with_draws(fit, left=1.0, right=-3.0, slope=4.0, side=1.5, spread=0.4)
    found = load_at_equal_pain(made, STEP_DOWN)
    assert isinstance(found, LoadAtEqualPain)
    assert found.right.status == "above_tried"
    assert (found.log2_left_over_right, found.low, found.low95) == (None, None, None)
    # The right counts at its heaviest load, 16 kg: the left line's upper end over that.
    assert found.left.high_kg is not None
    assert found.high == pytest.approx(np.log2(found.left.high_kg / 16))
    assert found.high < 0
    assert found.probability_left_lower == 1.0


def test_a_side_that_hurts_at_everything_leaves_the_other_end_open(fit: PainFit) -> None:
    made = with_draws(fit, left=9.0, right=0.5, slope=4.0, side=0.0, spread=0.4)
    found = load_at_equal_pain(made, STEP_DOWN)
    assert isinstance(found, LoadAtEqualPain)
    assert found.left.status == "below_tried"
    assert (found.log2_left_over_right, found.low) == (None, None)
    # The left counts at its lightest load, 8 kg, over the right line, which does not vary here.
    assert found.right.load_kg is not None
    assert found.high == pytest.approx(np.log2(8 / found.right.load_kg))


def test_an_end_that_the_loads_tried_do_not_support_stands_at_even(fit: PainFit) -> None:
    # The left line lies near 16 kg, the heaviest load of the right, whose own line lies far beyond.
    made = with_draws(fit, left=-1.5, right=-3.0, slope=4.0, side=0.0, spread=0.4)
    seen = made.tried | {STEP_DOWN.left: replace(made.tried[STEP_DOWN.left], heaviest_kg=20.0)}
    found = load_at_equal_pain(replace(made, tried=seen), STEP_DOWN)
    assert isinstance(found, LoadAtEqualPain)
    assert (found.left.status, found.right.status) == ("reached", "above_tried")
    assert found.left.high_kg is not None
    assert found.left.high_kg > 16
    assert (found.low, found.high) == (None, 0.0)
    assert found.probability_left_lower == 1.0


def test_the_fit_itself_finds_the_left_lower(fit: PainFit) -> None:
    found = load_at_equal_pain(fit, STEP_DOWN)
    assert isinstance(found, LoadAtEqualPain)
    assert found.probability_left_lower > 0.9
    assert found.n_sets == 60
    assert found.n_sessions == 10


def test_what_is_withheld_says_why(fit: PainFit) -> None:
    bridge = load_at_equal_pain(fit, SideKey(exercise="bridge", variant="standard", works="each"))
    assert isinstance(bridge, Withheld)
    assert bridge.reason == "No set hurt on either side, so neither line has shown where it ends."
    lunge = load_at_equal_pain(fit, SideKey(exercise="lunge", variant="standard", works="each"))
    assert isinstance(lunge, Withheld)
    assert lunge.reason == "Both sides: only 1 set with a pain answer so far."
    assert lunge.remedy
    hold = load_at_equal_pain(fit, SideKey(exercise="wall sit", variant="standard", works="both"))
    assert isinstance(hold, Withheld)
    assert "no load in kilograms" in hold.reason


def test_an_impossible_confidence_level_is_refused(fit: PainFit) -> None:
    with pytest.raises(OptionError, match=r"confidence_level is 1\.0"):
        load_at_equal_pain(fit, STEP_DOWN, confidence_level=1.0)


def test_most_painful_first_and_two_sided_work_as_its_own_row(fit: PainFit, log: TrainingLog) -> None:
    keys = side_keys(fit)
    assert [key.exercise for key in keys] == ["step-down", "bridge", "wall sit", "lunge"]
    assert [key.works for key in keys] == ["each", "each", "both", "each"]
    rows = side_rows(log, fit)
    assert tuple(row.key for row in rows) == keys
    assert (rows[2].pain.left_higher, rows[2].pain.same, rows[2].pain.right_higher) == (0, 4, 4)


def test_the_json_has_its_fixed_keys_stated_or_withheld(log: TrainingLog) -> None:
    told = review_json(review(log, client="T-01", options=OPTIONS))["sides"]
    assert [row["exercise"] for row in told] == ["step-down", "bridge", "wall sit", "lunge"]
    for row in told:
        assert set(FIXED_KEYS) <= set(row)
        assert (row["reason"] is None) == (row["probability_left_lower"] is not None)
    assert told[0]["probability_left_lower"] > 0.9
    json.dumps(told, allow_nan=False)
