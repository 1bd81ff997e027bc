"""Simulated clients with a known truth, to test how honest estimates are (layer: simulate)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.simulated_coach import draw_habits
from analysis.simulated_log import sets_frame, simulated_log, without_some_zeros
from analysis.simulated_person import Person, draw_person
from analysis.simulated_sessions import Conditions, play_sessions, random_plan
from analysis.simulated_truth import WorldTruth
from analysis.simulated_worlds import WORLDS, session_day, world_named
from analysis.training_log import TrainingLog

__all__ = ["WORLDS", "PlayedWorld", "SimulatedClient", "play_world", "simulate_client"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlayedWorld:
    """A simulated client before anything is written down as a log.

    Attributes
    ----------
    person : Person
        Everything about pain in that client.
    played : DataFrame
        Every set of the training sessions and of the one after them, as numbers.
    n_sessions : int
        Training sessions.
    """

    person: Person
    played: pd.DataFrame
    n_sessions: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SimulatedClient:
    """A simulated client: what a coach would have logged, what came next, and what is true.

    Attributes
    ----------
    log : TrainingLog
        The log up to the last training session.
    next_session : DataFrame
        Frame of sets of the session after it, not in the log, every set asked about.
    played : DataFrame
        Every set of the training sessions and the next one as numbers; the felt score and whether loads
        were taken down that day are only here.
    truth : WorldTruth
        Exact chances and lines.
    """

    log: TrainingLog
    next_session: pd.DataFrame
    played: pd.DataFrame
    truth: WorldTruth


def play_world(seed: int, world: str = "W1") -> PlayedWorld:
    """Draw one client of a named world and play the sessions; `OptionError` if there is no such world."""
    family = world_named(world)
    rng = np.random.default_rng(seed)
    person = draw_person(rng, family)
    conditions = Conditions(
        n_sessions=family.n_sessions + 1,
        plan=random_plan(sum(e.two_sided for e in person.exercises), family.n_exercises),
        habits=draw_habits(rng),
        adaptive=family.adaptive,
        rounds_scores=family.rounds_scores,
        backs_off_on_bad_days=family.backs_off_on_bad_days,
        moves_cap=family.moves_cap,
        lapse_share=family.lapse_share,
    )
    return PlayedWorld(
        person=person, played=play_sessions(rng, person, conditions), n_sessions=family.n_sessions
    )


def simulate_client(seed: int, world: str = "W1", client: str = "S-0001") -> SimulatedClient:
    """One simulated client of a named world.

    Parameters
    ----------
    seed : int
        Seed; the same one gives the same client.
    world : str, default "W1"
        Name in `analysis.simulated_worlds.WORLDS`.
    client : str, default "S-0001"
        Pseudonym in the log.

    Returns
    -------
    SimulatedClient
        Log, next session and truth.

    Raises
    ------
    OptionError
        If there is no world of that name.

    Examples
    --------
    >>> made = simulate_client(1)
    >>> made.log.sets["date"].nunique()
    12
    >>> key = made.truth.keys[0]
    >>> round(made.truth.chance_at(key, 2 ** made.truth.log2_line(key, 2, 0.2), 2), 6)
    0.2
    """
    made, family = play_world(seed, world), world_named(world)
    person, played = made.person, made.played
    held_out = played["session_index"] == made.n_sessions
    sets = sets_frame(played[~held_out], person, client=client)
    if family.asked_zero_share < 1.0:
        sets = without_some_zeros(np.random.default_rng([seed, 1]), sets, family.asked_zero_share)
    return SimulatedClient(
        log=simulated_log(sets, person, client=client),
        next_session=sets_frame(played[held_out], person, client=client),
        played=played,
        truth=WorldTruth(
            person=person,
            last_week=session_day(made.n_sessions - 1) / 7,
            rounds_scores=family.rounds_scores,
            lapse_share=family.lapse_share,
        ),
    )
