"""The median of pairwise slopes, on the data of the paper that gave it its interval.

Sen 1968, J Am Stat Assoc 63:1379-1389, section 6: slope 4 with 93 % limits 26/7 and 35/8 (from the pairwise slopes;
the limits printed there are wrong, as authors of R packages note). Hollander & Wolfe, Nonparametric Statistical
Methods, example 9.1 (cloud seeding): slope -.05625. No shipped answer uses it yet; this pins scipy's conventions
(`theilslopes` takes y first, and a confidence level) for those that will.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from scipy.stats import theilslopes

EXACT = 1e-12
SEN = ([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])
SEEDING = ([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03])


def test_the_paper_s_own_example() -> None:
    x, y = SEN
    found = theilslopes(y, x, 0.93)
    assert found.slope == pytest.approx(4.0, abs=EXACT)
    assert (found.low_slope, found.high_slope) == pytest.approx((26 / 7, 35 / 8), abs=EXACT)
    assert theilslopes(y, x, 0.93, method="joint").intercept == pytest.approx(6.0, abs=EXACT)


@pytest.mark.parametrize(("data", "slope"), [(SEN, 4.0), (SEEDING, -0.05625)])
def test_it_is_the_median_of_the_slopes_of_all_pairs(data: tuple[list, list], slope: float) -> None:
    points = list(zip(*data, strict=True))
    slopes = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in combinations(points, 2)]
    assert np.median(slopes) == pytest.approx(slope, abs=EXACT)
    assert theilslopes(data[1], data[0]).slope == pytest.approx(slope, abs=EXACT)


def test_one_wild_score_does_not_move_it() -> None:
    """By hand: pain falling from 6 to 2 over eight weeks, with and without a 9 in week five."""
    weeks, pain = np.arange(1.0, 9.0), np.array([6.0, 5, 5, 4, 4, 3, 3, 2])
    wild = pain.copy()
    wild[4] = 9.0
    assert theilslopes(pain, weeks).slope == pytest.approx(-0.5, abs=EXACT)
    assert theilslopes(wild, weeks).slope == pytest.approx(-0.5, abs=EXACT)
    assert np.polyfit(weeks, wild, 1)[0] == pytest.approx(-13 / 28, abs=1e-9)
