"""Columns that follow from a set, worked out by hand on small logs (layer: tests)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
import pandas as pd
import pytest

from analysis.client_settings import client_settings
from analysis.derive import derive_sets, last_logged_day, load_step_kg
from analysis.errors import OptionError
from analysis.log import log_from_frames
from analysis.observations import observations
from analysis.training_log import TrainingLog


def one_day(*rows: dict[str, object], **tables: Sequence[dict[str, object]]) -> TrainingLog:
    """Log of sets of one client, numbered in order on 2026-03-02 unless a row says otherwise."""
    plain = {
        "client": "K-31",
        "date": "2026-03-02",
        "exercise": "step-down",
        "side": "left",
        "reps": 8,
    }
    sets = [plain | {"set": number} | row for number, row in enumerate(rows, start=1)]
    frames = {name: pd.DataFrame(list(lines)) for name, lines in tables.items()}
    return log_from_frames(sets=pd.DataFrame(sets), **frames)


def column(log: TrainingLog, name: str, *, as_of: dt.date | None = None) -> list[object]:
    """Derived column of the client, NaN as None."""
    values = derive_sets(log, "K-31", as_of=as_of)[name]
    return [None if pd.isna(value) else value for value in values]


def test_pounds_become_kilograms_and_are_never_doubled() -> None:
    log = one_day(
        {"load": 20, "unit": "lb", "load_basis": "per hand"},
        {"load": 20, "unit": "kg", "load_basis": "per hand"},
        {"load": 20, "load_basis": "per hand"},
    )
    # 20 lb x 0.45359237 kg = 9.0718474 kg
    assert column(log, "load_kg") == [pytest.approx(9.0718474, abs=1e-12), 20, 20]
    assert column(log, "load_term_kg") == column(log, "load_kg")


def test_a_blank_unit_is_the_clients_own() -> None:
    log = one_day({"load": 20}, {"load": 20, "unit": "kg"}, clients=[{"client": "K-31", "unit": "lb"}])
    assert column(log, "load_kg") == [pytest.approx(9.0718474), 20]
    mostly = one_day({"load": 20}, {"load": 20, "unit": "lb"})
    assert client_settings(mostly, "K-31").unit == "lb"
    assert column(mostly, "load_kg") == [pytest.approx(9.0718474), pytest.approx(9.0718474)]


def test_bodyweight_counts_with_what_was_added_or_assisted() -> None:
    sets = (
        {"load": 10, "load_basis": "bodyweight"},
        {"load": -15, "load_basis": "bodyweight"},
        {"load_basis": "bodyweight"},
    )
    known = one_day(*sets, clients=[{"client": "K-31", "bodyweight_kg": 70}])
    assert column(known, "load_term_kg") == [80, 55, 70]
    assert column(known, "load_kg") == [10, -15, None]
    assert column(one_day(*sets), "load_term_kg") == [None, None, None]


def test_bands_zero_and_blank_loads_have_no_load_term() -> None:
    log = one_day(
        {"exercise": "side step", "load_basis": "band", "band": "green"},
        {"exercise": "hinge", "load": 0, "load_basis": "total"},
        {"exercise": "wall sit"},
        {"exercise": "row on a pin", "load": 25, "load_basis": "stack"},
    )
    assert column(log, "load_term_kg") == [None, None, None, 25]


def test_a_blank_basis_follows_the_variant_the_exercise_the_band_then_total() -> None:
    log = one_day(
        {"load": 12},
        {"load": 12, "load_basis": "per hand"},
        {"load": 12, "variant": "high box"},
        {"exercise": "hinge", "load": 12},
        {"exercise": "side step", "band": "green"},
        exercises=[{"exercise": "step-down", "load_basis": "stack"}],
    )
    assert column(log, "load_basis") == ["per hand", "per hand", "stack", "total", "band"]


def test_a_blank_variant_is_the_standard_one_and_works_is_the_side() -> None:
    log = one_day({}, {"variant": "low box", "side": "both"})
    assert column(log, "variant") == ["standard", "low box"]
    assert column(log, "works") == ["left", "both"]


def test_planned_reps_leave_out_what_pain_cut_short() -> None:
    log = one_day(
        {"reps": 8},
        {"reps": 3, "stopped_for": "pain"},
        {"reps": 3, "stopped_for": "pain", "target_reps": 10},
        {"reps": 9, "target_reps": 10},
        {"reps": None, "hold_s": 30},
    )
    assert column(log, "planned_reps") == [8, None, 10, 10, None]


def test_tempo_becomes_seconds() -> None:
    log = one_day({"tempo": "4-1-2-3"}, {"tempo": "31X0"}, {})
    assert column(log, "lowering_s") == [4, 3, None]
    assert column(log, "pause_s") == [4, 1, None]  # both pauses together
    assert column(log, "lifting_s") == [2, 1, None]  # X is counted as 1 s


def test_range_is_as_measured_else_as_listed_for_the_stop() -> None:
    log = one_day(
        {"range_stop": "full", "rom_pct": 92},
        {"range_stop": "half"},
        {"range_stop": "full"},
        {"range_stop": "half", "exercise": "hinge"},
        {"rom_pct": 80},
        ranges=[
            {"exercise": "step-down", "order": 7, "range_stop": "full", "rom_pct": 100},
            {"exercise": "step-down", "order": 2, "range_stop": "half", "rom_pct": 55},
        ],
    )
    assert column(log, "rom_pct") == [92, 55, 100, None, 80]
    assert column(log, "range_rank") == [1, 0, 1, None, None]


def test_reserve_stands_in_for_effort_from_rpe_7_up() -> None:
    # RIR = 10 - RPE near failure (Zourdos et al. 2016, J Strength Cond Res 30:267-275); below 7 not exact.
    log = one_day({"rir": 3}, {"rpe": 8}, {"rpe": 9.5}, {"rpe": 6}, {"rpe": 8, "rir": 1}, {})
    assert column(log, "rir") == [3, 2, 0.5, None, 1, None]


def test_place_and_number_leave_out_preparation_and_cool_down() -> None:
    log = one_day(
        {"exercise": "ankle rocks", "block": "preparation", "side": "both"},
        {"block": "main"},
        {"side": "right"},
        {},
        {"exercise": "hinge", "side": "both"},
        {"block": "cool-down"},
        {"set": 1, "date": "2026-03-04"},
    )
    assert column(log, "place") == [None, 1, 2, 3, 4, None, 1]
    assert column(log, "set_number") == [None, 1, 1, 2, 1, None, 1]


def test_prepared_means_a_preparation_set_stood_earlier_in_the_session() -> None:
    log = one_day(
        {},
        {"block": "preparation"},
        {},
        {"set": 1, "session": 2},
    )
    assert column(log, "prepared") == [False, False, True, False]


def test_provoked_means_something_hurt_earlier_in_the_session() -> None:
    log = one_day(
        {"pain_left": 1},
        {"pain_right": 2},
        {"pain_left": 0},
        {"set": 1, "session": 2, "stopped_for": "pain"},
        {"set": 2, "session": 2},
        {"set": 3, "session": 2},
        {"set": 1, "date": "2026-03-04"},
    )
    assert column(log, "provoked") == [False, False, True, False, True, True, False]
    strict = one_day({"pain_left": 2}, {}, clients=[{"client": "K-31", "pain_level": 3}])
    assert column(strict, "provoked") == [False, False]


def test_arrival_and_painkiller_come_from_their_own_files() -> None:
    log = one_day(
        {},
        {"set": 1, "session": 2},
        {"set": 1, "date": "2026-03-04"},
        sessions=[{"client": "K-31", "date": "2026-03-02", "session": 2, "pain_on_arrival": 3}],
        days=[
            {"client": "K-31", "date": "2026-03-04", "painkiller": True},
            {"client": "K-31", "date": "2026-03-02", "painkiller": False},
        ],
    )
    assert column(log, "pain_on_arrival") == [None, 3, None]
    assert column(log, "painkiller") == [False, False, True]


def test_weeks_are_blocks_of_seven_days_before_the_day_of_the_last_set() -> None:
    days = ["2026-03-02", "2026-03-09", "2026-03-10", "2026-03-16"]
    log = one_day(
        *({"set": 1, "date": day} for day in days),
        days=[{"client": "K-31", "date": "2026-03-20"}],
    )
    assert column(log, "days_back") == [14, 7, 6, 0]
    assert column(log, "week") == [-2, -1, -1, 0]
    assert column(log, "week", as_of=dt.date(2026, 3, 10)) == [-2, -1, 0]
    assert column(log, "days_back", as_of=dt.date(2026, 3, 15)) == [8, 1, 0]
    assert last_logged_day(log, "K-31") == dt.date(2026, 3, 20)


def test_as_of_is_inclusive_and_may_leave_nothing() -> None:
    log = one_day({"pain_left": 1})
    assert len(derive_sets(log, "K-31", as_of=dt.date(2026, 3, 2))) == 1
    assert len(derive_sets(log, "K-31", as_of=dt.date(2026, 3, 1))) == 0
    assert len(observations(log, "K-31", as_of=dt.date(2026, 3, 1))) == 0


def test_a_client_without_records_is_an_error_that_lists_the_others() -> None:
    with pytest.raises(OptionError, match="'K-99'; this log has: K-31"):
        derive_sets(one_day({}), "K-99")
    with pytest.raises(OptionError, match="K-31"):
        last_logged_day(one_day({}), "K-99")


def test_both_sides_asked_gives_two_observations() -> None:
    log = one_day({"side": "both", "pain_left": 3, "pain_right": 0}, {"side": "left", "pain_right": 2})
    seen = observations(log, "K-31")
    assert seen[
        ["set", "works", "asked_side", "pain_low", "pain_high", "censored", "hurt"]
    ].values.tolist() == [
        [1, "both", "left", 3, 3, False, True],
        [1, "both", "right", 0, 0, False, False],
        [2, "left", "right", 2, 2, False, True],
    ]


def test_sets_that_were_not_asked_are_no_observations_and_blank_is_not_zero() -> None:
    log = one_day({}, {"pain_midline": 0}, {"stopped_for": "effort"}, {"burn": 8})
    seen = observations(log, "K-31")
    assert seen["set"].tolist() == [2]
    assert seen["asked_side"].tolist() == ["midline"]
    assert column(log, "asked") == [False, True, False, False]


@pytest.mark.parametrize(
    ("works", "main_side", "asked_side"),
    [
        ("left", "right", "left"),
        ("both", "right", "right"),
        ("both", "both", "midline"),
        ("both", None, "midline"),
    ],
)
def test_a_set_stopped_for_pain_without_a_score_is_at_least_the_level(
    works: str, main_side: str | None, asked_side: str
) -> None:
    log = one_day(
        {"side": works, "stopped_for": "pain", "reps": 0},
        clients=[{"client": "K-31", "pain_level": 3}],
        sites=[{"client": "K-31", "site": "kneecap", "region": "knee", "side": main_side, "main": True}],
    )
    (seen,) = observations(log, "K-31").to_dict("records")
    assert (seen["asked_side"], seen["pain_low"], seen["pain_high"]) == (asked_side, 3, 10)
    assert seen["censored"]
    assert seen["hurt"]
    assert seen["asked"]


def test_a_score_of_a_stopped_set_is_taken_as_it_is() -> None:
    (seen,) = observations(one_day({"stopped_for": "pain", "pain_left": 1}), "K-31").to_dict("records")
    assert (seen["pain_low"], seen["pain_high"], seen["censored"], seen["hurt"]) == (1, 1, False, False)


def test_settings_of_a_client_fall_back_to_their_defaults() -> None:
    bare = client_settings(one_day({}), "K-31")
    assert (bare.unit, bare.pain_level, bare.bodyweight_kg, bare.site_name) == ("kg", 2, None, None)
    log = one_day(
        {},
        clients=[{"client": "K-31", "unit": "lb", "pain_level": 4, "limit_during": 3, "bodyweight_kg": 71.5}],
        sites=[
            {"client": "K-31", "site": "heel", "region": "foot", "side": "left", "main": None},
            {"client": "K-31", "site": "kneecap", "region": "knee", "side": "right", "main": True},
        ],
    )
    full = client_settings(log, "K-31")
    assert (full.unit, full.pain_level, full.limit_during, full.limit_after) == ("lb", 4, 3, None)
    assert (full.bodyweight_kg, full.site_name, full.site_region, full.site_side) == (
        71.5,
        "kneecap",
        "knee",
        "right",
    )


def test_the_equipment_step_is_listed_or_seen_twice() -> None:
    loads = [{"load": load} for load in (8, 10, 12, 13, 16)]
    assert (
        load_step_kg(one_day(*loads), "K-31", "step-down") == 2
    )  # 8-10 and 10-12; 12-13 and 13-16 once only
    assert load_step_kg(one_day({"load": 8}, {"load": 10}), "K-31", "step-down") is None
    listed = one_day(*loads, exercises=[{"exercise": "step-down", "load_step": 5, "unit": "lb"}])
    assert load_step_kg(listed, "K-31", "step-down") == pytest.approx(2.26796185)  # 5 x 0.45359237


def test_nothing_depends_on_the_order_of_rows_or_the_labels_of_sessions() -> None:
    rng = np.random.default_rng(8)
    rows = [
        {
            "date": f"2026-03-{2 + 2 * (i // 12):02d}",
            "session": 1 + (i // 6) % 2,
            "set": 1 + i % 6,
            "side": "left" if i % 2 else "right",
            "load": float(rng.choice([8, 10, 12])),
            "pain_left": int(rng.integers(0, 5)) if i % 3 else None,
            "stopped_for": "pain" if i % 7 == 0 else None,
            "block": "preparation" if i % 6 == 0 else None,
        }
        for i in range(36)
    ]
    plain = observations(one_day(*rows), "K-31")
    turned = observations(one_day(*(rows[i] for i in rng.permutation(36))), "K-31")
    relabelled = observations(one_day(*(row | {"session": row["session"] * 3 + 1} for row in rows)), "K-31")
    assert len(plain) > 20
    pd.testing.assert_frame_equal(turned.drop(columns="source_row"), plain.drop(columns="source_row"))
    pd.testing.assert_frame_equal(relabelled.drop(columns="session"), plain.drop(columns="session"))


def test_other_clients_change_nothing() -> None:
    mine = [{"load": 12, "pain_left": 2}, {"load": 14, "pain_left": 0}]
    other = [{"client": "B-02", "load": 90, "pain_left": 9, "load_basis": "stack", "unit": "lb"}]
    alone, together = one_day(*mine), one_day(*mine, *other)
    pd.testing.assert_frame_equal(observations(together, "K-31"), observations(alone, "K-31"))
    assert last_logged_day(together, "K-31") == last_logged_day(alone, "K-31")
