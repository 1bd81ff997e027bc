"""Indices of left-right difference, each against the worked value of its source."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.numerics.side_indices import (
    bilateral_asymmetry_index,
    limb_symmetry_index,
    log_ratio_pct,
    percentage_difference,
    symmetry_angle,
    symmetry_index,
)


def test_limb_symmetry_index() -> None:
    # Definition: involved over uninvolved, times 100.
    assert limb_symmetry_index(80, 100) == 80


def test_percentage_difference_in_either_order() -> None:
    # Bishop et al. 2018, Strength Cond J 40(4):1-6: 100 - 100 / max * min. Formula from memory.
    assert percentage_difference(80, 100) == 20
    assert percentage_difference(100, 80) == 20


def test_symmetry_index() -> None:
    # Robinson et al. 1987: |L - R| / (0.5 (L + R)) * 100. Formula from memory.
    assert symmetry_index(80, 100) == pytest.approx(22.2222, abs=1e-4)
    assert symmetry_index(90, 100) == pytest.approx(10.53, abs=5e-3)


def test_symmetry_angle() -> None:
    # Zifchock et al. 2008, Gait Posture 27:622-627: (45 deg - arctan(L / R)) / 90 deg * 100.
    assert symmetry_angle(80, 100) == pytest.approx(7.04466, abs=1e-5)
    assert symmetry_angle(90, 100) == pytest.approx(3.348, abs=5e-4)
    assert symmetry_angle(100, 80) == pytest.approx(-7.04466, abs=1e-5)
    assert symmetry_angle(50, 50) == 0


def test_bilateral_asymmetry_index_and_log_ratio() -> None:
    # (D - ND) / (D + ND) * 100 and 100 ln of the ratio; formulas from memory, values by hand.
    assert bilateral_asymmetry_index(80, 100) == pytest.approx(-100 / 9)
    assert log_ratio_pct(80, 100) == pytest.approx(-22.3144, abs=1e-4)
    assert log_ratio_pct(90, 100) == pytest.approx(-10.5361, abs=1e-4)


def test_four_indices_of_one_pair_differ() -> None:
    pair = (80.0, 100.0)
    found = {
        round(float(index(*pair)), 3)
        for index in (limb_symmetry_index, percentage_difference, symmetry_index, symmetry_angle)
    }
    assert len(found) == 4


def test_only_the_limb_symmetry_index_depends_on_the_reference() -> None:
    left, right = np.array([80.0, 72.0]), np.array([100.0, 80.0])
    for index in (percentage_difference, symmetry_index):
        np.testing.assert_allclose(index(left, right), index(right, left))
    for signed in (symmetry_angle, bilateral_asymmetry_index, log_ratio_pct):
        np.testing.assert_allclose(signed(left, right), -signed(right, left))
    assert not np.allclose(limb_symmetry_index(left, right), limb_symmetry_index(right, left))


def test_the_other_side_before_gives_another_answer_than_the_other_side_now() -> None:
    # Wellsandt et al. 2017, JOSPT: 72 now, the other side 80 now and 100 before: LSI 90, of estimated capacity 72.
    assert limb_symmetry_index(72, 80) == 90
    assert limb_symmetry_index(72, 100) == 72
