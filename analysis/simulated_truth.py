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
from analysis.simulated_worlds import ANCHOR_LEVEL, CUTPOINTS, reporting_probabilities, stretched_cutpoints

_SEARCH_LOG_ODDS = 200.0
"""Half-width of the search for a line, in log-odds; chances beyond it are 0 or 1 to machine precision."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WorldTruth:
    """What is true of a simulated client.

    A chance is marginal over good and bad days, in the last training week unless another week is named. The
    setting is 2 s of lowering, full range, place 9, the average of prepared and not, nothing sore yet that
    day; the blanks of a `Setting` mean just that. Where the client rounds scores, lapses or comes to use the
    scale otherwise, a chance is that of the score given.

    Attributes
    ----------
    person : Person
    last_week : float
        The week that counts as now: that of the last training session, the first session being 0.
    rounds_scores : bool
    lapse_share : float
        Share of answers that are any score.
    """

    person: Person
    last_week: float
    rounds_scores: bool
    lapse_share: float = 0.0

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
        moved = self._cutpoints(week)[ANCHOR_LEVEL - 1] - CUTPOINTS[ANCHOR_LEVEL - 1]
        return self._log2_load(key, moved - self._rest(key, at, week))

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
        above = float(np.log2(load_kg)) - self._side(key).log2_line
        log_odds = self._rest(key, at, week) + self.exercise(key.exercise).log_odds_of_load(above)
        return _chance(log_odds, level, self._reported(week))

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
        needed = _log_odds_for(chance, level, self._reported(week))
        return self._log2_load(key, needed - self._rest(key, at, week))

    def _side(self, key: LineKey) -> TrueSide:
        for side in self.exercise(key.exercise).sides:
            if (side.asked, side.works) == (key.side, key.works):
                return side
        raise OptionError(f"{key.exercise}: nothing is asked on the {key.side} when {key.works} works.")

    def _log2_load(self, key: LineKey, log_odds_of_load: float) -> float:
        """log2 kg of the load that adds these log-odds to what everything else does."""
        return self._side(key).log2_line + self.exercise(key.exercise).log2_of_log_odds(log_odds_of_load)

    def _rest(self, key: LineKey, at: Setting | None, week: float | None) -> float:
        """Log-odds of everything but the load: those of a set at the line of week 0."""
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
            log2_above_line=0.0,
            lowering_s=USUAL_LOWERING_S if at.lowering_s is None else at.lowering_s,
            rom_pct=FULL_ROM_PCT if at.rom_pct is None else at.rom_pct,
            place=USUAL_PLACE if at.place is None else at.place,
            prepared=0.5 if at.prepared is None else float(at.prepared),
            alternative=key.variant == exercise.alternative,
            provoked=at.provoked,
            week=self.last_week if week is None else week,
        )

    def _cutpoints(self, week: float | None) -> np.ndarray:
        return stretched_cutpoints(self.person.stretch_per_week, self.last_week if week is None else week)

    def _reported(self, week: float | None) -> _Reported:
        return _Reported(
            effects=self.effects,
            cutpoints=tuple(float(cut) for cut in self._cutpoints(week)),
            rounds_scores=self.rounds_scores,
            lapse_share=self.lapse_share,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reported:
    """All that stands between the log-odds of a set and the score given."""

    effects: TrueEffects
    cutpoints: tuple[float, ...]
    rounds_scores: bool
    lapse_share: float


def _chance(log_odds: float, level: int, reported: _Reported) -> float:
    """Chance of the level or more at log-odds (of 2 or more, ordinary day), over days and rounding."""
    days, day_weights = day_effect_grid(reported.effects)
    cut = np.array(reported.cutpoints)[:, None] - CUTPOINTS[ANCHOR_LEVEL - 1]
    if not (reported.rounds_scores or reported.lapse_share):
        return float(expit(log_odds - cut[level - 1] + days) @ day_weights)
    chance_of_felt_level = expit(log_odds - cut + days) @ day_weights  # for levels 1 to 10
    given = reporting_probabilities(rounds_scores=reported.rounds_scores, lapse_share=reported.lapse_share)
    given_at_least = given[:, level:].sum(axis=1)  # for felt scores 0 to 10
    return float(given_at_least[0] + np.diff(given_at_least) @ chance_of_felt_level)


@lru_cache(maxsize=1024)
def _log_odds_for(chance: float, level: int, reported: _Reported) -> float:
    """Log-odds (of 2 or more, ordinary day) at which the level or more has that chance."""
    return float(
        brentq(
            lambda value: _chance(value, level, reported) - chance,
            -_SEARCH_LOG_ODDS,
            _SEARCH_LOG_ODDS,
            xtol=1e-10,
        )
    )


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
