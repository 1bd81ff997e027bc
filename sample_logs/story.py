"""What a sample log is made from: a person, conditions, doses and the rows that are written by hand."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from analysis.results import AskedSide, WorkingSide
from analysis.simulated_diary import Dose, Habits
from analysis.simulated_mornings import Mornings
from analysis.simulated_person import Person, TrueEffects, TrueExercise, TrueSide
from analysis.simulated_sessions import Conditions, SessionPlan

Row = dict[str, object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One sample log: the person, the conditions, and the rows that are written by hand."""

    client: str
    about: str
    seed: int
    first_day: dt.date
    person: Person
    conditions: Conditions
    doses: Mapping[str, Dose] = field(default_factory=dict)
    habits: Habits = field(default_factory=Habits)
    mornings: Mornings | None = None
    notes: Mapping[int, str] = field(default_factory=dict)
    rows: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)


def in_turn(person: Person, *sessions: tuple[str, ...]) -> SessionPlan:
    """A plan that repeats the same sessions in turn, each a list of exercise names."""
    index = {exercise.name: k for k, exercise in enumerate(person.exercises)}
    turns = [[index[name] for name in session] for session in sessions]
    return lambda rng, session: turns[session % len(turns)]


def exercise(
    name: str,
    alternative: str,
    lines_kg: Mapping[tuple[WorkingSide, AskedSide], float],
    loads_kg: tuple[float, float, float],
    step_kg: float,
    *,
    slope: float = 5.0,
    basis: str = "per hand",
    rounds: int = 2,
    harder_by: float = 0.8,
) -> TrueExercise:
    """One exercise: lines of week 0 by side, then first, lightest and heaviest load in kg."""
    first_kg, lightest_kg, heaviest_kg = loads_kg
    return TrueExercise(
        name=name,
        alternative=alternative,
        slope=slope,
        drift_per_week=0.0,
        alternative_effect=harder_by,
        step_kg=step_kg,
        load_basis=basis,
        n_rounds=rounds,
        sides=tuple(
            TrueSide(
                works=works,
                asked=asked,
                log2_line=float(np.log2(line_kg)),
                first_kg=first_kg,
                lightest_kg=lightest_kg,
                heaviest_kg=heaviest_kg,
            )
            for (works, asked), line_kg in lines_kg.items()
        ),
    )


def both_legs(left_kg: float, right_kg: float) -> dict[tuple[WorkingSide, AskedSide], float]:
    """Lines of an exercise done on each side in turn."""
    return {("left", "left"): left_kg, ("right", "right"): right_kg}


def effects(*, day_sd: float = 0.6, lowering_per_s: float = -0.35, prepared: float = -0.4) -> TrueEffects:
    """What else changes pain; slower, shorter and later-prepared sets hurt less."""
    return TrueEffects(
        lowering_per_s=lowering_per_s,
        rom_per_pct=0.03,
        place_per_set=0.03,
        prepared=prepared,
        provoked=0.0,
        day_sd=day_sd,
        heavy_tailed_days=False,
    )
