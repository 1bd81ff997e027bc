"""Stein identities on the draws of a fit: for draws z of a density pi, E grad log pi = 0 and E z grad log pi' = -I.

They need no other engine: if gradient and draws belong to different densities they fail. Both are taken in the
whitened coordinates, component by component, with Monte Carlo errors (as a check of samplers: Gorham & Mackey
2015, arXiv:1506.03039).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from analysis.design import Design
from analysis.models.draws import laplace_start
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import pain_layout
from analysis.models.pain_model import fit_pain_model
from analysis.numerics.target import WhitenedPosterior
from analysis.simulate import simulate_client
from tests.simulation.prior_clients import by_chain, error_of_mean, largest_error, raw_posterior

Floats = NDArray[np.float64]

OPTIONS = PainOptions(n_draws=4800)


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Draws in whitened coordinates, shape (n_moves, n_chains, dimension), and the density they are of.

    `normalising` is the part of the gradient that comes from the sds in front of the effects they scale.
    """

    z: Floats
    target: WhitenedPosterior
    normalising: Floats

    def gradient(self, z: Floats) -> Floats:
        """Gradient of the log density at z, in the shape of z."""
        flat = self.target.gradient(z.reshape(-1, z.shape[-1]).T)
        return flat.T.reshape(z.shape)


@pytest.fixture(scope="module", params=["W1", "W8"])
def drawn(request: pytest.FixtureRequest) -> Drawn:
    log = simulate_client(11, request.param).log
    fit = fit_pain_model(log, client="S-0001", options=OPTIONS)
    assert fit.design is not None
    return whitened(fit.design)


def whitened(design: Design) -> Drawn:
    """The draws of the fit of that design, made with the raw parameters kept."""
    layout = pain_layout(design)
    raw = raw_posterior(layout, design, OPTIONS)
    target = WhitenedPosterior(layout.predictor, layout.prior, laplace_start(layout))
    n = raw.theta.shape[0] + raw.phi.shape[0]
    centre = np.concatenate(target.parameters(np.zeros((n, 1))))
    T = np.concatenate(target.parameters(np.eye(n))) - centre
    z = np.linalg.solve(T, np.concatenate([raw.theta, raw.phi]) - centre)
    sizes = np.zeros(n)
    sizes[raw.theta.shape[0] :] = [block.size for block in layout.prior.blocks]
    return Drawn(by_chain(z), target, T.T @ sizes)


def z_statistics(values: Floats, expected: float) -> Floats:
    """Distance of the mean from what is expected in Monte Carlo errors; values (n_moves, n_chains, n)."""
    return (values.mean(axis=(0, 1)) - expected) / error_of_mean(values)


def first_identity(z: Floats, gradient: Floats) -> Floats:
    return z_statistics(gradient, 0.0)


def second_identity(z: Floats, gradient: Floats) -> Floats:
    return z_statistics((z - z.mean(axis=(0, 1))) * gradient, -1.0)


def whole(z: Floats, gradient: Floats) -> float:
    """The sum over all components, which should be minus the dimension."""
    total = ((z - z.mean(axis=(0, 1))) * gradient).sum(axis=2, keepdims=True)
    return float(z_statistics(total, -float(z.shape[2]))[0])


def test_the_gradient_is_zero_on_average(drawn: Drawn) -> None:
    statistics = first_identity(drawn.z, drawn.gradient(drawn.z))
    assert np.abs(statistics).max() < largest_error(statistics.size)


def test_position_times_gradient_is_minus_one(drawn: Drawn) -> None:
    gradient = drawn.gradient(drawn.z)
    statistics = second_identity(drawn.z, gradient)
    assert np.abs(statistics).max() < largest_error(statistics.size)
    assert abs(whole(drawn.z, gradient)) < largest_error(1)


def test_a_gradient_that_forgets_a_term_is_noticed(drawn: Drawn) -> None:
    """The prior of the effects without its normalising constant, which holds the log sds."""
    forgetful = drawn.gradient(drawn.z) + drawn.normalising
    statistics = first_identity(drawn.z, forgetful)
    assert np.abs(statistics).max() > 2 * largest_error(statistics.size)


def test_draws_a_tenth_too_narrow_are_noticed(drawn: Drawn) -> None:
    middle = drawn.z.mean(axis=(0, 1))
    narrow = middle + 0.9 * (drawn.z - middle)
    assert abs(whole(narrow, drawn.gradient(narrow))) > 2 * largest_error(1)
