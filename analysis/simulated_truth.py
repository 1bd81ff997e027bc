"""The exact pain lines and chances of a simulated client, to hold estimates against (layer: simulate)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.optimize import brentq
from scipy.special import expit
from scipy.stats import norm

from analysis.errors import OptionError
from analysis.results import LineKey, Setting
from analysis.schema import STANDARD_VARIANT
from analysis.simulated_coach import FULL_ROM_PCT, USUAL_LOWERING_S
from analysis.simulated_person import Person, TrueEffects, TrueExercise, TrueSide
from analysis.simulated_sessions import USUAL_PLACE, set_log_odds
from analysis.simulated_worlds import ANCHOR_LEVEL, CUTPOINTS, rounding_probabilities

_SEARCH_LOG_ODDS = 200.0
"""Half-width of the search for a line, in log-odds; chances beyond it are 0 or 1 to machine precision."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WorldTruth:
    """What is true of a simulated client.

    A chance is marginal over good and bad days, in the last training week unless another week is named. The
    setting is 2 s of lowering, full range, place 9, the average of prepared and not, nothing sore yet that
    day; the blanks of a `Setting` mean just that. Where the client rounds scores, a chance is that of the
    score given.

    Attributes
    ----------
    person : Person
    last_week : float
        The week that counts as now: that of the last training session, the first session being 0.
    rounds_scores : bool
    """

    person: Person
    last_week: float
    rounds_scores: bool

    @property
    def keys(self) -> tuple[LineKey, ...]:
        """Every exercise and side, in its standard variant."""
        return tuple(
            LineKey(exercise=exercise.name, variant=STANDARD_VARIANT, side=side.asked, works=side.works)
            for exercise in self.person.exercises
            for side in exercise.sides
        )

    @property
    def effects(self) -> TrueEffects:
        """What else changes pain, in log-odds."""
        return self.person.effects

    def exercise(self, name: str) -> TrueExercise:
        """The exercise of that name."""
        for exercise in self.person.exercises:
            if exercise.name == name:
                return exercise
        known = ", ".join(exercise.name for exercise in self.person.exercises)
        raise OptionError(f"exercise is {name!r}; this client has {known}.")

    def slope(self, key: LineKey) -> float:
        """Log-odds per doubling of load."""
        return self.exercise(key.exercise).slope

    def log2_middle(self, key: LineKey, *, at: Setting | None = None, week: float | None = None) -> float:
        """log2 kg at which half of the sets would be felt as 2 or more on an ordinary day."""
        return -self._log_odds_at_1_kg(key, at, week) / self.slope(key)

    def chance_at(
        self,
        key: LineKey,
        load_kg: float,
        level: int,
        *,
        at: Setting | None = None,
        week: float | None = None,
    ) -> float:
        """Chance that a set at this load hurts at the level or more."""
        log_odds = self._log_odds_at_1_kg(key, at, week) + self.slope(key) * float(np.log2(load_kg))
        return self._chance(log_odds, level)

    def log2_line(
        self,
        key: LineKey,
        level: int,
        chance: float,
        *,
        at: Setting | None = None,
        week: float | None = None,
    ) -> float:
        """log2 of the load in kg at which pain of the level or more reaches the chance.

        Parameters
        ----------
        key : LineKey
            Exercise, variant (the standard or the second one), side asked, side that works.
        level : int
            Pain that counts, 1 to 10.
        chance : float
            Strictly between 0 and 1.
        at : Setting, optional
            How the set is done; the setting described at the class if None.
        week : float, optional
            Weeks since the first session; the last training week if None.

        Returns
        -------
        float
            log2 kg.
        """
        log_odds = brentq(
            lambda value: self._chance(value, level) - chance, -_SEARCH_LOG_ODDS, _SEARCH_LOG_ODDS, xtol=1e-10
        )
        return (float(log_odds) - self._log_odds_at_1_kg(key, at, week)) / self.slope(key)

    def _side(self, key: LineKey) -> TrueSide:
        for side in self.exercise(key.exercise).sides:
            if (side.asked, side.works) == (key.side, key.works):
                return side
        raise OptionError(f"{key.exercise}: nothing is asked on the {key.side} when {key.works} works.")

    def _log_odds_at_1_kg(self, key: LineKey, at: Setting | None, week: float | None) -> float:
        at = Setting() if at is None else at
        exercise = self.exercise(key.exercise)
        if key.variant not in (STANDARD_VARIANT, exercise.alternative):
            raise OptionError(
                f"variant is {key.variant!r}; "
                f"{key.exercise} has {STANDARD_VARIANT} and {exercise.alternative}."
            )
        return set_log_odds(
            self.person,
            exercise,
            log2_above_line=-self._side(key).log2_line,
            lowering_s=USUAL_LOWERING_S if at.lowering_s is None else at.lowering_s,
            rom_pct=FULL_ROM_PCT if at.rom_pct is None else at.rom_pct,
            place=USUAL_PLACE if at.place is None else at.place,
            prepared=0.5 if at.prepared is None else float(at.prepared),
            alternative=key.variant == exercise.alternative,
            provoked=at.provoked,
            week=self.last_week if week is None else week,
        )

    def _chance(self, log_odds: float, level: int) -> float:
        """Chance of the level or more at log-odds (of 2 or more, ordinary day), over days and rounding."""
        days, day_weights = day_effect_grid(self.effects)
        cut = CUTPOINTS[:, None] - CUTPOINTS[ANCHOR_LEVEL - 1]
        chance_of_felt_level = expit(log_odds - cut + days) @ day_weights  # for levels 1 to 10
        if not self.rounds_scores:
            return float(chance_of_felt_level[level - 1])
        given_at_least = rounding_probabilities()[:, level:].sum(axis=1)  # for felt scores 0 to 10
        return float(given_at_least[0] + np.diff(given_at_least) @ chance_of_felt_level)


@lru_cache(maxsize=1024)
def day_effect_grid(effects: TrueEffects) -> tuple[np.ndarray, np.ndarray]:
    """Day effects and their weights, for averages over good and bad days.

    Both are trapezoid rules on a smooth integrand that vanishes at its ends, exact far beyond the digits
    used. With t = sqrt(3) tan(a) the t density with 3 degrees of freedom becomes (2 / pi) cos(a)^2 on
    (-pi/2, pi/2).

    Parameters
    ----------
    effects : TrueEffects
        Gives spread and shape.

    Returns
    -------
    days : ndarray, shape (n_days,)
        Log-odds.
    weights : ndarray, shape (n_days,)
        Sum to 1.
    """
    if effects.heavy_tailed_days:
        angle = np.linspace(-np.pi / 2, np.pi / 2, 402)[1:-1]
        days, weights = effects.day_sd * np.tan(angle), np.cos(angle) ** 2
    else:
        z = np.linspace(-8.0, 8.0, 161)
        days, weights = effects.day_sd * z, norm.pdf(z)
    weights /= weights.sum()
    days.setflags(write=False)
    weights.setflags(write=False)
    return days, weights
