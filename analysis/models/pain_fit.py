"""The record of a fitted pain model: what was asked, on what, the draws, and how well it went (layer: models)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analysis.design import Design
from analysis.errors import OptionError
from analysis.results import Finding, LineKey, Tried

Floats = NDArray[np.float64]

ENGINE = "ordinal mixed model, Laplace start, Hamiltonian draws"
MODEL_VERSION = "3"
"""Raised whenever the same log could give other answers."""


FEWEST_DRAWS = 128
"""Four moves of 32 chains: fewer cannot be split to see whether the chains agree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PainOptions:
    """What may be chosen about the fit.

    Attributes
    ----------
    n_draws : int
        Fewest draws kept; more are made until the printed limits are stable.
    seed : int
        Of the draws.
    blanks : {"left_out", "quiet"}
        Unasked sets stay out, or are read as "0 or 1".
    painkiller_days : bool
        Whether sets of marked painkiller days enter.
    """

    n_draws: int = 2400
    seed: int = 20_260_101
    blanks: Literal["left_out", "quiet"] = "left_out"
    painkiller_days: bool = False

    def __post_init__(self) -> None:
        if self.n_draws < FEWEST_DRAWS:
            raise OptionError(f"n_draws is {self.n_draws}; choose {FEWEST_DRAWS} or more.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Convergence:
    """How the fit went.

    Attributes
    ----------
    converged : bool
        Gradient small at the mode, chains agreeing and enough effective draws for every line.
    max_gradient : float
        Largest component of the Laplace criterion's gradient.
    acceptance : float
        Mean acceptance of the draws.
    max_r_hat : float
        Largest rank-normalised split R-hat over the lines.
    min_effective_size, min_tail_effective_size : float
        Smallest effective number of draws over the lines: bulk, and for the 95 % limits.
    n_draws : int
    seconds : float
    """

    converged: bool
    max_gradient: float
    acceptance: float
    max_r_hat: float
    min_effective_size: float
    min_tail_effective_size: float
    n_draws: int
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PainFit:
    """Posterior of the pain model of one client.

    Attributes
    ----------
    client : str
    as_of : date
        Last logged day that counts, inclusive.
    last_set_day : date or None
        Day of the last set; "now" is that day.
    first_set_day : date or None
    level : int
        Pain that counts, the client's own.
    options : PainOptions
    n_sets, n_asked, n_sessions : int
        All sets; sets with an answer in the model; sessions with any set.
    share_of_zeros, unasked_share : float
        Over the asked answers; over all sets.
    design : Design or None
        None when nothing was asked.
    cutpoints : ndarray, shape (n_draws, 5), logit scale
    intercepts, slopes, drifts : ndarray, shape (n_draws, n)
        Per exercise-and-side: offset; per exercise: slope per octave, and trend per week.
    variant_offsets : ndarray, shape (n_draws, n_variants)
    coefficients : ndarray, shape (n_draws, n_terms)
        In the order of `design_terms.TERMS`.
    week_offsets : ndarray, shape (n_draws, n_weeks)
        Walk of the past weeks, relative to the day of the last session.
    day_sd : ndarray, shape (n_draws,)
    tried : dict
        What was tried and seen, per line.
    unasked : dict
        Lines of work that no answer in the model speaks of.
    convergence : Convergence
    findings : tuple of Finding
    """

    client: str
    as_of: dt.date
    last_set_day: dt.date | None
    first_set_day: dt.date | None
    level: int
    options: PainOptions
    n_sets: int
    n_asked: int
    n_sessions: int
    share_of_zeros: float
    unasked_share: float
    design: Design | None
    cutpoints: Floats
    intercepts: Floats
    slopes: Floats
    drifts: Floats
    variant_offsets: Floats
    coefficients: Floats
    week_offsets: Floats
    day_sd: Floats
    tried: dict[LineKey, Tried]
    unasked: dict[LineKey, Tried]
    convergence: Convergence
    findings: tuple[Finding, ...]

    def __post_init__(self) -> None:
        for name in (
            "cutpoints",
            "intercepts",
            "slopes",
            "drifts",
            "variant_offsets",
            "coefficients",
            "week_offsets",
            "day_sd",
        ):
            getattr(self, name).setflags(write=False)
