"""Parameters and answers drawn both ways round agree, with a coach inside; what does not belong together is noticed.

``python tests/simulation/geweke.py --chains 400 --cycles 60`` is the longer run.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import norm

from analysis.design import Design
from analysis.numerics.target import WhitenedPosterior
from tests.simulation.geweke import World, geweke_z

Floats = NDArray[np.float64]

ALARM = 0.01
"""Chance that any of about a hundred features raises an alarm although all is well (Bonferroni)."""


def alarm(z: Floats) -> bool:
    return bool(np.abs(z).max() > norm.isf(0.5 * ALARM / z.size))


def test_both_ways_agree() -> None:
    z = geweke_z(n_chains=60, n_cycles=20)
    assert z.size > 80
    assert not alarm(z)


def test_a_likelihood_that_reads_scores_one_too_high_is_noticed() -> None:
    def one_higher(design: Design) -> Design:
        higher = np.minimum(design.low + 1, 5)
        return replace(design, low=higher, high=higher)

    assert alarm(geweke_z(n_chains=20, n_cycles=15, told=one_higher))


def test_a_centre_that_follows_the_answers_is_noticed() -> None:
    """Loads the coach chose because of pain, centred at their own median: the likelihood no longer fits the prior."""

    def centred(design: Design) -> Design:
        return replace(design, ell=design.ell - np.median(design.ell))

    assert alarm(geweke_z(n_chains=60, n_cycles=20, told=centred))


class WithoutNormalising:
    """The target without the factor that keeps the effects' prior a density whatever their sd."""

    def __init__(self, target: WhitenedPosterior, world: World) -> None:
        sizes = np.zeros(target.P + target.k)
        sizes[target.P :] = [block.size for block in world.layout.prior.blocks]
        self.target, self.tilt = target, world.factor.T @ sizes

    def value_and_gradient(self, z: Floats) -> tuple[Floats, Floats]:
        value, gradient = self.target.value_and_gradient(z)
        return value + self.tilt @ z, gradient + self.tilt[:, None]

    def gradient(self, z: Floats) -> Floats:
        return self.target.gradient(z) + self.tilt[:, None]


def test_a_prior_that_is_no_density_is_noticed() -> None:
    assert alarm(geweke_z(n_chains=20, n_cycles=15, distorted=WithoutNormalising))
