"""Centres of load and the prior of the weeks, worked out by hand."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analysis.design import LONGEST_TREND_WEEKS, build_design
from analysis.design_centres import load_centres
from analysis.models.pain_layout import _walk_structure, pain_layout
from analysis.observations import observations
from tests.small_logs import small_log, squat

ORDER = pd.DataFrame({"exercise": ["step-down"], "order": [1], "variant": ["supported"]})
NO_ORDER = ORDER.iloc[:0]


def observed(*rows: tuple[str, float, int]) -> pd.DataFrame:
    """Rows of (variant, load in kg, days back)."""
    frame = pd.DataFrame(list(rows), columns=["variant", "load_term_kg", "days_back"])
    return frame.assign(exercise="step-down")


def test_the_base_is_centred_at_its_recent_median() -> None:
    rows = observed(("standard", 8, 0), ("standard", 8, 7), ("standard", 16, 83), ("standard", 64, 84))
    base, centres = load_centres(rows, NO_ORDER)
    assert base == {"step-down": "standard"}
    assert centres["step-down", "standard"] == pytest.approx(3.0)


def test_with_fewer_than_three_recent_sets_all_count() -> None:
    rows = observed(("standard", 8, 0), ("standard", 8, 7), ("standard", 32, 90), ("standard", 32, 99))
    assert load_centres(rows, NO_ORDER)[1]["step-down", "standard"] == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("load_kg", "own"),
    [(16.0, 1.0 / (1.0 + 0.0625)), (8.0, 0.0), (8 * 2**0.25, 0.25 / 2), (4.0, -1.0 / (1.0 + 0.0625))],
)
def test_another_variant_shares_the_centre_while_loads_agree(load_kg: float, own: float) -> None:
    """d^3 / (d^2 + .25^2) octaves from the base's 8 kg: half shared at a quarter of an octave."""
    rows = observed(*[("standard", 8, 0)] * 3, *[("low box", load_kg, 0)] * 3)
    assert load_centres(rows, NO_ORDER)[1]["step-down", "low box"] == pytest.approx(3.0 + own)


def test_the_base_is_the_easiest_tried_then_the_standard_then_the_most_used() -> None:
    three = observed(("standard", 8, 0), ("supported", 16, 0), ("low box", 4, 0), ("low box", 4, 0))
    assert load_centres(three, ORDER)[0] == {"step-down": "supported"}
    assert load_centres(three, NO_ORDER)[0] == {"step-down": "standard"}
    assert load_centres(three[three["variant"] != "standard"], NO_ORDER)[0] == {"step-down": "low box"}


def test_a_base_without_any_load_gives_way_to_a_variant_with_loads() -> None:
    rows = observed(("standard", np.nan, 0), ("low box", 16, 0))
    base, centres = load_centres(rows, NO_ORDER)
    assert base == {"step-down": "low box"}
    assert centres == {("step-down", "low box"): pytest.approx(4.0)}


def test_the_walk_widens_with_the_gap_between_weeks() -> None:
    """Middles of weeks -5, -2, -1 lie 32, 11 and 4 days before now: so many sevenths of a squared sd."""
    covariance = np.linalg.inv(_walk_structure((-5, -2, -1)))
    np.testing.assert_allclose(7 * covariance, [[32, 11, 4], [11, 11, 4], [4, 4, 4]], atol=1e-12)


def test_answers_of_decades_ago_count_as_five_years_old_in_the_trend() -> None:
    log = small_log([squat(day, 1, 8.0 + day % 3, 0) for day in (0, 1, 20 * 365)])
    rows = observations(log, "T-01")
    design = build_design(rows, variants=log.variants, ranges=log.ranges)
    layout = pain_layout(design)
    trend = layout.predictor.rows.X[:, -1]
    assert design.week_time.min() < -1000
    assert trend.min() == -LONGEST_TREND_WEEKS
    assert layout.prior.sd[0] < np.hypot(2.0, 0.07 * LONGEST_TREND_WEEKS) + 1e-9
