"""A coach who steers load, tempo and range of the next set by the last score (layer: simulate)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.simulated_person import TrueExercise, TrueSide, floor_to_step

USUAL_LOWERING_S = 2
FULL_ROM_PCT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class CoachHabits:
    """How the coach answers a score.

    Attributes
    ----------
    limit : int
        Score from which something is made easier.
    quiet_sets : int
        Scores of 0 or 1 in a row after which something is made harder.
    """

    limit: int
    quiet_sets: int


@dataclass(slots=True, kw_only=True)
class Prescription:
    """What the next set of one side of one exercise will be; changes as the coach answers."""

    side: TrueSide
    step_kg: float
    load_kg: float
    heaviest_kg: float
    lowering_s: int = USUAL_LOWERING_S
    rom_pct: int = FULL_ROM_PCT
    quiet_streak: int = 0

    def backed_off_kg(self) -> float:
        """Load of a day on which everything is taken down to 85 %."""
        return floor_to_step(0.85 * self.load_kg, self.step_kg, self.side.lightest_kg)


def draw_habits(rng: np.random.Generator) -> CoachHabits:
    """Habits of one coach, drawn at random."""
    return CoachHabits(limit=int(rng.integers(2, 5)), quiet_sets=int(rng.integers(2, 5)))


def first_prescription(exercise: TrueExercise, side: TrueSide, *, moves_cap: bool = False) -> Prescription:
    """What the first set of a side is; with `moves_cap` no load is out of bounds for good."""
    return Prescription(
        side=side,
        step_kg=exercise.step_kg,
        load_kg=side.first_kg,
        heaviest_kg=np.inf if moves_cap else side.heaviest_kg,
    )


def random_set(rng: np.random.Generator, prescription: Prescription) -> tuple[float, int, int]:
    """Load in kg, lowering in s and range in % of a set chosen without regard to pain."""
    step_kg = prescription.step_kg
    around_kg = 2 ** (prescription.side.log2_line + rng.uniform(-1.0, 0.5))
    load_kg = max(step_kg, step_kg * float(np.round(around_kg / step_kg)))
    lowering_s = 4 if rng.random() < 1 / 3 else USUAL_LOWERING_S
    rom_pct = 80 if rng.random() < 1 / 3 else FULL_ROM_PCT
    return load_kg, lowering_s, rom_pct


def answer_score(
    rng: np.random.Generator, prescription: Prescription, habits: CoachHabits, score: int
) -> None:
    """Change the prescription after a set with that score."""
    if score >= habits.limit:
        _make_easier(rng, prescription)
    elif score <= 1:
        prescription.quiet_streak += 1
        if prescription.quiet_streak >= habits.quiet_sets:
            _make_harder(rng, prescription)


def _make_easier(rng: np.random.Generator, prescription: Prescription) -> None:
    """Usually a lighter load, sometimes slower or shorter while there is room for that."""
    prescription.quiet_streak = 0
    way = rng.random()
    if way < 0.6 or prescription.lowering_s > 4 or prescription.rom_pct < 70:
        lighter_kg = prescription.load_kg * rng.uniform(0.8, 0.9)
        prescription.load_kg = floor_to_step(lighter_kg, prescription.step_kg, prescription.side.lightest_kg)
    elif way < 0.8:
        prescription.lowering_s += 2
    else:
        prescription.rom_pct -= 20


def _make_harder(rng: np.random.Generator, prescription: Prescription) -> None:
    """Back to usual tempo and range, or one step heavier if the bound allows it."""
    prescription.quiet_streak = 0
    eased = prescription.lowering_s > USUAL_LOWERING_S or prescription.rom_pct < FULL_ROM_PCT
    if eased and rng.random() < 0.5:
        prescription.lowering_s, prescription.rom_pct = USUAL_LOWERING_S, FULL_ROM_PCT
    elif prescription.load_kg + prescription.step_kg <= prescription.heaviest_kg:
        prescription.load_kg += prescription.step_kg
