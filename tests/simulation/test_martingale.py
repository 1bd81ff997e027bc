"""Today's chance that the line lies above a load is the mean of the chances after a next session drawn from today.

A posterior is a martingale: what it expects to believe tomorrow is what it believes today. The next sessions are
drawn from the fit of today, with the coach choosing loads; each is then fitted anew from all its answers. They lie on
the day of the last session: a later day would move "now", and with it the meaning of the line and its priors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from analysis.design import Design
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import PainLayout, name_draws, pain_layout
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
    log_probability,
    played,
    raw_posterior,
    small_design,
    with_new_session_effect,
    with_one_more_session,
)

Floats = NDArray[np.float64]

N_SESSIONS_DRAWN = 50
TODAY, LATER = PainOptions(n_draws=4800), PainOptions(n_draws=640)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlook:
    """Chances that lines lie above loads, one column for each line and load.

    Attributes
    ----------
    today, today_error : ndarray, shape (n,)
        Chance in the fit of today, and its Monte Carlo error.
    refitted, refitted_error : ndarray, shape (n_drawn, n)
        After each next session, from a new fit.
    weighted, weighted_error : ndarray, shape (n_drawn, n)
        The same from today's draws, weighted by the likelihood of the session.
    """

    today: Floats
    today_error: Floats
    refitted: Floats
    refitted_error: Floats
    weighted: Floats
    weighted_error: Floats


def lines(layout: PainLayout, design: Design, raw: RawPosterior) -> Floats:
    named = name_draws(layout, design, raw.theta, raw.phi)
    return np.stack([line_draws(named, design, key, level=LEVEL, chance=0.2) for key in lines_of(design)])


def share(above: Floats, weight: Floats | None = None) -> tuple[Floats, Floats]:
    """Mean of yes-or-no draws (n, n_draws) and its Monte Carlo error, weighted where weights are given."""
    weight = np.ones(above.shape[1]) if weight is None else weight / weight.mean()
    mean = (above * weight).mean(1)
    return mean, error_of_mean(by_chain(weight * (above - mean[:, None])))


def outlook(*, sorer: float = 0.0, fit_again: bool = True) -> Outlook:
    """Today's chances and those after every drawn session; answers drawn `sorer` logits above the model's own.

    Without fitting again the chances by weighting stand in for those of the fits.
    """
    rng = np.random.default_rng(31)
    blank = small_design(n_sessions=4, n_exercises=2, n_sets=2)
    theta, _ = draw_parameters(pain_layout(blank).prior, rng)
    theta[0] = 1.0  # some pain, but not in every set
    design = played(blank, pain_layout(blank), theta, rng, steer=coach)
    layout = pain_layout(design)
    today = raw_posterior(layout, design, TODAY)
    line = lines(layout, design, today)
    loads = np.quantile(line, [0.25, 0.5, 0.75], axis=1).T  # (n_lines, 3)

    def above(line: Floats) -> Floats:
        return (line[:, None, :] > loads[:, :, None]).reshape(loads.size, -1).astype(float)

    chances = above(line)
    blank_later = with_one_more_session(design)
    layout_later = pain_layout(blank_later)
    later_draws = with_new_session_effect(layout, today.theta, today.phi, rng)
    new = slice(design.low.size, None)
    results: list[tuple[Floats, Floats, Floats, Floats]] = []
    for i in rng.choice(later_draws.shape[1], N_SESSIONS_DRAWN, replace=False):
        truth = later_draws[:, i].copy()
        truth[0] -= sorer
        later = played(blank_later, layout_later, truth, rng, steer=coach, first=design.low.size)
        fitted = pain_layout(later)
        log_weight = log_probability(fitted, later_draws)[new].sum(0)
        weighted_share = share(chances, np.exp(log_weight - log_weight.max()))
        if fit_again:
            refit = raw_posterior(fitted, later, LATER)
            results.append((*share(above(lines(fitted, later, refit))), *weighted_share))
        else:
            results.append((*weighted_share, *weighted_share))
    refitted, refitted_error, weighted, weighted_error = (
        np.array(part) for part in zip(*results, strict=True)
    )
    mean, error = share(chances)
    return Outlook(
        today=mean,
        today_error=error,
        refitted=refitted,
        refitted_error=refitted_error,
        weighted=weighted,
        weighted_error=weighted_error,
    )


@pytest.fixture(scope="module")
def seen() -> Outlook:
    return outlook()


def worst_drift(later: Floats, seen: Outlook) -> float:
    """Largest distance of the mean of tomorrow's chances from today's, as a multiple of the bound."""
    error = np.hypot(later.std(axis=0, ddof=1) / np.sqrt(len(later)), seen.today_error)
    return float(np.abs((later.mean(0) - seen.today) / error).max() / largest_error(seen.today.size))


def test_the_mean_of_tomorrow_is_today(seen: Outlook) -> None:
    assert seen.refitted.std(axis=0).min() > 0.03  # a session teaches something
    assert worst_drift(seen.refitted, seen) < 1.0
    assert worst_drift(seen.weighted, seen) < 1.0


def test_weighting_by_the_likelihood_of_the_session_is_fitting_again(seen: Outlook) -> None:
    apart = seen.refitted - seen.weighted
    z = apart / np.hypot(seen.refitted_error, seen.weighted_error)
    assert np.abs(z).max() < largest_error(z.size)
    assert np.corrcoef(seen.refitted.ravel(), seen.weighted.ravel())[0, 1] > 0.98


def test_sessions_that_hurt_more_than_the_model_says_are_noticed() -> None:
    """Every answer drawn one and a half logits too high."""
    moved = outlook(sorer=1.5, fit_again=False)
    assert worst_drift(moved.weighted, moved) > 1.5
