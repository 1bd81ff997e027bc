"""Clients drawn from the pain model's own prior, with centres of load fixed before any answer.

Such clients agree with the model exactly, so statements about its posterior hold exactly too, whatever the coach
does with the answers: the next load may depend on everything logged so far, but on nothing else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from unittest import mock

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit
from scipy.stats import t

from analysis.design import Design
from analysis.design_terms import SIDE_CODE, TERM_NAMES, TERMS
from analysis.models import draws as product_draws
from analysis.models.draws import DrawnPosterior, draw_posterior
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import N_CUTPOINTS, PainLayout
from analysis.numerics.cumulative_link import cutpoints_from_gaps, row_terms, with_open_ends
from analysis.numerics.prior import Prior
from analysis.results import LineKey
from analysis.schema import STANDARD_VARIANT

Floats = NDArray[np.float64]
Coach = Callable[[float, int], float]
"""From the load of the last set of an exercise and side (octaves from the centre) and its answer to the next load."""

ALARM = 0.01
"""Chance that a check of any number of means raises an alarm although all is well."""
LEVEL = 2
PROVOKED = TERM_NAMES.index("provoked")
STEP_UP, STEP_DOWN, FURTHEST = 0.15, 0.35, 1.5  # octaves of load


def coach(ell: float, answer: int) -> float:
    """A step up after a quiet set, two and a half down after a painful one, the same after a 1."""
    if answer >= LEVEL:
        return max(ell - STEP_DOWN, -FURTHEST)
    return min(ell + STEP_UP, FURTHEST) if answer == 0 else ell


def draw_parameters(prior: Prior, rng: np.random.Generator) -> tuple[Floats, Floats]:
    """theta, shape (P,), and phi, shape (n_blocks,), from the prior."""
    theta = rng.normal(prior.mean, prior.sd)
    phi = np.array([rng.normal(b.log_sd_mean, b.log_sd_sd) for b in prior.blocks])
    for block, log_sd in zip(prior.blocks, phi, strict=True):
        u = rng.standard_normal(block.size)
        if block.structure is not None:
            u = np.linalg.solve(np.linalg.cholesky(block.structure).T, u)
        theta[block.span] = np.exp(log_sd) * u
    return theta, phi


def played(
    design: Design,
    layout: PainLayout,
    theta: Floats,
    rng: np.random.Generator,
    *,
    steer: Coach | None = None,
    first: int = 0,
) -> Design:
    """The design with answers drawn set by set, and with loads the coach chose where there is one.

    Parameters
    ----------
    design : Design
        Rows in the order of the sets; its loads stand where there is no coach, and are the first ones otherwise.
    layout : PainLayout
        Of `design`.
    theta : ndarray, shape (P,)
    rng : numpy.random.Generator
    steer : callable, optional
        Chooses the next load of an exercise and side.
    first : int, default 0
        Row from which answers are drawn; those before stand.
    """
    p = layout.predictor
    cutpoints = cutpoints_from_gaps(theta[:N_CUTPOINTS])
    sore = theta[N_CUTPOINTS + 1 + PROVOKED]
    slope = np.exp(theta[N_CUTPOINTS] + theta[p.group_slice(0)])[design.exercise]
    rest = p.eta(theta)[0] - slope * design.ell - sore * design.X[:, PROVOKED]
    ell, X = design.ell.copy(), design.X.copy()
    answer = np.empty(design.low.size, dtype=np.int64)
    latest: dict[int, int] = {}
    sore_today: set[int] = set()
    uniform = rng.random(design.low.size)
    for i, (side, session) in enumerate(zip(design.exercise_side, design.session, strict=True)):
        if i < first:
            answer[i] = design.low[i]
        elif steer is not None and side in latest:
            ell[i] = steer(ell[latest[side]], int(answer[latest[side]]))
        X[i, PROVOKED] = session in sore_today
        if i >= first:
            eta = rest[i] + slope[i] * ell[i] + sore * X[i, PROVOKED]
            answer[i] = (expit(eta - cutpoints) > uniform[i]).sum()
        latest[side] = i
        if answer[i] >= LEVEL:
            sore_today.add(session)
    return replace(design, low=answer, high=answer.copy(), X=X, ell=ell)


def small_design(*, n_sessions: int, n_exercises: int = 2, n_sets: int = 2, days_apart: int = 3) -> Design:
    """A design without answers: one-legged exercises, both sides, every set at the centre of its load."""
    exercises = tuple(f"exercise {e}" for e in range(n_exercises))
    rows = [
        (session, exercise, side, number)
        for session in range(n_sessions)
        for exercise in range(n_exercises)
        for number in range(n_sets)
        for side in range(2)
    ]
    session, exercise, side, number = (np.array(column, dtype=np.int64) for column in zip(*rows, strict=True))
    days_back = days_apart * (n_sessions - 1 - session)
    week = -((days_back + 6) // 7)
    weeks = tuple(sorted({int(w) for w in week if w < 0}))
    raw = {term.name: np.full(session.size, term.reference) for term in TERMS}
    per_session = n_exercises * n_sets * 2
    raw["place"] = 1.0 + np.arange(session.size) % per_session
    raw["set_number"] = 1.0 + number
    raw["side"] = np.where(side == 0, SIDE_CODE["left"], SIDE_CODE["right"])
    usual = {term.name: term.reference for term in TERMS} | {"reps": np.nan, "hold_s": np.nan}
    quiet = np.zeros(session.size, dtype=np.int64)
    return Design(
        low=quiet,
        high=quiet.copy(),
        X=np.column_stack([(raw[term.name] - term.reference) / term.scale for term in TERMS]),
        ell=np.zeros(session.size),
        exercise=exercise,
        exercise_side=2 * exercise + side,
        variant=np.full(session.size, -1, dtype=np.int64),
        session=session,
        week=np.array([weeks.index(w) if w < 0 else -1 for w in week], dtype=np.int64),
        week_time=-days_back / 7.0,
        exercises=exercises,
        exercise_sides=tuple((e, s, s) for e in exercises for s in ("left", "right")),
        variants=(),
        weeks=weeks,
        n_sessions=n_sessions,
        centre_log2_kg={(e, STANDARD_VARIANT): 4.0 for e in exercises},
        usual={e: dict(usual) for e in exercises},
        furthest_rank={},
        range_ranks={},
        stop_rom_pct={},
        weeks_of_data=float(days_back.max()) / 7.0,
    )


def with_one_more_session(design: Design) -> Design:
    """The design with its last session once more on the same day, so that "now" and every prior stay as they are."""
    again = np.flatnonzero(design.session == design.n_sessions - 1)
    rows = {
        name: np.concatenate([getattr(design, name), getattr(design, name)[again]])
        for name in ("low", "high", "X", "ell", "exercise", "exercise_side", "variant", "week", "week_time")
    }
    session = np.concatenate([design.session, np.full(again.size, design.n_sessions)])
    return replace(design, **rows, session=session, n_sessions=design.n_sessions + 1)


def with_new_session_effect(
    layout: PainLayout, theta: Floats, phi: Floats, rng: np.random.Generator
) -> Floats:
    """Draws with the effect of one more session put in, shape (P + 1, n_draws); `layout` is that of the old design."""
    end = layout.predictor.group_slice(layout.group_of["session"]).stop
    effect = np.exp(phi[layout.phi_of["session"]]) * rng.standard_normal(theta.shape[1])
    return np.concatenate([theta[:end], effect[None], theta[end:]])


def log_probability(layout: PainLayout, theta: Floats) -> Floats:
    """Log-probability of each answer under each draw, shape (n, n_draws)."""
    p = layout.predictor
    cutpoints = with_open_ends(cutpoints_from_gaps(theta[: p.J]))
    eta, _ = p.eta(theta)
    return row_terms(cutpoints[p.upper_cut] - eta, cutpoints[p.lower_cut] - eta).log_probability


def lines_of(design: Design) -> list[LineKey]:
    """Every line with a load, base variants only where the design has no others."""
    return [
        LineKey(exercise=exercise, variant=variant, side=side, works=works)  # type: ignore[arg-type]
        for exercise, works, side in design.exercise_sides
        for of, variant in design.centre_log2_kg
        if of == exercise
    ]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RawPosterior:
    """What the product's draws were before they were given names.

    Attributes
    ----------
    theta : ndarray, shape (P, n_draws)
    phi : ndarray, shape (n_blocks, n_draws)
        Both in the order move by move, all chains of a move together.
    drawn : DrawnPosterior
    """

    theta: Floats
    phi: Floats
    drawn: DrawnPosterior


def raw_posterior(layout: PainLayout, design: Design, options: PainOptions) -> RawPosterior:
    """Run the product's `draw_posterior` and keep the raw draws it names last."""
    with mock.patch.object(product_draws, "name_draws", wraps=product_draws.name_draws) as named:
        drawn = draw_posterior(layout, design, lines_of(design), LEVEL, options)
    _, _, theta, phi = named.call_args.args
    return RawPosterior(theta=theta, phi=phi, drawn=drawn)


def by_chain(draws: Floats) -> Floats:
    """Raw draws, shape (n, n_draws), as (n_moves, n_chains, n)."""
    return draws.reshape(draws.shape[0], -1, product_draws.N_CHAINS).transpose(1, 2, 0)


def error_of_mean(draws: Floats) -> Floats:
    """Monte Carlo error of the mean of draws (n_moves, n_chains, n), from how far the chains' own means lie apart.

    Over 40 fits of one client these errors were right within 3 %. Those from the effective size of ranks were 15 %
    too small, for means of lines, whose tails are long, up to 37 %.
    """
    return np.asarray(draws.mean(axis=0).std(axis=0, ddof=1) / np.sqrt(draws.shape[1]))


def largest_error(n: int) -> float:
    """How many of those errors the largest of n means may be off, in all but ALARM of cases (Bonferroni)."""
    return float(t.isf(0.5 * ALARM / n, product_draws.N_CHAINS - 1))
