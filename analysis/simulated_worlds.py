"""The named worlds of simulated clients, and the scale of pain they share (layer: simulate)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from analysis.errors import OptionError

TrendKind = Literal["linear", "plateau", "flare", "none"]
VariantEffect = Literal["small", "small_load", "logit", "octave"]
OffsetScale = Literal["load", "logit"]

CUTPOINTS = np.array([0.0, 0.8, 1.5, 2.2, 2.9, 3.6, 4.3, 5.1, 6.0, 7.0])
"""Log-odds at which a score passes 1, 2, ..., 10; a set is placed on the same scale."""
CUTPOINTS.setflags(write=False)

ANCHOR_LEVEL = 2
"""Level for which a line is stored: pain of 2 or more in half of the sets."""

SESSIONS_A_WEEK = 3
SESSION_DAYS = (0, 2, 4)
"""Days of the week, counted from the first, on which simulated clients train."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """How one family of simulated clients is made.

    Attributes
    ----------
    n_sessions : int
        Training sessions in the log; one further session is held out.
    trend : {"linear", "plateau", "flare", "none"}
        Course of pain over the weeks.
    n_exercises : int
        Exercises the client has; four of seven are two-sided.
    adaptive : bool
        Whether the coach answers pain with the next load; otherwise loads are drawn at random.
    heavy_tailed_days : bool
        Day effects from a scaled t distribution with 3 degrees of freedom instead of a normal one.
    rounds_scores : bool
        Whether odd scores are often given as even ones, and a 1 as a 0.
    sensitisation : float
        Log-odds added once a set of that day hurt at 2 or more.
    backs_off_on_bad_days : bool
        Whether loads are lowered on days that are bad for a reason the log does not hold.
    exercise_drift_sd : float
        Spread of the exercises' own weekly drift, log-odds a week.
    median_slope : float
        Median over clients of log-odds per doubling of load.
    client_slope_sd : float
        Spread of the log of that slope over clients.
    variant_effect : {"small", "small_load", "logit", "octave"}
        Alternative variants differ by N(0, 0.5) log-odds, by N(0, 0.1) octaves of load, by 2 log-odds, or by
        a doubling of load.
    offsets : {"load", "logit"}
        How far the line lies from where the coach begins: octaves whatever the slope, or besides those
        log-odds of each exercise and each side, so many octaves where pain hardly follows load.
    exercise_walk_sd : float
        Step of each exercise's own random walk, log-odds per square root of a week.
    moves_cap : bool
        Whether the bound on loads moves up with what was lifted, so that it never stands in the way.
    asked_zero_share : float
        Probability that a set that would be given 0 is asked about at all.
    scale_stretch : float
        Median over clients of how much the scale of pain stretches a week: what was a 5 becomes a 4.
    kinked : bool
        Whether pain hardly follows load below a load and jumps above it, which no logistic curve does.
    lapse_share : float
        Share of answers that are any score from 0 to 10.
    """

    n_sessions: int = 12
    trend: TrendKind = "linear"
    n_exercises: int = 7
    adaptive: bool = True
    heavy_tailed_days: bool = False
    rounds_scores: bool = False
    sensitisation: float = 0.0
    backs_off_on_bad_days: bool = False
    exercise_drift_sd: float = 0.03
    median_slope: float = 5.0
    client_slope_sd: float = 0.4
    variant_effect: VariantEffect = "small"
    offsets: OffsetScale = "load"
    exercise_walk_sd: float = 0.0
    moves_cap: bool = False
    asked_zero_share: float = 1.0
    scale_stretch: float = 0.0
    kinked: bool = False
    lapse_share: float = 0.0

    @property
    def n_weeks(self) -> float:
        """Length of the log in weeks."""
        return self.n_sessions / SESSIONS_A_WEEK


WORLDS: Mapping[str, World] = MappingProxyType(
    {
        "W0": World(adaptive=False),
        "W1": World(),
        "W2": World(n_sessions=36),
        "W3": World(n_sessions=36, trend="flare"),
        "W4": World(heavy_tailed_days=True, rounds_scores=True),
        "W5": World(sensitisation=0.8, backs_off_on_bad_days=True),
        "W6": World(
            n_sessions=36,
            trend="plateau",
            heavy_tailed_days=True,
            rounds_scores=True,
            sensitisation=0.8,
            backs_off_on_bad_days=True,
        ),
        "W7": World(median_slope=12.0),
        "W8": World(median_slope=2.0),
        "W9": World(exercise_drift_sd=0.12),
        "WY": World(n_sessions=156, trend="plateau", n_exercises=16, sensitisation=0.4),
        "variants_logit": World(n_sessions=36, variant_effect="logit"),
        "variants_octave": World(n_sessions=36, variant_effect="octave"),
        "offsets_load": World(client_slope_sd=0.8, variant_effect="small_load"),
        "offsets_logit": World(median_slope=2.0, offsets="logit"),
        "exercise_walk": World(n_sessions=36, exercise_walk_sd=0.35),
        "moving_cap": World(
            n_sessions=156, trend="plateau", n_exercises=16, sensitisation=0.4, moves_cap=True
        ),
        "zeros_half_missing": World(asked_zero_share=0.5),
        "zeros_most_missing": World(asked_zero_share=0.2),
        "response_shift": World(n_sessions=36, scale_stretch=0.05),
        "two_regimes": World(kinked=True),
        "lapses": World(lapse_share=0.03),
    }
)
"""W0 loads at random; W1 a month; W2 three months; W3 with a flare; W4 heavy-tailed days and rounded scores;
W5 sensitisation and unlogged backing off; W6 all of these over three months; W7 and W8 steep and shallow
clients; W9 exercises that drift apart; WY a year.

variants_logit and variants_octave: variants 2 log-odds or a doubling of load apart. offsets_load: exercises,
sides and variants all differ in octaves, whatever the slope, and slopes differ widely between clients.
offsets_logit: shallow clients whose exercises and sides differ in log-odds, so that lines lie far from loads.
exercise_walk: three months, each exercise on a random walk of its own. moving_cap: a year in which the bound on
loads moves up with what was lifted. zeros_half_missing and zeros_most_missing: a set that would be given 0 is
asked about with probability .5 or .2. response_shift: three months in which the client comes to use the scale
more sparingly. two_regimes: a curve with a kink, five times as steep above a load. lapses: 3 of 100 answers are
any score."""


def world_named(name: str) -> World:
    """World of that name; `OptionError` lists the names when there is none."""
    if name not in WORLDS:
        raise OptionError(f"world is {name!r}; choose one of {', '.join(WORLDS)}.")
    return WORLDS[name]


def session_day(session: int) -> int:
    """Days from the first session to the session of that index (0, 1, ...)."""
    week, place = divmod(session, SESSIONS_A_WEEK)
    return 7 * week + SESSION_DAYS[place]


def rounded_score(rng: np.random.Generator, score: int) -> int:
    """Score as a client gives it who prefers even numbers and passes over a 1.

    Half of the odd scores move to one of the two neighbours; half of the scores of 1 that stay become 0.
    """
    if score % 2 == 1 and rng.random() < 0.5:
        score += -1 if rng.random() < 0.5 else 1
    if score == 1 and rng.random() < 0.5:
        score = 0
    return score


def stretched_cutpoints(stretch_per_week: float, week: float) -> np.ndarray:
    """Cutpoints of a client whose scale stretches from its first one by a share each week."""
    return CUTPOINTS * (1.0 + stretch_per_week * week)


def reporting_probabilities(*, rounds_scores: bool, lapse_share: float) -> np.ndarray:
    """Probability of each given score for each felt score: rounding, then lapses.

    Returns
    -------
    ndarray, shape (11, 11)
        Row is the felt score, column the given one; rows sum to 1.
    """
    kept = rounding_probabilities() if rounds_scores else np.eye(11)
    return (1.0 - lapse_share) * kept + lapse_share / 11.0


def rounding_probabilities() -> np.ndarray:
    """Probability of each given score for each felt score, under `rounded_score`.

    Returns
    -------
    ndarray, shape (11, 11)
        Row is the felt score, column the given one; rows sum to 1.
    """
    table = np.eye(11)
    for felt in range(1, 11, 2):
        table[felt, felt] = 0.5
        table[felt, [felt - 1, felt + 1]] += 0.25
    table[:, 0] += 0.5 * table[:, 1]
    table[:, 1] *= 0.5
    return table
