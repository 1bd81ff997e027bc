"""Laplace fit, then draws, made until every pain line's printed limits are stable (layer: models)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from analysis.design import Design
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import N_CUTPOINTS, NamedDraws, PainLayout, name_draws
from analysis.models.prediction import line_draws
from analysis.numerics.intervals import stability
from analysis.numerics.optimise import LaplaceFit, fit_laplace
from analysis.numerics.sampler import sample, start_chains, warm_up
from analysis.numerics.target import WhitenedPosterior
from analysis.results import LineKey

Floats = NDArray[np.float64]

N_CHAINS = 32
WARM_UP_MOVES = 20
MOST_MOVES = 304
"""Budget: 304 moves of 32 chains are 9,728 draws."""
MOVES_A_ROUND = 38
LARGEST_R_HAT = 1.05
FEWEST_EFFECTIVE = 400.0
FEWEST_TAIL_EFFECTIVE = 150.0
"""Effective draws behind each 2.5 % limit: its Monte Carlo error is then near a tenth of the posterior sd."""
LAPLACE_TOLERANCE = 0.02
"""Gradient of the criterion per unit of log sd at which the search for the mode stops: the draws do the rest."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPosterior:
    """Named draws with the figures of their convergence; see `Convergence` for the meaning."""

    named: dict[str, Floats]
    converged: bool
    max_gradient: float
    acceptance: float
    max_r_hat: float
    min_effective_size: float
    min_tail_effective_size: float
    n_draws: int


def laplace_start(layout: PainLayout) -> LaplaceFit:
    """Laplace fit from the prior's centre.

    Parameters
    ----------
    layout : PainLayout

    Returns
    -------
    LaplaceFit
    """
    start = np.zeros(layout.predictor.size)
    start[: N_CUTPOINTS + 1] = layout.prior.mean[: N_CUTPOINTS + 1]
    spread = 1.0 / layout.prior.log_sd_precision
    return fit_laplace(
        layout.predictor,
        layout.prior,
        start=start,
        phi_start=layout.prior.log_sd_mean,
        outer_scale=0.5 * spread,
        tolerance=LAPLACE_TOLERANCE,
    )


def draw_posterior(
    layout: PainLayout, design: Design, lines: Sequence[LineKey], level: int, options: PainOptions
) -> DrawnPosterior:
    """Draws of the posterior, until R-hat and effective sizes of every line are good or the budget is spent.

    Parameters
    ----------
    layout : PainLayout
    design : Design
    lines : sequence of LineKey
        Lines with a load term, whose stability is checked at chances .2 and .5.
    level : int
    options : PainOptions

    Returns
    -------
    DrawnPosterior
    """
    fit = laplace_start(layout)
    target = WhitenedPosterior(layout.predictor, layout.prior, fit)
    rng = np.random.default_rng(options.seed)
    state = start_chains(target, target.start, n_chains=N_CHAINS, rng=rng)
    state = warm_up(target, state, n_moves=WARM_UP_MOVES, rng=rng)
    kept: list[Floats] = []
    acceptance: list[float] = []
    n_moves = -(-options.n_draws // N_CHAINS)
    made = 0
    while True:
        draws = sample(target, state, n_moves=n_moves, rng=rng)
        state = draws.state
        kept.append(draws.z)
        acceptance.append(draws.acceptance)
        made += n_moves
        z = np.concatenate(kept)
        flat = np.moveaxis(z, 1, 0).reshape(z.shape[1], -1)  # (dimension, move x chain)
        named = name_draws(layout, design, *target.parameters(flat))
        r_hat, bulk, tail = _stability(named, design, lines, level, made)
        settled = (
            r_hat < LARGEST_R_HAT
            and bulk >= _scaled(FEWEST_EFFECTIVE, options)
            and tail >= _scaled(FEWEST_TAIL_EFFECTIVE, options)
        )
        if settled or made >= MOST_MOVES:
            break
        n_moves = MOVES_A_ROUND
    return DrawnPosterior(
        named={f.name: np.ascontiguousarray(getattr(named, f.name)) for f in fields(NamedDraws)},
        converged=bool(settled and fit.converged),
        max_gradient=fit.max_gradient,
        acceptance=float(np.mean(acceptance)),
        max_r_hat=r_hat,
        min_effective_size=bulk,
        min_tail_effective_size=tail,
        n_draws=made * N_CHAINS,
    )


def _scaled(fewest: float, options: PainOptions) -> float:
    """Fewer effective draws suffice where fewer than the usual 2,400 were asked for (80 % limits only)."""
    return fewest * min(1.0, options.n_draws / 2400.0)


def _stability(
    named: NamedDraws, design: Design, lines: Sequence[LineKey], level: int, n_moves: int
) -> tuple[float, float, float]:
    """Largest R-hat, smallest bulk and smallest tail effective size over all lines."""
    watched = [
        line_draws(named, design, key, level=level, chance=chance) for key in lines for chance in (0.2, 0.5)
    ]
    if not watched:
        watched = [named.intercepts[:, i] for i in range(named.intercepts.shape[1])]
    by_chain = np.stack(watched, axis=-1).reshape(n_moves, N_CHAINS, -1)
    checks = stability(by_chain, (0.025, 0.975))
    return float(checks.r_hat.max()), float(checks.bulk.min()), float(checks.tail.min())
