"""Effects of a change, worked out by hand: log-odds, points, chance, direction, and what is not known yet."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit

from analysis.models.pain_fit import PainFit
from analysis.questions.brings_it_on import client_effects, in_the_model
from analysis.questions.effects import (
    LOG_SLOPE_PRIOR_SD,
    NO_LOAD_IN_COMMON,
    VARIANT_PRIOR_SD,
    effects,
    says_more_than_prior,
)
from analysis.questions.effects_size import effect_size
from analysis.results import LineKey, Withheld
from analysis.results_effects import Effect, EffectSize
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat
from tests.unit.made_effects import N_DRAWS, fitted, hand_fit, spread, varied_log

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    return varied_log()


def effect(fit: PainFit, log: TrainingLog, term: str, key: LineKey = KEY) -> Effect:
    return next(one for one in effects(fit, in_the_model(fit, log), key) if one.term == term)


def size(fit: PainFit, log: TrainingLog, term: str) -> EffectSize:
    answer = effect(fit, log, term).answer
    assert isinstance(answer, EffectSize)
    return answer


def test_points_are_the_sum_of_the_chances_and_five_and_more_count_as_five(log: TrainingLog) -> None:
    """With cutpoints 0 1 2 3 4 and a step of 1 from 0 the sum telescopes: s(1) - s(-4)."""
    found = effect_size(hand_fit(log), np.zeros(N_DRAWS), np.ones(N_DRAWS), confidence_level=0.8)
    assert found.points.value == pytest.approx(0.7310585786 - 0.0179862100)
    assert (found.chance_before.value, found.chance_after.value) == pytest.approx((expit(-1.0), 0.5))
    everything = effect_size(
        hand_fit(log), np.full(N_DRAWS, -50.0), np.full(N_DRAWS, 100.0), confidence_level=0.8
    )
    assert everything.points.value == pytest.approx(5.0)


def test_points_are_averaged_over_good_and_bad_days(log: TrainingLog) -> None:
    """Day effects flatten: by quadrature on a fine grid, not the one of the code."""
    found = effect_size(hand_fit(log, day_sd=1.0), np.zeros(N_DRAWS), np.ones(N_DRAWS), confidence_level=0.8)
    day = np.linspace(-8, 8, 4001)
    weight = np.exp(-0.5 * day**2)
    weight /= weight.sum()
    expected = ((expit(1.0 + day) - expit(-4.0 + day)) * weight).sum()
    assert found.points.value == pytest.approx(expected, abs=1e-6)


def test_ten_percent_more_load_is_the_slope_times_an_eighth_of_an_octave_and_its_sign_is_assumed(
    log: TrainingLog,
) -> None:
    found = size(hand_fit(log, slope=5.0), log, "load")
    assert found.log_odds.value == pytest.approx(5.0 * 0.13750352)
    assert found.probability_direction is None
    told = effect(hand_fit(log), log, "load")
    assert (told.before, told.after) == pytest.approx((8.0, 8.8))
    assert told.note is not None
    assert "takes for granted" in told.note


def test_each_change_is_stated_in_its_own_unit(log: TrainingLog) -> None:
    fit = hand_fit(
        log, lowering_s=-0.4, reps=1.0, set_number=0.9, place=0.3, provoked=0.7, pain_on_arrival=0.2
    )
    expected = {
        "lowering_s": -0.4,
        "reps": np.log2(10 / 8),  # from 8 to 10
        "set_number": 0.6,  # 2 of the 3 sets the coefficient stands for
        "place": 0.3,
        "provoked": 0.7,
        "pain_on_arrival": 0.2,
    }
    for term, log_odds in expected.items():
        assert size(fit, log, term).log_odds.value == pytest.approx(log_odds), term
    lowering = effect(fit, log, "lowering_s")
    assert (lowering.before, lowering.after, lowering.per) == (3.0, 4.0, "1 s")
    assert "hold_s" not in {one.term for one in effects(fit, in_the_model(fit, log), KEY)}


def test_the_chance_before_is_that_of_the_usual_set(log: TrainingLog) -> None:
    """The third set is compared with the first: before it, not the usual second or third, is what is stated."""
    fit = hand_fit(log, set_number=3.0)
    assert fit.design is not None
    usual = fit.design.usual["step-down"]["set_number"]
    at_usual = (usual - 1.0) / 3.0 * 3.0
    assert usual > 1.0
    assert size(fit, log, "lowering_s").chance_before.value == pytest.approx(expit(at_usual - 1.0))
    assert size(fit, log, "set_number").chance_before.value == pytest.approx(expit(-1.0))
    assert size(fit, log, "set_number").chance_after.value == pytest.approx(expit(2.0 - 1.0))


def test_range_at_its_full_length_is_compared_with_ten_points_less() -> None:
    rows = [squat(2 * s, n + 1, 8.0, n, rom_pct=(100, 100, 80)[n]) for s in range(4) for n in range(3)]
    log = small_log(rows)
    fit = hand_fit(log, rom_pct=0.5)
    told = effect(fit, log, "rom_pct")
    assert (told.before, told.after) == (90.0, 100.0)
    found = size(fit, log, "rom_pct")
    assert found.log_odds.value == pytest.approx(0.5)
    assert found.chance_after.value == pytest.approx(expit(-1.0))
    assert found.chance_before.value == pytest.approx(expit(-1.5))


def test_range_by_stops_is_compared_stop_by_stop() -> None:
    stops = ("box 20 cm", "box 20 cm", "box 15 cm")
    rows = [squat(2 * s, n + 1, 8.0, n, range_stop=stops[n]) for s in range(4) for n in range(3)]
    order = [
        {"exercise": "step-down", "order": i, "range_stop": stop}
        for i, stop in enumerate(("box 10 cm", "box 15 cm", "box 20 cm"))
    ]
    log = small_log(rows, ranges=order)
    told = effect(hand_fit(log, range_rank=0.5), log, "range_rank")
    assert (told.before, told.after) == ("box 15 cm", "box 20 cm")
    assert isinstance(told.answer, EffectSize)
    assert told.answer.log_odds.value == pytest.approx(0.5)


def test_a_variant_is_compared_at_the_same_load(log: TrainingLog) -> None:
    """Its centre lies 1 / (1 + .25^2) octaves above the easiest one's, so at one load it starts that much lower."""
    fit = hand_fit(log, slope=2.0, variant=1.0)
    told = effect(fit, log, "variant")
    assert (told.before, told.after, told.per) == ("standard", "on a wedge", "instead of standard")
    assert told.note == NO_LOAD_IN_COMMON
    assert isinstance(told.answer, EffectSize)
    assert told.answer.log_odds.value == pytest.approx(1.0 - 2.0 / 1.0625)


def test_it_is_shown_only_where_the_data_say_more_than_the_prior(log: TrainingLog) -> None:
    """The prior sd of lowering is .5: half of it is .25."""
    assert isinstance(
        effect(spread(hand_fit(log), "lowering_s", mean=0.2, sd=0.24), log, "lowering_s").answer, EffectSize
    )
    told = effect(spread(hand_fit(log), "lowering_s", mean=0.2, sd=0.26), log, "lowering_s").answer
    assert isinstance(told, Withheld)
    assert "Lowering differed in 6 of 30 answers" in told.reason


def test_prior_sds_of_load_and_variant_are_those_of_the_priors() -> None:
    """Drawn from the priors as the model states them, a million times."""
    rng = np.random.default_rng(7)
    n = 1_000_000
    of_exercise = rng.normal(size=n) * np.exp(rng.normal(np.log(0.3), 0.4, n))
    slope = rng.normal(np.log(3.0), 0.9, n) + of_exercise
    variant = rng.normal(size=n) * np.exp(rng.normal(0.0, 0.7, n))
    assert slope.std() == pytest.approx(LOG_SLOPE_PRIOR_SD, rel=0.01)
    assert variant.std() == pytest.approx(VARIANT_PRIOR_SD, rel=0.03)


def test_probability_of_direction_is_the_share_of_draws_on_the_side_of_the_median(log: TrainingLog) -> None:
    fit = hand_fit(log)
    step = np.where(np.arange(N_DRAWS) < 97, -0.2, 0.1)
    assert effect_size(fit, np.zeros(N_DRAWS), step, confidence_level=0.8).probability_direction == 0.97


@pytest.mark.parametrize(
    ("term", "reason", "remedy"),
    [
        ("rom_pct", "Range is not logged.", "Log the range"),
        ("pause_s", "The pause never changed", "another pause"),
        ("prepared", "every session or in none", "by coin"),
        ("pain_on_arrival", "not logged", "in every session"),
    ],
)
def test_what_is_not_known_says_why_and_how_to_find_out(
    log: TrainingLog, term: str, reason: str, remedy: str
) -> None:
    told = effect(spread(hand_fit(log), term, mean=0.0, sd=0.5), log, term).answer
    assert isinstance(told, Withheld)
    assert reason in told.reason
    assert remedy in told.remedy


def test_known_ones_come_first_and_the_most_points_lead(log: TrainingLog) -> None:
    fit = spread(hand_fit(log, lowering_s=-0.4, provoked=0.7), "pause_s", mean=5.0, sd=5.0)
    found = effects(fit, in_the_model(fit, log), KEY)
    known = [one.answer.points.value for one in found if isinstance(one.answer, EffectSize)]
    assert known == sorted(known, reverse=True)
    assert isinstance(found[-1].answer, Withheld)
    assert found[-1].term == "pause_s"


def test_a_change_is_shown_once_its_size_or_its_direction_is_known() -> None:
    """A variant that never hurt: a little easier or very much so, but easier."""
    assert says_more_than_prior(np.linspace(-9.0, -0.1, 100), 1.0)
    assert not says_more_than_prior(np.linspace(-9.0, 1.0, 100), 1.0)  # 90 of 100
    assert says_more_than_prior(np.linspace(-0.5, 0.6, 100), 1.0)
    assert not says_more_than_prior(np.linspace(-2.0, 2.0, 100), 1.0)


def test_nothing_asked_is_withheld() -> None:
    log = small_log([squat(0, 1, 8.0, None)])
    assert isinstance(client_effects(fitted(log), log), Withheld)


def test_other_exercises_give_load_and_variants_at_their_own_line(log: TrainingLog) -> None:
    rows = [squat(2 * s, n + 6, 40.0 + 5 * n, n, exercise="bridge") for s in range(4) for n in range(2)]
    whole = small_log([*log.sets.dropna(axis=1, how="all").to_dict("records"), *rows])
    found = client_effects(hand_fit(whole), whole)
    assert not isinstance(found, Withheld)
    assert found.leading.key == KEY
    assert [(one.term, one.key.exercise) for one in found.others] == [("load", "bridge")]
