"""Loads of the equipment, the rule of the chance, and the arithmetic of dose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.questions.proposal_history import two_for_two
from analysis.questions.proposal_loads import (
    acsm_range_kg,
    allowed_load_kg,
    equipment_loads_kg,
    heaviest_at_most,
    next_step_kg,
    step_as_share,
    time_under_tension_s,
    volume_load_kg,
)
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import TriedLoad
from analysis.schema import KG_PER_LB
from tests.unit.made_proposals import TRIED, day, risk

SETTINGS = ProposalSettings()


def test_volume_load_of_three_sets_of_ten_at_50_kg() -> None:
    assert volume_load_kg(n_sets=3, reps=10, load_kg=50.0) == 1500.0


def test_acsm_2009_step_on_60_kg() -> None:
    """Ratamess et al. 2009, Med Sci Sports Exerc 41:687-708: 2 to 10 %."""
    assert acsm_range_kg(60.0) == pytest.approx((61.2, 66.0), abs=1e-12)
    low, high = acsm_range_kg(60.0)
    assert [load for load in np.arange(60.0, 70.0, 2.5) if low <= load <= high] == [62.5, 65.0]


def test_a_small_plate_on_a_light_load_is_a_large_step() -> None:
    assert step_as_share(2.5, 20.0) == 0.125
    assert step_as_share(2.5, 20.0) > SETTINGS.reps_first_above


@pytest.mark.parametrize(("before", "last", "expected"), [(12, 12, True), (12, 11, False), (11, 12, False)])
def test_two_for_two(before: float, last: float, expected: bool) -> None:
    """NSCA (Baechle and Earle): two reps over the goal in the last set of two sessions running; goal 10."""
    days = [
        day(3, (12.0, 3, 0), last_reps=float(before), target_reps=10.0),
        day(0, (12.0, 3, 0), last_reps=float(last), target_reps=10.0),
    ]
    assert two_for_two(days) is expected


def test_two_for_two_is_not_known_without_two_sessions_or_a_target() -> None:
    assert two_for_two([day(0, (12.0, 3, 0), last_reps=12.0, target_reps=10.0)]) is None
    assert two_for_two([day(3, (12.0, 3, 0)), day(0, (12.0, 3, 0), target_reps=None)]) is None


@pytest.mark.parametrize(
    ("phases_s", "reps", "expected"), [((3.0, 1.0, 2.0, 0.0), 10, 60.0), ((4.0, 0.0, 1.0, 0.0), 8, 40.0)]
)
def test_time_under_tension(phases_s: tuple[float, ...], reps: int, expected: float) -> None:
    """3-1-2-0 of 10 reps; 40X0 of 8 reps with an X of 1 s (common practice)."""
    assert time_under_tension_s(phases_s, reps) == expected


def test_loads_are_whole_steps_from_a_load_that_exists() -> None:
    tried = replace(TRIED, loads=(TriedLoad(load_kg=7.0, n_asked=1, n_painful=0),), load_step_kg=2.0)
    assert equipment_loads_kg(tried, 7.0).tolist() == [1.0, 3.0, 5.0, 7.0, 9.0]


def test_loads_tried_between_the_steps_stay() -> None:
    tried = replace(
        TRIED,
        loads=tuple(TriedLoad(load_kg=load, n_asked=1, n_painful=0) for load in (14.0, 15.0, 16.0)),
        load_step_kg=2.0,
    )
    loads = equipment_loads_kg(tried, 14.0)
    assert next_step_kg(loads, 14.0) == 15.0
    assert next_step_kg(loads, 16.0) == 18.0


def test_steps_in_pounds_stay_in_pounds() -> None:
    tried = replace(
        TRIED,
        loads=(TriedLoad(load_kg=25 * KG_PER_LB, n_asked=1, n_painful=0),),
        load_step_kg=5 * KG_PER_LB,
        unit="lb",
    )
    pounds = equipment_loads_kg(tried, 25 * KG_PER_LB) / KG_PER_LB
    assert pounds == pytest.approx([5, 10, 15, 20, 25, 30], abs=1e-6)


def test_without_a_known_step_only_the_loads_tried_are_sure() -> None:
    assert equipment_loads_kg(replace(TRIED, load_step_kg=None), 12.0).tolist() == [8.0, 12.0, 14.0]


def test_with_bodyweight_nothing_below_the_lightest_tried() -> None:
    tried = replace(
        TRIED,
        loads=(TriedLoad(load_kg=70.0, n_asked=3, n_painful=0),),
        load_step_kg=2.5,
        load_basis="bodyweight",
    )
    assert equipment_loads_kg(tried, 70.0).tolist() == [70.0, 72.5]


def test_a_step_up_needs_the_pessimistic_reading_and_holding_the_mean() -> None:
    loads = np.arange(8.0, 14.0)
    # The 20th percentile of this line is log2(13) - 0.05 log 4, or 12.39 kg.
    assert allowed_load_kg(loads, 12.0, risk(13.0), SETTINGS) == 12.0
    assert allowed_load_kg(loads, 12.0, risk(13.0, sd=1e-6), SETTINGS) == 12.0
    assert allowed_load_kg(loads, 12.0, risk(13.01, sd=1e-6), SETTINGS) == 13.0
    # The mean chance at 11 is .2, the whole of what may hurt; 95 % of it is asked for, or the setting's share.
    assert allowed_load_kg(loads, 12.0, risk(11.0), SETTINGS) == 10.0
    assert allowed_load_kg(loads, 12.0, risk(11.0), replace(SETTINGS, held_share=1.0)) == 11.0
    assert allowed_load_kg(loads, 12.0, risk(5.0), SETTINGS) is None


def test_above_a_quiet_load_the_mean_is_not_enough() -> None:
    """Mean chance at 13 is .17, its 80 % quantile above .2: 13 stays closed unless 13 itself was quiet."""
    loads = np.arange(8.0, 14.0)
    assert allowed_load_kg(loads, 12.0, risk(13.3, sd=0.2), SETTINGS) == 12.0
    assert allowed_load_kg(loads, 13.0, risk(13.3, sd=0.2), SETTINGS) == 13.0


def test_another_dial_moves_the_load() -> None:
    loads = np.arange(8.0, 14.0)
    assert allowed_load_kg(loads, 13.0, risk(12.0), replace(SETTINGS, may_hurt=0.1)) == 11.0


def test_nothing_within_a_cap() -> None:
    assert heaviest_at_most(np.array([8.0, 10.0]), 9.0) == 8.0
    assert heaviest_at_most(np.array([8.0, 10.0]), 7.0) is None
    assert next_step_kg(np.array([8.0, 10.0]), 10.0) is None
