"""Two ways to draw parameters and answers together, which agree only if sampler, likelihood and prior belong together.

    python tests/simulation/geweke.py --chains 400 --cycles 60

The marginal-conditional way draws parameters from the prior, then answers from the likelihood while a coach chooses
each next load from the pain logged so far. The successive-conditional way goes round: parameters by moves of the
product's sampler given the answers, then new loads and answers given the parameters (Geweke 2004, J Am Stat Assoc
99:799-804). Every chain starts from the first way, so it is stationary from its first cycle on and the chains are
independent: their means need no autocorrelation to be judged. Centres of load are fixed in advance, and so is the
preconditioner. A wrong gradient alone goes unnoticed here, because moves are accepted by the density itself.
"""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import norm, t
from tqdm import trange

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.design import Design
from analysis.models.draws import laplace_start
from analysis.models.pain_fit import MODEL_VERSION
from analysis.models.pain_layout import N_CUTPOINTS, PainLayout, pain_layout
from analysis.numerics.optimise import LaplaceFit
from analysis.numerics.sampler import ChainState, Density, sample
from analysis.numerics.target import WhitenedPosterior
from tests.simulation.prior_clients import (
    LEVEL,
    PROVOKED,
    coach,
    draw_parameters,
    log_probability,
    played,
    small_design,
)

Floats = NDArray[np.float64]
Told = Callable[[Design], Design]
"""What the likelihood is told of a played design; the design itself if all is well."""
STEP = 0.3
MOVES = 2
"""Moves of the sampler a cycle; every sixth is short, and the count goes on from cycle to cycle."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class World:
    """The small model, with a preconditioner that no chain's answers touch."""

    blank: Design
    layout: PainLayout
    preconditioner: LaplaceFit
    centre: Floats
    factor: Floats
    """(theta, phi) = centre + factor z for whitened z, shapes (P + k,) and (P + k, P + k)."""


Distorted = Callable[[WhitenedPosterior, World], Density]
"""Another density in place of the target, to show that it would be noticed."""


def small_world() -> World:
    """One exercise, both sides, three sessions of two sets a side, a week's gap among them."""
    blank = small_design(n_sessions=3, n_exercises=1, n_sets=2, days_apart=4)
    layout = pain_layout(blank)
    rng = np.random.default_rng(0)
    theta, _ = draw_parameters(layout.prior, rng)
    theta[0] = 1.0
    some = pain_layout(played(blank, layout, theta, rng, steer=coach))
    fit = laplace_start(some)
    target = WhitenedPosterior(some.predictor, some.prior, fit)
    n = target.P + target.k
    centre = np.concatenate(target.parameters(np.zeros((n, 1))))
    factor = np.concatenate(target.parameters(np.eye(n))) - centre
    return World(blank=blank, layout=layout, preconditioner=fit, centre=centre[:, 0], factor=factor)


def features(design: Design, layout: PainLayout, theta: Floats, phi: Floats) -> Floats:
    """What is compared: every parameter and its distance from the prior's centre, answers, loads, and both together."""
    prior = layout.prior
    distance = np.concatenate([np.abs(theta - prior.mean), np.abs(phi - prior.log_sd_mean)])
    answers, ell = design.low.astype(float), design.ell
    hurt = answers >= LEVEL
    together = [answers.mean(), hurt.mean(), ell.mean(), ell @ answers, (ell**2).mean()]
    sore = theta[N_CUTPOINTS + 1 + PROVOKED] * design.X[:, PROVOKED]
    together += [(hurt[1:] & hurt[:-1]).mean(), theta[0] * answers.mean(), sore @ answers, sore.sum()]
    return np.concatenate(
        [theta, phi, distance, together, answers, ell, log_probability(layout, theta).sum(keepdims=True)]
    )


def marginal_conditional(world: World, n: int, rng: np.random.Generator) -> Floats:
    """Features of n independent draws, shape (n, n_features)."""
    rows = []
    for _ in range(n):
        theta, phi = draw_parameters(world.layout.prior, rng)
        design = played(world.blank, world.layout, theta, rng, steer=coach)
        rows.append(features(design, pain_layout(design), theta, phi))
    return np.array(rows)


def successive_conditional(
    world: World,
    n_cycles: int,
    rng: np.random.Generator,
    *,
    told: Told | None = None,
    distorted: Distorted | None = None,
) -> Floats:
    """Mean features over the cycles of one chain, shape (n_features,)."""
    theta, phi = draw_parameters(world.layout.prior, rng)
    total: Floats | float = 0.0
    n_moves = 0
    for _ in range(n_cycles):
        design = played(world.blank, world.layout, theta, rng, steer=coach)
        layout = pain_layout(design)
        believed = pain_layout(told(design)) if told else layout
        target = WhitenedPosterior(believed.predictor, believed.prior, world.preconditioner)
        density: Density = distorted(target, world) if distorted else target
        z = np.linalg.solve(world.factor, np.concatenate([theta, phi]) - world.centre)[:, None]
        state = ChainState(z, *density.value_and_gradient(z), STEP, n_moves)
        state = sample(density, state, n_moves=MOVES, rng=rng).state
        n_moves = state.n_moves
        moved_theta, moved_phi = target.parameters(state.z)
        theta, phi = moved_theta[:, 0], moved_phi[:, 0]
        total = total + features(design, layout, theta, phi)
    return np.asarray(total / n_cycles)


def geweke_z(
    *,
    n_chains: int,
    n_cycles: int,
    seed: int = 1,
    told: Told | None = None,
    distorted: Distorted | None = None,
    progress: bool = False,
) -> Floats:
    """Differences of the two ways in standard errors, as normal scores; features that never vary are left out."""
    rng = np.random.default_rng(seed)
    world = small_world()
    direct = marginal_conditional(world, 20 * n_chains, rng)
    chains = np.array(
        [
            successive_conditional(world, n_cycles, rng, told=told, distorted=distorted)
            for _ in trange(n_chains, unit="chain", disable=not progress)
        ]
    )
    error = np.hypot(
        chains.std(axis=0, ddof=1) / np.sqrt(n_chains), direct.std(axis=0, ddof=1) / np.sqrt(len(direct))
    )
    vary = error > 0
    score = (chains.mean(0) - direct.mean(0))[vary] / error[vary]
    return np.asarray(np.sign(score) * norm.isf(t.sf(np.abs(score), n_chains - 1)))


def main() -> None:
    """Print how the differences are spread, and the largest."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--chains", type=int, default=400)
    parser.add_argument("--cycles", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    z = geweke_z(n_chains=chosen.chains, n_cycles=chosen.cycles, seed=chosen.seed, progress=True)
    print(
        f"{chosen.chains} chains of {chosen.cycles} cycles, seed {chosen.seed}, {dt.date.today()}, "
        f"model version {MODEL_VERSION}"
    )
    print(
        pd.Series(z).describe(percentiles=[0.05, 0.95]).to_string(float_format=lambda value: f"{value:.2f}")
    )
    print(f"largest {np.abs(z).max():.2f}; Bonferroni at 1 %: {norm.isf(0.005 / z.size):.2f}")


if __name__ == "__main__":
    main()
