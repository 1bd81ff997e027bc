"""Plays a simulated client's sessions set by set under a coach, and keeps what happened (layer: simulate)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.simulated_coach import (
    FULL_ROM_PCT,
    USUAL_LOWERING_S,
    CoachHabits,
    Prescription,
    answer_score,
    first_prescription,
    random_set,
)
from analysis.simulated_person import Person, TrueExercise
from analysis.simulated_worlds import (
    ANCHOR_LEVEL,
    CUTPOINTS,
    rounded_score,
    session_day,
    stretched_cutpoints,
)

USUAL_PLACE = 9
"""Place in the session at which lines are stored."""

SessionPlan = Callable[[np.random.Generator, int], list[int]]
"""Indices of the exercises of a session, in order, from the session's index."""

PLAYED_COLUMNS = (
    "session_index", "place", "exercise_index", "side_index", "alternative", "load_kg", "lowering_s",
    "rom_pct", "prepared", "provoked", "score", "felt_score", "backed_off",
    "day_effect",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """How sessions are run apart from the person.

    Attributes
    ----------
    n_sessions : int
    plan : SessionPlan
    habits : CoachHabits
    days : tuple of int or None
        Day of each session, counted from the first; three a week if None.
    adaptive : bool
        Whether scores change what comes next; otherwise sets are drawn at random.
    rounds_scores : bool
        Whether the client rounds what is felt.
    backs_off_on_bad_days : bool
        Whether loads go down on bad days for a reason the log does not hold.
    moves_cap : bool
        Whether the bound on loads moves up with what was lifted.
    lapse_share : float
        Share of answers that are any score.
    alternative_share, prepared_share, back_off_share : float
        Share of exercises done in the second variant, of sessions with preparation, and of sessions taken
        lightly.
    """

    n_sessions: int
    plan: SessionPlan
    habits: CoachHabits
    days: tuple[int, ...] | None = None
    adaptive: bool = True
    rounds_scores: bool = False
    backs_off_on_bad_days: bool = False
    moves_cap: bool = False
    lapse_share: float = 0.0
    alternative_share: float = 0.25
    prepared_share: float = 0.5
    back_off_share: float = 0.08


def random_plan(n_two_sided: int, n_exercises: int) -> SessionPlan:
    """Three two-sided and two one-sided exercises a session, drawn and shuffled."""

    def plan(rng: np.random.Generator, session: int) -> list[int]:
        two_sided = rng.permutation(n_two_sided)[:3]
        one_sided = n_two_sided + rng.permutation(n_exercises - n_two_sided)[:2]
        order = rng.permutation(np.concatenate([two_sided, one_sided]))
        return [int(index) for index in order]

    return plan


def draw_day_effect(rng: np.random.Generator, person: Person) -> float:
    """How much worse (or better) one day is than usual, log-odds."""
    effects = person.effects
    if effects.heavy_tailed_days:
        return effects.day_sd * float(rng.standard_t(3)) / 3**0.5
    return effects.day_sd * rng.standard_normal()


def set_log_odds(
    person: Person,
    exercise: TrueExercise,
    *,
    log2_above_line: float,
    lowering_s: float,
    rom_pct: float,
    place: float,
    prepared: float,
    alternative: bool,
    provoked: bool,
    week: float,
) -> float:
    """Log-odds of pain of 2 or more, on the scale of week 0, of a set on an ordinary day.

    `log2_above_line` is log2 of the load minus the side's line of week 0; `prepared` is 0, 1 or the usual
    share.
    """
    effects = person.effects
    return (
        exercise.log_odds_of_load(log2_above_line)
        + effects.lowering_per_s * (lowering_s - USUAL_LOWERING_S)
        + effects.rom_per_pct * (rom_pct - FULL_ROM_PCT)
        + effects.place_per_set * (place - USUAL_PLACE)
        + effects.prepared * (prepared - 0.5)
        + exercise.alternative_effect * alternative
        + effects.provoked * provoked
        + person.trend.at(week)
        - exercise.drift_per_week * week
        + exercise.walk_at(week)
    )


def play_sessions(rng: np.random.Generator, person: Person, conditions: Conditions) -> pd.DataFrame:
    """All sets of the sessions, in order.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of chance.
    person : Person
        The simulated client.
    conditions : Conditions
        Plan, coach and habits.

    Returns
    -------
    DataFrame
        One row a set, columns `PLAYED_COLUMNS`. `place` is the order within the session from 1; `provoked`
        says that an earlier set of the session was given 2 or more; `felt_score` is the score before
        rounding; `day_effect` is the log-odds of a bad day.
    """
    state = [
        [first_prescription(e, side, moves_cap=conditions.moves_cap) for side in e.sides]
        for e in person.exercises
    ]
    rows: list[tuple[float, ...]] = []
    for session in range(conditions.n_sessions):
        rows.extend(_play_session(rng, person, conditions, state, session))
    table = np.array(rows, dtype=float)
    frame = pd.DataFrame({name: table[:, k] for k, name in enumerate(PLAYED_COLUMNS)})
    whole = [name for name in PLAYED_COLUMNS if name not in ("load_kg", "day_effect")]
    return frame.astype(dict.fromkeys(whole, "int64"))


def _play_session(
    rng: np.random.Generator,
    person: Person,
    conditions: Conditions,
    state: list[list[Prescription]],
    session: int,
) -> list[tuple[float, ...]]:
    day = session_day(session) if conditions.days is None else conditions.days[session]
    week = day / 7
    day_effect = draw_day_effect(rng, person)
    prepared = rng.random() < conditions.prepared_share
    backed_off = rng.random() < conditions.back_off_share
    bad_day = day_effect > 0.5 * person.effects.day_sd
    if conditions.backs_off_on_bad_days and bad_day and rng.random() < 0.6:
        backed_off = True
    cutpoints = stretched_cutpoints(person.stretch_per_week, week)
    rows: list[tuple[float, ...]] = []
    place, provoked = 0, False
    for exercise_index in conditions.plan(rng, session):
        exercise = person.exercises[exercise_index]
        alternative = rng.random() < conditions.alternative_share
        for _ in range(exercise.n_rounds):
            for side_index, prescription in enumerate(state[exercise_index]):
                place += 1
                load_kg, lowering_s, rom_pct = _chosen_set(rng, conditions, prescription, backed_off)
                log_odds = set_log_odds(
                    person, exercise, log2_above_line=float(np.log2(load_kg)) - prescription.side.log2_line,
                    lowering_s=lowering_s, rom_pct=rom_pct, place=place, prepared=prepared,
                    alternative=alternative, provoked=provoked, week=week,
                )  # fmt: skip
                noise = rng.logistic()
                latent = log_odds + CUTPOINTS[ANCHOR_LEVEL - 1] + day_effect + noise
                felt = int(np.searchsorted(cutpoints, latent))
                score = _given_score(rng, conditions, felt)
                rows.append(
                    (session, place, exercise_index, side_index, alternative, load_kg, lowering_s, rom_pct,
                     prepared, provoked, score, felt, backed_off, day_effect)
                )  # fmt: skip
                provoked = provoked or score >= ANCHOR_LEVEL
                if conditions.adaptive:
                    answer_score(rng, prescription, conditions.habits, score)
    return rows


def _given_score(rng: np.random.Generator, conditions: Conditions, felt: int) -> int:
    score = rounded_score(rng, felt) if conditions.rounds_scores else felt
    if conditions.lapse_share and rng.random() < conditions.lapse_share:
        return int(rng.integers(0, 11))
    return score


def _chosen_set(
    rng: np.random.Generator, conditions: Conditions, prescription: Prescription, backed_off: bool
) -> tuple[float, int, int]:
    if not conditions.adaptive:
        return random_set(rng, prescription)
    load_kg = prescription.backed_off_kg() if backed_off else prescription.load_kg
    return load_kg, prescription.lowering_s, prescription.rom_pct
