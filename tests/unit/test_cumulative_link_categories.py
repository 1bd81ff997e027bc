"""Which categories keep a probability of their own."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.models.cumulative_link_categories import estimable_categories

EXACT = [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("low", "high", "kept", "low_at", "high_at"),
    [
        pytest.param(EXACT, EXACT, (0, 1, 2, 3), EXACT, EXACT, id="all seen"),
        pytest.param([0, 2, 5], [0, 2, 5], (0, 2, 5), [0, 1, 2], [0, 1, 2], id="empty ones between"),
        pytest.param([3, 7], [3, 7], (3, 7), [0, 1], [0, 1], id="empty ones outside"),
        pytest.param([0, 0, 2], [0, 1, 2], (0, 2), [0, 0, 1], [0, 0, 1], id="ends only: joins the one below"),
        pytest.param(
            [0, 1, 2], [0, 2, 2], (0, 2), [0, 1, 1], [0, 1, 1], id="begins only: joins the one above"
        ),
        pytest.param([0, 1, 0], [1, 2, 2], (1,), [0, 0, 0], [0, 0, 0], id="all overlap"),
        pytest.param([0, 1, 2, 0], [0, 1, 2, 2], (0, 1, 2), [0, 1, 2, 0], [0, 1, 2, 2], id="silent row"),
    ],
)
def test_categories(low, high, kept, low_at, high_at) -> None:
    found_low, found_high, found = estimable_categories(np.array(low), np.array(high))
    assert found == kept
    np.testing.assert_array_equal(found_low, low_at)
    np.testing.assert_array_equal(found_high, high_at)
