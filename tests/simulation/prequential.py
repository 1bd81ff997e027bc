"""Live one-step predictions against what came, over clients drawn from the prior; run as a script it prints the table.

    python tests/simulation/prequential.py --clients 300 --workers 2

Before every set of a client's last session the chance of pain is predicted from all earlier answers, those of the
same day included, while a coach chooses each load from the answers so far. Then sum(y - p) / sqrt(sum p (1 - p)) is
near standard normal whatever the coach does (Dawid 1984, J R Stat Soc A 147:278-292); weighted by logit p it asks
whether predictions are too sure. Clients come from the model's own prior, so that calibration holds exactly.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.special import expit, logit
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.design import Design
from analysis.models.pain_fit import MODEL_VERSION, PainOptions
from analysis.models.pain_layout import N_CUTPOINTS, PainLayout, pain_layout
from analysis.numerics.cumulative_link import cutpoints_from_gaps
from tests.simulation.prior_clients import (
    coach,
    draw_parameters,
    log_probability,
    played,
    raw_posterior,
    small_design,
    with_new_session_effect,
    with_one_more_session,
)

Floats = NDArray[np.float64]

SURE = 1e-6
"""Predictions are kept this far from 0 and 1."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Predicted:
    """The sets of one last session.

    Attributes
    ----------
    chance : ndarray, shape (n_sets, 5)
        Predicted chance of a score of 1 or more, ... 5 or more.
    came : ndarray of bool, shape (n_sets, 5)
    effective_draws : float
        Fewest draws that mattered for any of the predictions.
    """

    chance: Floats
    came: NDArray[np.bool_]
    effective_draws: float


def predicted_session(
    seed: int, *, n_sessions: int = 4, n_exercises: int = 2, n_sets: int = 2, n_draws: int = 1280
) -> Predicted:
    """Draw a client, fit all but the last session, predict its sets one by one.

    The answers of the day enter by weighting the draws with their likelihood. The last session lies on the day of
    the one before, because "now" and its priors move with the last day of a fit.
    """
    rng = np.random.default_rng(seed)
    blank = with_one_more_session(small_design(n_sessions=n_sessions, n_exercises=n_exercises, n_sets=n_sets))
    blank_layout = pain_layout(blank)
    theta, _ = draw_parameters(blank_layout.prior, rng)
    whole = played(blank, blank_layout, theta, rng, steer=coach)
    today = whole.session == whole.n_sessions - 1
    before = _without(whole, today)
    layout = pain_layout(before)
    raw = raw_posterior(layout, before, PainOptions(n_draws=n_draws, seed=seed))
    draws = with_new_session_effect(layout, raw.theta, raw.phi, rng)
    whole_layout = pain_layout(whole)
    log_weight = np.zeros(draws.shape[1])
    of_answer = log_probability(whole_layout, draws)
    chance, fewest = [], np.inf
    for i, at_least in zip(np.flatnonzero(today), _chances(whole_layout, draws, today), strict=True):
        weight = np.exp(log_weight - log_weight.max())
        chance.append(at_least @ weight / weight.sum())
        fewest = min(fewest, weight.sum() ** 2 / (weight**2).sum())
        log_weight = log_weight + of_answer[i]
    return Predicted(
        chance=np.clip(chance, SURE, 1.0 - SURE),
        came=whole.low[today][:, None] >= np.arange(1, N_CUTPOINTS + 1),
        effective_draws=float(fewest),
    )


def _chances(layout: PainLayout, draws: Floats, rows: NDArray[np.bool_]) -> Floats:
    """Chance of each level or more at some rows, shape (n_rows, 5, n_draws)."""
    eta = layout.predictor.eta(draws)[0][rows]
    return expit(eta[:, None, :] - cutpoints_from_gaps(draws[:N_CUTPOINTS]))


def _without(design: Design, rows: NDArray[np.bool_]) -> Design:
    """The design without its last session, whose rows these are."""
    names = (
        "low",
        "high",
        "X",
        "ell",
        "exercise",
        "exercise_side",
        "variant",
        "session",
        "week",
        "week_time",
    )
    return replace(
        design, **{name: getattr(design, name)[~rows] for name in names}, n_sessions=design.n_sessions - 1
    )


def prequential_table(sessions: Iterable[Predicted]) -> pd.DataFrame:
    """z of the sum of surprises, plain and weighted by logit p, for every level."""
    sessions = list(sessions)
    chance = np.concatenate([s.chance for s in sessions])
    came = np.concatenate([s.came for s in sessions])
    surprise, variance = came - chance, chance * (1.0 - chance)
    lean = logit(chance)
    return pd.DataFrame(
        {
            "level": np.arange(1, N_CUTPOINTS + 1),
            "sets": len(chance),
            "came": came.sum(0),
            "expected": chance.sum(0),
            "z": surprise.sum(0) / np.sqrt(variance.sum(0)),
            "z_sureness": (lean * surprise).sum(0) / np.sqrt((lean**2 * variance).sum(0)),
        }
    ).set_index("level")


def main() -> None:
    """Print the table of many clients."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clients", type=int, default=300)
    parser.add_argument("--first-seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--sessions", type=int, default=8)
    chosen = parser.parse_args()
    seeds = range(chosen.first_seed, chosen.first_seed + chosen.clients)
    one = partial(predicted_session, n_sessions=chosen.sessions, n_draws=2400)
    with ProcessPoolExecutor(chosen.workers) as pool:
        sessions = list(tqdm(pool.map(one, seeds, chunksize=2), total=len(seeds), unit="client"))
    print(f"Seeds {seeds[0]} to {seeds[-1]}, {dt.date.today()}, model version {MODEL_VERSION}")
    print("z and z_sureness are standard normal for a calibrated engine; ten of them stand here")
    print(prequential_table(sessions).to_string(float_format=lambda value: f"{value:.2f}"))


if __name__ == "__main__":
    main()
