"""A simulated client: what brings pain on, exercise by exercise, known exactly (layer: simulate)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from analysis.results import AskedSide, WorkingSide
from analysis.simulated_course import Trend, weekly_walk
from analysis.simulated_worlds import World

_TWO_SIDED = (
    ("box squat", "wide stance"),
    ("hip hinge", "from blocks"),
    ("bridge", "feet raised"),
    ("seated row", "wide grip"),
    ("calf raise", "on a step"),
    ("loaded carry", "handles high"),
    ("back extension", "arms crossed"),
    ("sled drag", "low handles"),
    ("pull-through", "kneeling"),
)
_ONE_SIDED = (
    ("step-down", "heel on wedge"),
    ("split squat", "rear foot raised"),
    ("step-up", "sideways"),
    ("one-leg hinge", "hand on rail"),
    ("one-arm row", "bench at an angle"),
    ("suitcase carry", "on stairs"),
    ("one-leg calf raise", "knee bent"),
)


EXERCISE_OFFSET_SD, SIDE_OFFSET_SD = 1.2, 1.0
"""How far an exercise's line, and a side's, lie from where the coach expects them, log-odds, in a world of such
offsets."""
BELOW_KNEE, ABOVE_KNEE = 0.4, 2.0
"""Slope below and above a kink, as a multiple of the exercise's slope."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueSide:
    """One side of one exercise: where its line stood in the first week, and the loads the coach begins with.

    Attributes
    ----------
    works : {"left", "right", "both"}
    asked : {"left", "right", "midline"}
        Side of the body whose pain is asked.
    log2_line : float
        log2 kg at which half of the sets hurt at 2 or more on an ordinary day of week 0.
    first_kg, lightest_kg, heaviest_kg : float
        Load of the first session, and the bounds the coach keeps to.
    """

    works: WorkingSide
    asked: AskedSide
    log2_line: float
    first_kg: float
    lightest_kg: float
    heaviest_kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueExercise:
    """One exercise of a simulated client.

    Attributes
    ----------
    name, alternative : str
        Name of the exercise and of its second variant.
    slope : float
        Log-odds per doubling of load, positive.
    drift_per_week : float
        Improvement a week of this exercise alone, log-odds.
    alternative_effect : float
        Log-odds the second variant adds.
    step_kg : float
        Smallest step of the equipment.
    load_basis : str
        What the load counts, as in sets.csv.
    n_rounds : int
        Sets in a session, for each side.
    sides : tuple of TrueSide
    walk : tuple of float
        Log-odds this exercise alone adds in each week, from week 0; empty for none.
    knee_log2 : float or None
        Octaves above the line of week 0 at which the slope changes from `BELOW_KNEE` to `ABOVE_KNEE` times
        its value; None for one slope.
    """

    name: str
    alternative: str
    slope: float
    drift_per_week: float
    alternative_effect: float
    step_kg: float
    load_basis: str
    n_rounds: int
    sides: tuple[TrueSide, ...]
    walk: tuple[float, ...] = ()
    knee_log2: float | None = None

    @property
    def two_sided(self) -> bool:
        """Whether both sides work at once."""
        return self.sides[0].works == "both"

    def walk_at(self, week: float) -> float:
        """Log-odds of this exercise's own walk in that week."""
        return self.walk[int(week)] if self.walk else 0.0

    def log_odds_of_load(self, log2_above_line: float) -> float:
        """Log-odds that octaves above the line of week 0 add; increasing, 0 at the line."""
        if self.knee_log2 is None:
            return self.slope * log2_above_line
        bend = min(log2_above_line, self.knee_log2)
        return self.slope * (ABOVE_KNEE * (log2_above_line - bend) + BELOW_KNEE * bend + self._knee_lift)

    def log2_of_log_odds(self, log_odds: float) -> float:
        """Octaves above the line of week 0 that add these log-odds: the inverse of `log_odds_of_load`."""
        if self.knee_log2 is None:
            return log_odds / self.slope
        steps = log_odds / self.slope - self._knee_lift
        bend = BELOW_KNEE * self.knee_log2
        return steps / BELOW_KNEE if steps < bend else self.knee_log2 + (steps - bend) / ABOVE_KNEE

    @property
    def _knee_lift(self) -> float:
        """Octaves that put the bent line through 0 at the line: the knee lies below it."""
        assert self.knee_log2 is not None
        return (ABOVE_KNEE - BELOW_KNEE) * self.knee_log2


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueEffects:
    """What else changes pain, in log-odds.

    Attributes
    ----------
    lowering_per_s, rom_per_pct, place_per_set, prepared : float
        Per second of lowering above 2, per percent of range above 100, per place above 9, and for
        preparation done (counted from the middle: minus half without, plus half with).
    provoked : float
        Once a set of that day hurt at 2 or more.
    day_sd : float
        Spread of good and bad days.
    heavy_tailed_days : bool
        Days from a t distribution with 3 degrees of freedom scaled to that SD.
    """

    lowering_per_s: float
    rom_per_pct: float
    place_per_set: float
    prepared: float
    provoked: float
    day_sd: float
    heavy_tailed_days: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """A simulated client: effects, course and exercises, and how much the scale of pain stretches a week."""

    effects: TrueEffects
    trend: Trend
    exercises: tuple[TrueExercise, ...]
    stretch_per_week: float = 0.0


def floor_to_step(load_kg: float, step_kg: float, at_least_kg: float) -> float:
    """Heaviest load on the equipment's steps not above the load given, but at least the given one."""
    return max(at_least_kg, step_kg * float(np.floor(load_kg / step_kg)))


def draw_person(rng: np.random.Generator, world: World) -> Person:
    """A client of a world, drawn at random.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of chance.
    world : World
        Family the client belongs to.

    Returns
    -------
    Person
        Everything about pain in that client.
    """
    client_slope = float(np.exp(rng.normal(np.log(world.median_slope), world.client_slope_sd)))
    effects = TrueEffects(
        day_sd=float(np.exp(rng.normal(np.log(0.7), 0.3))),
        lowering_per_s=rng.normal(-0.25, 0.15),
        rom_per_pct=rng.normal(0.025, 0.012),
        place_per_set=rng.normal(0.04, 0.03),
        prepared=rng.normal(-0.3, 0.2),
        provoked=world.sensitisation,
        heavy_tailed_days=world.heavy_tailed_days,
    )
    trend = Trend(
        kind=world.trend,
        per_week=rng.normal(0.12, 0.08),
        n_weeks=world.n_weeks,
        flare_week=rng.uniform(0.6, 0.8) * world.n_weeks,
    )
    worse: WorkingSide = "right" if rng.random() < 0.5 else "left"
    n_two_sided = round(world.n_exercises * 4 / 7)
    names = (*_TWO_SIDED[:n_two_sided], *_ONE_SIDED[: world.n_exercises - n_two_sided])
    exercises = tuple(
        _draw_exercise(
            rng,
            world,
            name=name,
            alternative=alternative,
            two_sided=index < n_two_sided,
            client_slope=client_slope,
            worse=worse,
        )
        for index, (name, alternative) in enumerate(names)
    )
    # What only some worlds have comes from a stream of its own, so that the others stay as they are.
    further = rng.spawn(1)[0]
    if world.exercise_walk_sd:
        exercises = tuple(
            replace(exercise, walk=weekly_walk(further, world.n_weeks, world.exercise_walk_sd))
            for exercise in exercises
        )
    if world.kinked:
        exercises = tuple(replace(e, knee_log2=further.uniform(-0.3, 0.0)) for e in exercises)
    stretch = world.scale_stretch * float(np.exp(further.normal(0.0, 0.4)))
    return Person(effects=effects, trend=trend, exercises=exercises, stretch_per_week=stretch)


def _draw_exercise(
    rng: np.random.Generator,
    world: World,
    *,
    name: str,
    alternative: str,
    two_sided: bool,
    client_slope: float,
    worse: WorkingSide,
) -> TrueExercise:
    slope = client_slope * float(np.exp(rng.normal(0.0, 0.3)))
    step_kg = 5.0 if two_sided else 2.0
    log2_base = float(np.log2(rng.uniform(40.0, 130.0) if two_sided else rng.uniform(12.0, 36.0)))
    # Most exercises begin below the line, one in ten above it.
    log2_below = rng.uniform(0.0, 1.0) if rng.random() > 0.1 else -rng.uniform(0.1, 0.5)
    log2_reach = rng.uniform(-0.4, 1.2)
    first_kg = floor_to_step(2 ** (log2_base - log2_below), step_kg, step_kg)
    lightest_kg = floor_to_step(0.8 * first_kg, step_kg, step_kg)
    heaviest_kg = floor_to_step(2 ** (log2_base + log2_reach), step_kg, lightest_kg)

    def side(works: WorkingSide, asked: AskedSide, log2_line: float) -> TrueSide:
        return TrueSide(
            works=works, asked=asked, log2_line=log2_line,
            first_kg=first_kg, lightest_kg=lightest_kg, heaviest_kg=heaviest_kg,
        )  # fmt: skip

    sides: tuple[TrueSide, ...]
    if two_sided:
        sides = (side("both", "midline", log2_base),)
    else:
        log2_better = log2_base + rng.normal(0.5, 0.3)
        sides = (
            side("left", "left", log2_base if worse == "left" else log2_better),
            side("right", "right", log2_base if worse == "right" else log2_better),
        )
    if world.offsets == "logit":
        moved = rng.normal(0.0, EXERCISE_OFFSET_SD) + rng.normal(0.0, SIDE_OFFSET_SD, len(sides))
        sides = tuple(
            replace(one, log2_line=one.log2_line + float(log_odds) / slope)
            for one, log_odds in zip(sides, moved, strict=True)
        )
    return TrueExercise(
        name=name,
        alternative=alternative,
        slope=slope,
        drift_per_week=rng.normal(0.0, world.exercise_drift_sd),
        alternative_effect=_draw_alternative_effect(rng, world, slope),
        step_kg=step_kg,
        load_basis="total" if two_sided else "per hand",
        n_rounds=3 if two_sided else 2,
        sides=sides,
    )


def _draw_alternative_effect(rng: np.random.Generator, world: World, slope: float) -> float:
    if world.variant_effect == "small":
        return rng.normal(0.0, 0.5)
    if world.variant_effect == "small_load":
        return slope * rng.normal(0.0, 0.1)
    sign = 1.0 if rng.random() < 0.5 else -1.0
    return sign * (2.0 if world.variant_effect == "logit" else slope)
