"""Which data send which parameters to infinity: small cases whose answer can be seen by eye."""

from __future__ import annotations

import numpy as np

from analysis.numerics.predictor import Rows
from analysis.numerics.separation import separation

X = np.array([-3.0, -2.0, -1.0, 1.0, 2.0, 3.0])


def apart(low, X, *, high=None, J: int, free=None):
    low = np.asarray(low)
    X = np.asarray(X, dtype=float).reshape(low.size, -1)
    free = np.ones(X.shape[1], dtype=bool) if free is None else np.asarray(free)
    return separation(Rows(low, low if high is None else np.asarray(high), X, (), None, J), free)


def test_overlap_is_finite() -> None:
    assert apart([0, 0, 1, 0, 1, 1], X, J=1) is None


def test_a_perfect_gap_sends_the_slope_up() -> None:
    found = apart([0, 0, 0, 1, 1, 1], X, J=1)
    signs = found.signs(np.eye(2))
    assert signs[1] == 1.0
    assert signs[0] != 0.0
    assert (found.rows.low == 0).all()
    assert (found.rows.high == 1).all()


def test_proportional_odds_hide_the_gap_between_two_of_three() -> None:
    """0 below the gap and 1, 2 mixed above: one slope for both cutpoints must also serve the mixed ones."""
    assert apart([0, 0, 0, 2, 1, 2], X, J=2) is None
    assert apart([0, 0, 0, 1, 1, 2], X, J=2) is not None


def test_quasi_separation_leaves_the_rest_finite() -> None:
    """A marked group that only ever answers 0: its coefficient falls for ever, the cutpoints stay."""
    marked = np.array([1, 1, 0, 0, 0, 0])
    found = apart([0, 0, 0, 1, 0, 1], np.column_stack([marked, [1, 2, 3, 1, 1, 2]]), J=1)
    np.testing.assert_array_equal(found.signs(np.eye(3)), [0.0, -1.0, 0.0])
    np.testing.assert_array_equal(found.rows.high, [1, 1, 0, 1, 0, 1])
    np.testing.assert_array_equal(found.rows.low, [0, 0, 0, 1, 0, 1])


def test_a_centred_column_takes_its_cutpoint_along() -> None:
    """With the mark centred the cutpoint runs on that scale, and stays on the natural one."""
    marked = np.array([1, 1, 0, 0, 0, 0])
    found = apart([0, 0, 0, 1, 0, 1], marked - 1 / 3, J=1)
    assert (found.signs(np.eye(2)) != 0).all()
    np.testing.assert_array_equal(found.signs(np.array([[1.0, 1 / 3], [0.0, 1.0]])), [0.0, -1.0])


def test_a_prior_holds_the_coefficient() -> None:
    assert apart([0, 0, 0, 1, 1, 1], X, J=1, free=[False]) is None


def test_censored_rows_can_mend_the_gap() -> None:
    assert apart([0, 0, 1, 0, 1, 1], X, high=[0, 1, 1, 1, 1, 1], J=1) is not None
    assert apart([0, 0, 1, 0, 1, 1], X, high=[0, 1, 1, 0, 1, 1], J=1) is None
