"""Hamiltonian Monte Carlo with many chains at once (layer: numerics).

All chains move together, so that each leapfrog step is a few matrix products (Neal 2011, Handbook of Markov
Chain Monte Carlo, chapter 5). The step size is adapted in the warm-up by dual averaging of the mean acceptance
(Hoffman & Gelman 2014, J Mach Learn Res 15:1593-1623, section 3.2), then kept.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from analysis.errors import FitError
from analysis.numerics.cumulative_link import Floats

TARGET_ACCEPTANCE = 0.8
FIRST_STEP = 0.34
STEPS_LOW, STEPS_HIGH = 5, 9
"""Leapfrog steps a move, drawn uniformly: with a step near 0.34 about half a period of a standard normal."""
JITTER = (0.7, 1.15)
"""Each chain's step is drawn anew each move within these shares of the adapted one."""
SHORT_EVERY, SHORT_STEP = 6, 0.25
"""Every sixth move uses a quarter of the step: where a standard deviation is small the posterior is narrow, and a
chain there would refuse every long move."""


class Density(Protocol):
    """A log density of many chains at once."""

    def value_and_gradient(self, z: Floats) -> tuple[Floats, Floats]:
        """Log density (n_chains,) and gradient (dimension, n_chains) at z (dimension, n_chains)."""
        ...

    def gradient(self, z: Floats) -> Floats:
        """Gradient alone, for the inner steps of a trajectory."""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class ChainState:
    """Where the chains stand and how they move; lets a run go on.

    Attributes
    ----------
    z : ndarray, shape (dimension, n_chains)
    value : ndarray, shape (n_chains,)
    gradient : ndarray, shape (dimension, n_chains)
    step : float
    n_moves : int
        Moves made so far.
    """

    z: Floats
    value: Floats
    gradient: Floats
    step: float
    n_moves: int


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Kept positions.

    Attributes
    ----------
    z : ndarray, shape (n_kept, dimension, n_chains)
    acceptance : float
        Mean acceptance probability over the kept moves.
    state : ChainState
    """

    z: Floats
    acceptance: float
    state: ChainState


def start_chains(density: Density, start: Floats, *, n_chains: int, rng: np.random.Generator) -> ChainState:
    """Scatter chains round `start` with standard normal noise.

    Parameters
    ----------
    density : Density
    start : ndarray, shape (dimension,)
    n_chains : int
    rng : numpy.random.Generator

    Returns
    -------
    ChainState

    Raises
    ------
    FitError
        If any chain finds no start at a finite density.
    """
    z = start[:, None] + rng.standard_normal((start.size, n_chains))
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # not finite is dealt with here
        value, gradient = density.value_and_gradient(z)
        for shrink in (0.5, 0.1, 0.0):
            bad = ~np.isfinite(value)
            if not bad.any():
                break
            z[:, bad] = start[:, None] * shrink + shrink * rng.standard_normal((start.size, int(bad.sum())))
            value, gradient = density.value_and_gradient(z)
    if not np.isfinite(value).all():
        raise FitError("The draws could not start; please keep the log and report it.")
    return ChainState(z, value, gradient, FIRST_STEP, 0)


def warm_up(density: Density, state: ChainState, *, n_moves: int, rng: np.random.Generator) -> ChainState:
    """Move the chains and adapt the step size to the target acceptance.

    Parameters
    ----------
    density : Density
    state : ChainState
    n_moves : int
    rng : numpy.random.Generator

    Returns
    -------
    ChainState
    """
    log_step_centre = np.log(2.0 * state.step)
    gap_sum, log_average = 0.0, np.log(state.step)
    step, n_long = state.step, 0
    halfway = state.z
    for m in range(n_moves):
        if m == n_moves // 2:
            halfway = state.z
        short = _is_short(state)
        state, accepted = _move(density, replace(state, step=step), rng)
        if short:
            continue
        n_long += 1
        gap_sum += TARGET_ACCEPTANCE - accepted
        log_step = min(log_step_centre - np.sqrt(n_long) / 0.3 * gap_sum / (n_long + 10), 0.0)
        weight = n_long**-0.75
        log_average = weight * log_step + (1.0 - weight) * log_average
        step = float(np.exp(log_step))
    return replace(_reseat(state, halfway, rng), step=float(np.exp(log_average)))


def _reseat(state: ChainState, halfway: Floats, rng: np.random.Generator) -> ChainState:
    """Chains that did not move in the second half of the warm-up take the place of one that did."""
    stuck = (state.z == halfway).all(axis=0)
    moved = np.flatnonzero(~stuck)
    if not stuck.any() or not moved.size:
        return state
    source = np.arange(stuck.size)
    source[stuck] = rng.choice(moved, size=int(stuck.sum()))
    return replace(state, z=state.z[:, source], value=state.value[source], gradient=state.gradient[:, source])


def sample(density: Density, state: ChainState, *, n_moves: int, rng: np.random.Generator) -> Draws:
    """Keep the position after each of `n_moves` moves.

    Parameters
    ----------
    density : Density
    state : ChainState
    n_moves : int
    rng : numpy.random.Generator

    Returns
    -------
    Draws
    """
    kept = np.empty((n_moves, *state.z.shape))
    total = 0.0
    for m in range(n_moves):
        state, accepted = _move(density, state, rng)
        kept[m] = state.z
        total += accepted
    return Draws(kept, total / max(n_moves, 1), state)


def _move(density: Density, state: ChainState, rng: np.random.Generator) -> tuple[ChainState, float]:
    """One leapfrog trajectory of every chain and its acceptance."""
    momentum = rng.standard_normal(state.z.shape)
    step = state.step * rng.uniform(*JITTER, size=state.value.size)
    if _is_short(state):
        step = step * SHORT_STEP
    energy = state.value - 0.5 * (momentum**2).sum(0)
    z, moved = state.z.copy(), np.empty_like(momentum)
    momentum += np.multiply(0.5 * step, state.gradient, out=moved)
    n_steps = int(rng.integers(STEPS_LOW, STEPS_HIGH + 1))
    # A chain that runs away overflows; its energy is then not finite and the move is refused below.
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        for _ in range(n_steps - 1):
            z += np.multiply(step, momentum, out=moved)
            momentum += np.multiply(step, density.gradient(z), out=moved)
        z += np.multiply(step, momentum, out=moved)
        value, gradient = density.value_and_gradient(z)
        momentum += np.multiply(0.5 * step, gradient, out=moved)
        change = value - 0.5 * (momentum**2).sum(0) - energy
    change = np.where(np.isfinite(change), change, -np.inf)
    chance = np.exp(np.minimum(change, 0.0))
    accept = rng.random(chance.size) < chance
    new = ChainState(
        np.where(accept, z, state.z),
        np.where(accept, value, state.value),
        np.where(accept, gradient, state.gradient),
        state.step,
        state.n_moves + 1,
    )
    return new, float(chance.mean())


def _is_short(state: ChainState) -> bool:
    return state.n_moves % SHORT_EVERY == SHORT_EVERY - 1
