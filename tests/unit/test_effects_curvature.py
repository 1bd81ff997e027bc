"""The factored curvature of the effects against plain dense algebra."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.errors import FitError
from analysis.numerics.effects_curvature import EffectsLayout, factored
from analysis.numerics.predictor import Group

N = 60
RNG = np.random.default_rng(5)
GROUPS = tuple(Group(RNG.integers(0, size, N), RNG.normal(size=N), size) for size in (3, 9, 4))


def dense_rows(layout: EffectsLayout, groups: tuple[Group, ...]) -> np.ndarray:
    Z = np.zeros((N, layout.size))
    for group, span in zip(groups, layout.spans, strict=True):
        Z[np.arange(N), span.start + group.index] = group.value
    return Z


@pytest.mark.parametrize("n_factors", [1, 2, 3])
def test_everything_asked_of_the_inverse(n_factors: int) -> None:
    rng = np.random.default_rng(n_factors)
    groups = GROUPS[:n_factors]
    layout = EffectsLayout(groups)
    Z = dense_rows(layout, groups)
    weights, precision = rng.random(N), 0.1 + rng.random(layout.size)
    H = Z.T @ (weights[:, None] * Z) + np.diag(precision)
    S = np.linalg.inv(H)
    curvature = factored(layout, weights, precision)
    assert curvature.log_det == pytest.approx(np.linalg.slogdet(H)[1])
    for right in (rng.normal(size=layout.size), rng.normal(size=(layout.size, 3))):
        np.testing.assert_allclose(curvature.solve(right), S @ right, atol=1e-12)
    diagonal, of_rows = curvature.variances()
    np.testing.assert_allclose(diagonal, np.diag(S), atol=1e-12)
    np.testing.assert_allclose(of_rows, np.diag(Z @ S @ Z.T), atol=1e-12)
    ways, in_prior = rng.normal(size=(N, 4)), rng.normal(size=(layout.size, 4))
    moved = [S @ (Z.T @ (ways[:, [a]] * Z) + np.diag(in_prior[:, a])) for a in range(4)]
    expected = [[np.trace(one @ other) for other in moved] for one in moved]
    np.testing.assert_allclose(curvature.traces(ways, in_prior), expected, atol=1e-10)


def test_the_largest_factor_comes_first() -> None:
    layout = EffectsLayout(GROUPS)
    assert layout.spans == (slice(9, 12), slice(0, 9), slice(12, 16))


def test_a_curvature_that_is_not_positive_definite_is_an_error() -> None:
    layout = EffectsLayout(GROUPS[:2])
    with pytest.raises(FitError):
        factored(layout, np.full(N, np.nan), np.ones(layout.size))
    with pytest.raises(FitError):
        factored(layout, np.full(N, -5.0), np.ones(layout.size))
