"""Simulated clients: the log says what was played, and the truth is the truth of those equations."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest
from scipy.special import expit, logit
from scipy.stats import t as student_t

from analysis.errors import OptionError
from analysis.log import log_fingerprint, log_from_frames
from analysis.results import LineKey, Setting
from analysis.schema import DTYPES, TABLES
from analysis.simulate import WORLDS, SimulatedClient, simulate_client
from analysis.simulated_sessions import draw_day_effect, set_log_odds
from analysis.simulated_truth import WorldTruth, day_effect_grid
from analysis.simulated_worlds import CUTPOINTS, rounded_score, rounding_probabilities, stretched_cutpoints

N_DRAWS = 200_000
FIVE_STD_ERRORS = 5 * 0.5 / np.sqrt(N_DRAWS)
"""The widest five standard errors of a share of `N_DRAWS`."""


@pytest.fixture(scope="module")
def month() -> SimulatedClient:
    return simulate_client(11, "W1")


@pytest.fixture(scope="module")
def hard_months() -> SimulatedClient:
    return simulate_client(4, "W6", client="S-0002")


def standard_key(made: SimulatedClient, exercise: str, side: str) -> LineKey:
    return next(k for k in made.truth.keys if (k.exercise, k.side) == (exercise, side))


def test_same_seed_same_client_other_seed_other_client(month: SimulatedClient):
    pd.testing.assert_frame_equal(simulate_client(11, "W1").log.sets, month.log.sets)
    assert simulate_client(12, "W1").truth.person != month.truth.person


def test_unknown_world_lists_the_known_ones():
    with pytest.raises(OptionError, match="'W99'; choose one of W0, W1"):
        simulate_client(1, "W99")


@pytest.mark.parametrize("world", WORLDS)
def test_every_world_makes_a_log_of_its_length(world: str):
    made = simulate_client(2, world)
    assert made.log.sets["date"].nunique() == WORLDS[world].n_sessions
    assert made.log.exercises["exercise"].nunique() == WORLDS[world].n_exercises
    assert made.next_session["date"].min() > made.log.sets["date"].max()
    assert made.next_session["date"].nunique() == 1


def test_frames_have_the_columns_and_types_of_a_log(month: SimulatedClient):
    for name, table in TABLES.items():
        frame = month.log.frame(name)
        own = frame[[c.name for c in table.columns]]
        assert [str(dtype) for dtype in own.dtypes] == [DTYPES[c.kind] for c in table.columns], name
    assert list(month.log.sets["source_row"]) == list(range(2, len(month.log.sets) + 2))


@pytest.mark.parametrize("world", ["W0", "W6"])
def test_log_keeps_the_rules_of_a_log_that_is_read(world: str):
    log = simulate_client(8, world).log
    checked = log_from_frames(**{name: log.frame(name) for name in TABLES if len(log.frame(name))})
    assert log_fingerprint(checked) == log_fingerprint(log)


def test_sessions_are_on_three_days_of_each_week(month: SimulatedClient):
    days = (month.log.sets["date"].drop_duplicates() - month.log.sets["date"].min()).dt.days
    assert list(days) == [7 * week + day for week in range(4) for day in (0, 2, 4)]


def test_log_holds_every_played_set_in_order(hard_months: SimulatedClient):
    sets = hard_months.log.sets
    played = hard_months.played[hard_months.played["session_index"] < 36].reset_index(drop=True)
    main = sets[sets["block"] == "main"].reset_index(drop=True)
    score = main["pain_left"].fillna(main["pain_right"]).fillna(main["pain_midline"])
    assert list(score) == list(played["score"])
    assert list(main["load"]) == list(played["load_kg"])
    assert list(main["rom_pct"]) == list(played["rom_pct"])
    assert list(main["tempo"]) == [f"{s}-0-1-0" for s in played["lowering_s"]]
    assert list(main["variant"].notna()) == list(played["alternative"] == 1)
    assert list(main["set"] - played["prepared"]) == list(played["place"])
    steps = hard_months.log.exercises.set_index("exercise")["load_step"]
    assert (main["load"] % main["exercise"].map(steps) == 0).all()


def test_only_the_side_that_works_is_asked(hard_months: SimulatedClient):
    main = hard_months.log.sets.query("block == 'main'")
    for works, asked in (("left", "pain_left"), ("right", "pain_right"), ("both", "pain_midline")):
        rows = main[main["side"] == works]
        assert rows[asked].notna().all()
        others = {"pain_left", "pain_right", "pain_midline"} - {asked}
        assert rows[sorted(others)].isna().all(axis=None)


def test_prepared_sessions_begin_with_one_unloaded_unasked_drill(hard_months: SimulatedClient):
    sets = hard_months.log.sets
    drills = sets[sets["block"] == "preparation"]
    prepared = hard_months.played[hard_months.played["session_index"] < 36].groupby("session_index")
    assert len(drills) == prepared["prepared"].first().sum()
    assert 0 < len(drills) < 36
    assert (drills["set"] == 1).all()
    assert drills[["load", "pain_left", "pain_right", "pain_midline"]].isna().all(axis=None)
    assert drills["reps"].notna().all()


def test_provoked_means_an_earlier_set_of_that_session_was_given_2_or_more(hard_months: SimulatedClient):
    for _, session in hard_months.played.groupby("session_index"):
        hurt_before = (session["score"] >= 2).cumsum().shift(fill_value=0) > 0
        assert list(session["provoked"] == 1) == list(hurt_before)


def simulated_share(
    made: SimulatedClient, world: str, *, log_odds: float, level: int, rng: np.random.Generator
) -> float:
    """Share of sets given the level or more, by drawing day, set, rounding and lapses."""
    person = made.truth.person
    days = np.array([draw_day_effect(rng, person) for _ in range(N_DRAWS)])
    cutpoints = stretched_cutpoints(person.stretch_per_week, made.truth.last_week)
    felt = np.searchsorted(cutpoints, log_odds + CUTPOINTS[1] + days + rng.logistic(size=N_DRAWS))
    rounds = WORLDS[world].rounds_scores
    given = np.array([rounded_score(rng, int(score)) for score in felt]) if rounds else felt
    lapsed = rng.random(N_DRAWS) < WORLDS[world].lapse_share
    return float(np.mean(np.where(lapsed, rng.integers(0, 11, N_DRAWS), given) >= level))


@pytest.mark.parametrize(
    ("world", "level"),
    [
        *(("W1", 2), ("W1", 4), ("W4", 1), ("W4", 2), ("W4", 3), ("W6", 5)),
        *(("response_shift", 2), ("response_shift", 4), ("two_regimes", 2), ("lapses", 2), ("lapses", 5)),
    ],
)
def test_chance_is_the_share_of_drawn_sets(world: str, level: int):
    made = simulate_client(7, world)
    key = made.truth.keys[0]
    log_odds = 0.7
    exercise, week = made.truth.exercise(key.exercise), made.truth.last_week
    ordinary = set_log_odds(
        made.truth.person,
        exercise,
        log2_above_line=0.0,
        lowering_s=2.0,
        rom_pct=100.0,
        place=9.0,
        prepared=0.5,
        alternative=False,
        provoked=False,
        week=week,
    )
    octaves = exercise.log2_of_log_odds(log_odds - ordinary)
    load_kg = 2 ** (exercise.sides[0].log2_line + octaves)
    share = simulated_share(made, world, log_odds=log_odds, level=level, rng=np.random.default_rng(99))
    assert made.truth.chance_at(key, load_kg, level) == pytest.approx(share, abs=FIVE_STD_ERRORS)


@pytest.mark.parametrize("world", ["W1", "W4", "W5", "response_shift", "two_regimes", "lapses"])
def test_line_is_the_inverse_of_chance(world: str):
    truth = simulate_client(3, world).truth
    for key in truth.keys:
        for level, chance in ((1, 0.5), (2, 0.2), (5, 0.1)):
            load_kg = 2 ** truth.log2_line(key, level, chance)
            assert truth.chance_at(key, load_kg, level) == pytest.approx(chance, abs=1e-8)


def test_line_without_good_and_bad_days_is_the_closed_form(month: SimulatedClient):
    person = month.truth.person
    steady = dataclasses.replace(person, effects=dataclasses.replace(person.effects, day_sd=0.0))
    truth = WorldTruth(person=steady, last_week=month.truth.last_week, rounds_scores=False)
    key = truth.keys[-1]
    expected = truth.log2_middle(key) + (logit(0.2) + CUTPOINTS[2] - CUTPOINTS[1]) / truth.slope(key)
    assert truth.log2_line(key, 3, 0.2) == pytest.approx(expected, abs=1e-9)


def test_setting_week_and_variant_move_the_line_by_their_effect(month: SimulatedClient):
    truth, key = month.truth, standard_key(month, "split squat", "left")
    exercise, effects, slope = truth.exercise("split squat"), truth.effects, truth.slope(key)
    usual = truth.log2_line(key, 2, 0.2)

    def moved(**changes: object) -> float:
        return slope * (usual - truth.log2_line(key, 2, 0.2, at=Setting(**changes)))

    assert moved() == pytest.approx(0, abs=1e-8)
    assert moved(lowering_s=4.0) == pytest.approx(2 * effects.lowering_per_s, abs=1e-7)
    assert moved(rom_pct=80.0) == pytest.approx(-20 * effects.rom_per_pct, abs=1e-7)
    assert moved(place=1.0) == pytest.approx(-8 * effects.place_per_set, abs=1e-7)
    assert moved(prepared=True) == pytest.approx(effects.prepared / 2, abs=1e-7)
    other = dataclasses.replace(key, variant=exercise.alternative)
    assert slope * (usual - truth.log2_line(other, 2, 0.2)) == pytest.approx(
        exercise.alternative_effect, abs=1e-7
    )
    per_week = truth.person.trend.per_week + exercise.drift_per_week
    earlier = truth.log2_line(key, 2, 0.2, week=truth.last_week - 2)
    assert slope * (usual - earlier) == pytest.approx(2 * per_week, abs=1e-7)


@pytest.mark.parametrize(("world", "size"), [("variants_logit", 2.0), ("variants_octave", None)])
def test_worlds_of_different_variants(world: str, size: float | None):
    for exercise in simulate_client(5, world).truth.person.exercises:
        assert abs(exercise.alternative_effect) == pytest.approx(exercise.slope if size is None else size)


def test_day_grid_has_the_averages_of_its_distribution(month: SimulatedClient):
    normal = dataclasses.replace(month.truth.effects, day_sd=0.9, heavy_tailed_days=False)
    days, weights = day_effect_grid(normal)
    assert weights @ days**2 == pytest.approx(0.81, rel=1e-12)
    assert weights @ days**4 == pytest.approx(3 * 0.9**4, rel=1e-10)
    heavy = dataclasses.replace(normal, heavy_tailed_days=True)
    days, weights = day_effect_grid(heavy)
    for log_odds in (-4.0, -1.3, 2.0):
        expected = student_t(3, scale=0.9 / 3**0.5).expect(lambda day, at=log_odds: expit(at + day))
        assert weights @ expit(log_odds + days) == pytest.approx(expected, abs=1e-8)


def test_rounding_table_is_what_rounding_does():
    rng = np.random.default_rng(5)
    table = rounding_probabilities()
    assert table.sum(axis=1) == pytest.approx(np.ones(11))
    for felt in range(11):
        given = [rounded_score(rng, felt) for _ in range(20_000)]
        share = np.bincount(given, minlength=11) / 20_000
        assert share == pytest.approx(table[felt], abs=5 * 0.5 / np.sqrt(20_000))


@pytest.mark.parametrize(
    "key",
    [
        LineKey(exercise="swimming", variant="standard", side="left", works="left"),
        LineKey(exercise="split squat", variant="on ice", side="left", works="left"),
        LineKey(exercise="split squat", variant="standard", side="right", works="left"),
    ],
)
def test_truth_of_something_that_is_not_there_is_refused(month: SimulatedClient, key: LineKey):
    with pytest.raises(OptionError):
        month.truth.chance_at(key, 10.0, 2)
