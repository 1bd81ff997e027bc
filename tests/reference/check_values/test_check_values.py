"""Formulas of the project at values worked out elsewhere: one row a value, its source beside it.

R: read in the source. M: from memory of it. CP: common practice. C: computed from the definition given.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy.special import expit

from analysis.derive import derive_sets, load_step_kg
from analysis.numerics.day_average import chance_over_days
from analysis.observations import observations
from analysis.questions.pain_line import step_above_kg
from dashboard.charts.look import DARK, LIGHT
from dashboard.wording.numbers import equipment_above, equipment_below, in_unit
from tests.reference.dose_line import dose_at
from tests.small_logs import small_log, squat
from tests.unit.made_lines import tried

ROUNDED = 1e-9
"""Formulas that are exact apart from rounding."""


def derived(**columns: object) -> pd.Series:
    """What follows from one logged set."""
    return derive_sets(small_log([squat(0, 1, 20.0, 0) | columns]), "T-01").iloc[0]


@pytest.mark.parametrize(
    ("pounds", "kilograms"),
    [
        (1.0, 0.45359237),  # international pound, 1959; NIST SP 811 (M)
        (45.0, 20.41165665),  # C, from it
        (220.46226218487757, 100.0),  # C, from it
    ],
)
def test_pounds_and_kilograms(pounds: float, kilograms: float) -> None:
    assert derived(load=pounds, unit="lb")["load_kg"] == pytest.approx(kilograms, rel=ROUNDED)
    assert in_unit(kilograms, "lb") == pytest.approx(pounds, rel=ROUNDED)
    assert in_unit(kilograms, "kg") == kilograms


@pytest.mark.parametrize(
    ("rpe", "reserve"),
    [
        (10, 0),  # Zourdos et al. 2016, J Strength Cond Res 30:267-275 (R)
        (9, 1),  # the same (R)
        (8, 2),  # the same (M)
        (7, 3),  # the same (M)
        (6, None),  # 4 to 6 reps in reserve: no one number, so none is made up (M)
    ],
)
def test_reps_in_reserve_from_effort(rpe: int, reserve: int | None) -> None:
    reps = derived(rpe=rpe)["rir"]
    assert pd.isna(reps) if reserve is None else reps == reserve


@pytest.mark.parametrize(
    ("tempo", "reps", "under_tension_s"),
    [
        ("3-1-2-0", 10, 60),  # lowering, pause, lifting, pause: 6 s a repetition (CP)
        ("4-0-X-0", 8, 40),  # X counts 1 s: 5 s a repetition (CP)
    ],
)
def test_seconds_of_a_tempo(tempo: str, reps: int, under_tension_s: int) -> None:
    row = derived(tempo=tempo, reps=reps)
    assert reps * (row["lowering_s"] + row["pause_s"] + row["lifting_s"]) == under_tension_s


@pytest.mark.parametrize(
    ("load_kg", "step_kg", "next_kg"),
    [
        (60.0, 2.5, 62.5),  # ACSM 2009, Med Sci Sports Exerc 41:687-708: 2 to 10 % up, 61.2 to 66.0 (R)
        (20.0, 2.5, 22.5),  # 12.5 % up: one step is more than a tenth (C)
        (60.0, None, 66.0),  # no step known: a tenth more, the upper end of the same advice (R)
    ],
)
def test_one_step_up(load_kg: float, step_kg: float | None, next_kg: float) -> None:
    seen = tried(((load_kg, 6, 0),), step_kg=step_kg)
    assert step_above_kg(seen, load_kg) == pytest.approx(next_kg, rel=ROUNDED)
    if step_kg is not None:
        assert equipment_above(load_kg, [load_kg], step_kg) == next_kg
        assert equipment_below(next_kg - 0.1, [load_kg], step_kg) == load_kg


def test_a_step_is_read_off_the_loads() -> None:
    """Loads 10, 12.5, 15 and 20: the gap seen twice is 2.5 (C)."""
    log = small_log([squat(day, 1, load, 0) for day, load in enumerate([10.0, 12.5, 15.0, 20.0])])
    assert load_step_kg(log, "T-01", "step-down") == 2.5


@pytest.mark.parametrize(
    ("chance", "load_kg"),
    [
        (0.1, 39.0138771),  # logit P = -10 + .2 load, solved for the load (C)
        (0.2, 43.0685282),
        (0.5, 50.0),
    ],
)
def test_load_at_a_chance(chance: float, load_kg: float) -> None:
    at = dose_at(np.array([10.0]), np.array([0.2]), chance, centre=35.0)
    assert at[0] == pytest.approx(load_kg, abs=1e-6)
    assert expit(-10.0 + 0.2 * at[0]) == pytest.approx(chance, rel=1e-9)


@pytest.mark.parametrize(
    ("sd", "chance"),
    [
        (0.0, 0.2),  # no spread between days: the logistic itself
        (1.0, 0.238744),  # E s(logit .2 + u), u ~ N(0, 1), by scipy's adaptive quadrature (C)
    ],
)
def test_chance_over_good_and_bad_days(sd: float, chance: float) -> None:
    ours = float(chance_over_days(np.array(np.log(0.25)), np.array(sd)))
    assert ours == pytest.approx(chance, abs=1e-5 if sd else 1e-12)


def test_a_blank_is_not_a_zero() -> None:
    """A set that was not asked adds no answer, and one that was asked adds its own (design rule)."""
    log = small_log([squat(0, 1, 20.0, 0), squat(0, 2, 20.0, None), squat(0, 3, 20.0, 3)])
    assert observations(log, "T-01")["pain_low"].tolist() == [0, 3]
    assert derive_sets(log, "T-01")["pain_left"].isna().tolist() == [False, True, False]


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours, Web Content Accessibility Guidelines 2.1, relative luminance."""

    def luminance(colour: str) -> float:
        share = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
        linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
        return float(linear @ [0.2126, 0.7152, 0.0722])

    bright, dim = sorted([luminance(first), luminance(second)], reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def test_contrast_of_the_side_colours() -> None:
    """Okabe-Ito colours as Wong 2011, Nat Methods 8:441, lists them (M); ratios by the formula (C)."""
    assert LIGHT.sides["left"] == "#0072B2"
    assert contrast(LIGHT.sides["left"], LIGHT.paper) == pytest.approx(5.19, abs=0.01)
    assert LIGHT.sides["right"] == "#D55E00"
    assert contrast(LIGHT.sides["right"], LIGHT.paper) == pytest.approx(3.87, abs=0.01)
    assert contrast("#E69F00", "#ffffff") == pytest.approx(2.25, abs=0.01)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("dark", [False, True])
def test_marks_and_text_stand_out(dark: bool) -> None:
    """At least 3 to 1 for marks and 4.5 to 1 for text, on light and on dark (WCAG 2.1, 1.4.11 and 1.4.3)."""
    colours = DARK if dark else LIGHT
    assert min(contrast(colour, colours.paper) for colour in colours.sides.values()) >= 3.0
    assert min(contrast(ink, colours.paper) for ink in (colours.ink, colours.soft)) >= 4.5
