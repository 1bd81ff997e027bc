"""Swapping left and right flips signs and nothing else; other units move a line by a constant and nothing else.

Exact, without draws: the posterior itself is looked at, at mirrored parameters. What the drawn answers make of it is
in ``test_invariance.py``.
"""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from analysis.design import Design, build_design
from analysis.design_terms import TERM_NAMES
from analysis.models.draws import laplace_start
from analysis.models.pain_layout import N_CUTPOINTS, PainLayout, pain_layout
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.numerics.curvature import Curvature
from analysis.observations import observations
from analysis.schema import KG_PER_LB
from analysis.simulate import simulate_client
from analysis.training_log import TrainingLog
from tests.property.test_invariance import FEW, changed

Floats = NDArray[np.float64]

ROUNDING = 1e-9
"""Relative, of a sum over some 200 rows."""
SEARCH = 1e-6
"""The search for the mode goes the same way on both sides, apart from rounding."""
OTHER = {"left": "right", "right": "left", "both": "both", "midline": "midline"}
SIDE = N_CUTPOINTS + 1 + TERM_NAMES.index("side")


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    return simulate_client(5, "W1").log


@pytest.fixture(scope="module")
def swapped(log: TrainingLog) -> TrainingLog:
    sets = log.sets.assign(
        side=log.sets["side"].map(OTHER),
        pain_left=log.sets["pain_right"],
        pain_right=log.sets["pain_left"],
    )
    sites = log.sites.assign(side=log.sites["side"].map(lambda side: OTHER.get(side, side)))
    return changed(log, sets, sites=sites)


def design_of(log: TrainingLog) -> Design:
    observed = observations(log, str(log.sets["client"].iloc[0]))
    return build_design(observed, variants=log.variants, ranges=log.ranges)


def log_posterior(layout: PainLayout, theta: Floats, phi: Floats) -> float:
    return Curvature(layout.predictor, theta).log_likelihood + float(layout.prior.log_density(theta, phi))


def mirrored(theta: Floats) -> Floats:
    """The same parameters for the swapped log, whose levels stand in the same order under other names."""
    flipped = theta.copy()
    flipped[SIDE] = -flipped[SIDE]
    return flipped


def test_the_posterior_of_swapped_sides_is_the_mirrored_one(log: TrainingLog, swapped: TrainingLog) -> None:
    here, there = design_of(log), design_of(swapped)
    assert there.exercise_sides == tuple((e, OTHER[w], OTHER[a]) for e, w, a in here.exercise_sides)
    layout, layout_there = pain_layout(here), pain_layout(there)
    rng = np.random.default_rng(3)
    for _ in range(5):
        theta = 0.5 * rng.standard_normal(layout.predictor.size)
        phi = rng.standard_normal(len(layout.phi_of))
        value = log_posterior(layout, theta, phi)
        assert log_posterior(layout_there, mirrored(theta), phi) == pytest.approx(value, rel=ROUNDING)
        assert log_posterior(layout_there, theta, phi) != pytest.approx(value, rel=ROUNDING)


def test_the_mode_of_swapped_sides_is_the_mirrored_one(log: TrainingLog, swapped: TrainingLog) -> None:
    here, there = laplace_start(pain_layout(design_of(log))), laplace_start(pain_layout(design_of(swapped)))
    assert here.point.theta[SIDE] != pytest.approx(0.0, abs=0.01)
    np.testing.assert_allclose(there.point.theta, mirrored(here.point.theta), atol=SEARCH)
    np.testing.assert_allclose(there.point.phi, here.point.phi, atol=SEARCH)
    sign = np.ones(here.point.theta.size)
    sign[SIDE] = -1.0
    np.testing.assert_allclose(there.point.H, sign[:, None] * here.point.H * sign, atol=1e-4)


def test_the_same_numbers_read_as_pounds_move_every_line_by_a_constant(log: TrainingLog) -> None:
    """Every draw, not only the medians: the model sees octaves from the centre, which are the same."""
    step = log.exercises.assign(unit="lb")
    pounds = changed(log, log.sets.assign(unit="lb"), exercises=step)
    client = str(log.sets["client"].iloc[0])
    here, there = (fit_pain_model(each, client=client, options=FEW) for each in (log, pounds))
    assert here.design is not None
    assert there.design is not None
    np.testing.assert_allclose(there.design.ell, here.design.ell, atol=1e-12)
    compared = 0
    for key, tried in here.tried.items():
        if tried.heaviest_kg is None:
            continue
        lines = [line_draws(fit, fit.design, key, level=2, chance=0.2) for fit in (here, there)]  # type: ignore[arg-type]
        np.testing.assert_allclose(lines[1] - lines[0], np.log2(KG_PER_LB), atol=SEARCH)
        compared += 1
    assert compared > 5


def test_there_are_two_sides_to_swap(log: TrainingLog) -> None:
    works = pd.unique(log.sets["side"])
    assert {"left", "right"} <= set(works)
