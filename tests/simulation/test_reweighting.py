"""Changing the prior by weighting the draws gives what a new fit under that prior gives.

Weights are the ratio of the two priors at each draw (Geweke 1989, Econometrica 57:1317-1339); Monte Carlo errors are
those of both sets of draws.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from analysis.design import Design
from analysis.design_terms import TERM_NAMES
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import N_CUTPOINTS, PainLayout, name_draws, pain_layout
from analysis.models.prediction import line_draws
from tests.simulation.prior_clients import (
    LEVEL,
    RawPosterior,
    by_chain,
    coach,
    draw_parameters,
    error_of_mean,
    largest_error,
    lines_of,
    played,
    raw_posterior,
    small_design,
)

Floats = NDArray[np.float64]

OPTIONS = PainOptions(n_draws=4800)
SIDE = N_CUTPOINTS + 1 + TERM_NAMES.index("side")


def narrower_side(layout: PainLayout) -> PainLayout:
    sd = layout.prior.sd.copy()
    sd[SIDE] = 1.2
    return replace(layout, prior=replace(layout.prior, sd=sd))


def steeper_slope(layout: PainLayout) -> PainLayout:
    mean, sd = layout.prior.mean.copy(), layout.prior.sd.copy()
    mean[N_CUTPOINTS], sd[N_CUTPOINTS] = np.log(3.5), 0.7
    return replace(layout, prior=replace(layout.prior, mean=mean, sd=sd))


def steadier_days(layout: PainLayout) -> PainLayout:
    blocks = list(layout.prior.blocks)
    at = layout.phi_of["session"]
    blocks[at] = replace(blocks[at], log_sd_mean=float(np.log(0.45)), log_sd_sd=0.4)
    return replace(layout, prior=replace(layout.prior, blocks=tuple(blocks)))


@pytest.fixture(scope="module")
def design() -> Design:
    blank = small_design(n_sessions=8, n_exercises=2, n_sets=2)
    layout = pain_layout(blank)
    rng = np.random.default_rng(12)
    theta, _ = draw_parameters(layout.prior, rng)
    theta[0] = 1.0  # some pain, but not in every set
    return played(blank, layout, theta, rng, steer=coach)


@pytest.fixture(scope="module")
def before(design: Design) -> RawPosterior:
    return raw_posterior(pain_layout(design), design, OPTIONS)


def quantities(layout: PainLayout, design: Design, raw: RawPosterior) -> Floats:
    """What is compared, shape (n_quantities, n_draws): lines, coefficients, log sds."""
    named = name_draws(layout, design, raw.theta, raw.phi)
    lines = [line_draws(named, design, key, level=LEVEL, chance=0.2) for key in lines_of(design)]
    return np.stack([*lines, raw.theta[0], raw.theta[N_CUTPOINTS], raw.theta[SIDE], *raw.phi])


def log_ratio(old: PainLayout, new: PainLayout, raw: RawPosterior) -> Floats:
    return new.prior.log_density(raw.theta, raw.phi) - old.prior.log_density(raw.theta, raw.phi)


def disagreement(x: Floats, weight: Floats, refitted: Floats) -> Floats:
    """Difference of the means in standard errors; arrays (n_quantities, n_draws), weights (n_draws,)."""
    weight = weight / weight.mean()
    weighted = (weight * x).mean(1)
    error = error_of_mean(by_chain(weight * (x - weighted[:, None])))  # of a ratio estimate
    return (weighted - refitted.mean(1)) / np.hypot(error, error_of_mean(by_chain(refitted)))


@pytest.fixture(scope="module", params=[narrower_side, steeper_slope, steadier_days])
def again(request: pytest.FixtureRequest, design: Design) -> tuple[PainLayout, RawPosterior]:
    """The layout with another prior, and the fit under it."""
    new = request.param(pain_layout(design))
    return new, raw_posterior(new, design, replace(OPTIONS, seed=4))


def worst_disagreement(
    design: Design, before: RawPosterior, again: tuple[PainLayout, RawPosterior], weight: Floats
) -> float:
    """Largest disagreement over all quantities, as a multiple of the bound."""
    new, refit = again
    x, refitted = quantities(pain_layout(design), design, before), quantities(new, design, refit)
    return float(np.abs(disagreement(x, weight, refitted)).max() / largest_error(len(x)))


def test_weighting_agrees_with_fitting_again(
    design: Design, before: RawPosterior, again: tuple[PainLayout, RawPosterior]
) -> None:
    ratio = log_ratio(pain_layout(design), again[0], before)
    weight = np.exp(ratio - ratio.max())
    assert weight.sum() ** 2 / (weight**2).sum() > 800  # enough draws matter for the errors to hold
    assert worst_disagreement(design, before, again, weight) < 1.0


def test_the_change_of_prior_can_be_seen(
    design: Design, before: RawPosterior, again: tuple[PainLayout, RawPosterior]
) -> None:
    """Without the weights the same comparison fails, so the agreement above is not for want of draws."""
    assert worst_disagreement(design, before, again, np.ones(before.theta.shape[1])) > 1.5
