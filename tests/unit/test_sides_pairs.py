"""Sets of left and right side by side, and each side's own past: small logs whose counts are done by hand."""

from __future__ import annotations

import pytest
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from analysis.observations import observations
from analysis.questions.sides_pairs import comparable, pain_between_sides, paired_reps, side_by_side
from analysis.questions.sides_past import own_past
from analysis.results import Estimate, Withheld
from analysis.results_sides import OwnPast, PainBetweenSides, PairedReps, SideKey
from tests.small_logs import small_log, squat

KEY = SideKey(exercise="step-down", variant="standard", works="each")
BOTH = SideKey(exercise="step-down", variant="standard", works="both")


def pair(day: int, left: dict, right: dict, *, first: str = "left", number: int = 1) -> list[dict]:
    at = {"left": 2 * number - (first == "left"), "right": 2 * number - (first == "right")}
    return [
        squat(day, at["left"], 10.0, 0, side="left") | left,
        squat(day, at["right"], 10.0, None, side="right") | {"pain_right": 0} | right,
    ]


def reps_of(rows: list[dict]) -> PairedReps | Withheld:
    seen = comparable(observations(small_log(rows), "T-01"))
    return paired_reps(side_by_side(seen, "each"), KEY, confidence_level=0.8)


def pain_of(rows: list[dict], works: str = "each") -> PainBetweenSides:
    seen = comparable(observations(small_log(rows), "T-01"))
    return pain_between_sides(side_by_side(seen, works), confidence_level=0.8)  # type: ignore[arg-type]


def test_reps_are_compared_where_the_reserve_is_alike() -> None:
    # Two pairs in each of three sessions; session means of left minus right: -1, -1.5, -2.
    reps = [(8, 9), (8, 9), (7, 8), (7, 9), (6, 8), (6, 8)]
    rows = [
        row
        for i, (left, right) in enumerate(reps)
        for row in pair(3 * (i // 2), {"reps": left, "rir": 2}, {"reps": right, "rir": 3}, number=1 + i % 2)
    ]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert (found.n_pairs, found.n_same_way, found.n_fair, found.n_left_first) == (6, 6, 6, 6)
    assert found.n_reps_matched == 0
    assert isinstance(found.reps, Estimate)
    half = stats.t.ppf(0.9, 2) * 0.5 / 3**0.5
    assert found.reps.value == pytest.approx(-1.5)
    assert (found.reps.low, found.reps.high) == pytest.approx((-1.5 - half, -1.5 + half))
    assert (found.reps.n_sets, found.reps.n_sessions) == (6, 3)
    assert isinstance(found.reserve, Estimate)
    assert found.reserve.value == pytest.approx(-1.0)


def test_a_side_held_back_to_match_is_not_known() -> None:
    rows = [row for day in range(8) for row in pair(day, {"rir": 0}, {"rir": 4})]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert (found.n_right_held_back, found.n_left_held_back, found.n_fair) == (8, 0, 0)
    assert found.n_reps_matched == 8
    assert isinstance(found.reps, Withheld)
    assert found.reps.reason == "Right held back to match in 8 of 8 pairs: not known."
    assert isinstance(found.reserve, Withheld)


def test_a_test_of_both_sides_counts_whatever_the_reserve() -> None:
    test = {"test_set": True}
    rows = [row for day in range(6) for row in pair(day, test | {"reps": 6}, test | {"reps": 10, "rir": 5})]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert (found.n_fair, found.n_right_held_back, found.n_effort_unknown) == (6, 0, 0)
    assert isinstance(found.reps, Estimate)
    assert (found.reps.value, found.reps.low, found.reps.high) == (-4.0, -4.0, -4.0)
    assert isinstance(found.reserve, Withheld)


def test_a_reserve_logged_on_one_side_only_is_unknown_and_rpe_stands_in() -> None:
    rows = [row for day in range(8) for row in pair(day, {"rir": 2}, {})]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert found.n_effort_unknown == 8
    assert isinstance(found.reps, Withheld)
    assert found.reps.reason == "Reps in reserve not logged on both sides in 8 of 8 pairs: not known."
    with_rpe = reps_of([row for day in range(8) for row in pair(day, {"rir": 2}, {"rpe": 8})])
    assert isinstance(with_rpe, PairedReps)
    assert with_rpe.n_fair == 8


def test_other_loads_ranges_tempos_and_pain_stops_make_no_fair_pair() -> None:
    same = {"rir": 2, "tempo": "3-0-1-0", "rom_pct": 90}
    others = [{"load": 12.0}, {"rom_pct": 80}, {"tempo": "2-0-1-0"}, {"stopped_for": "pain"}, {"tempo": None}]
    rows = [row for day, other in enumerate(others) for row in pair(day, same, same | other)]
    found = reps_of(rows + pair(9, same, same))
    assert isinstance(found, PairedReps)
    assert (found.n_pairs, found.n_same_way, found.n_fair) == (6, 1, 1)
    assert isinstance(found.reps, Withheld)
    assert found.reps.reason == "Only 1 pair at the same load, range, tempo and effort."


def test_which_side_led_and_whether_reps_were_matched() -> None:
    rows = pair(0, {}, {}) + pair(1, {"reps": 7}, {}, first="right") + pair(2, {}, {}, first="right")
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert (found.n_left_first, found.n_right_first, found.n_reps_matched) == (1, 2, 2)


def test_sets_pair_by_their_number_within_the_side() -> None:
    rows = [
        squat(0, 1, 10.0, 0),
        squat(0, 2, 10.0, 0),
        squat(0, 3, 10.0, None, side="right") | {"pain_right": 1},
        squat(0, 4, 14.0, None, side="right") | {"pain_right": 2},
    ]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert (found.n_pairs, found.n_same_way, found.n_left_first) == (2, 1, 2)
    assert pain_of(rows).right_higher == 1


def test_holds_are_compared_in_seconds() -> None:
    held = {"reps": None, "rir": 2}
    rows = [row for day in range(6) for row in pair(day, held | {"hold_s": 20}, held | {"hold_s": 30})]
    found = reps_of(rows)
    assert isinstance(found, PairedReps)
    assert isinstance(found.reps, Estimate)
    assert (found.reps.value, found.reps.unit) == (-10.0, "seconds")


def test_sides_never_in_one_session_and_two_sided_work() -> None:
    apart = [squat(0, 1, 10.0, 0), squat(1, 1, 10.0, None, side="right") | {"pain_right": 0}]
    assert isinstance(reps_of(apart), Withheld)
    two_sided = [squat(0, 1, 40.0, 2, side="both", pain_right=0)]
    seen = comparable(observations(small_log(two_sided), "T-01"))
    found = paired_reps(side_by_side(seen, "both"), BOTH, confidence_level=0.8)
    assert isinstance(found, Withheld)
    assert found.reason == "Both sides work together, so they share reps and effort."


def test_pain_within_two_sided_sets() -> None:
    scores = [(3, 0), (2, 1), (1, 0), (2, 2), (0, 1), (4, 1), (2, 0), (0, 0)]
    rows = [
        squat(day, 1, 40.0, left, side="both", pain_right=right) for day, (left, right) in enumerate(scores)
    ]
    rows.append(squat(20, 1, 40.0, 5, side="both"))  # the right was not asked
    found = pain_of(rows, "both")
    assert (found.n_sets, found.left_higher, found.same, found.right_higher) == (8, 5, 2, 1)
    assert (found.mean_left, found.mean_right) == (14 / 8, 5 / 8)
    share = found.left_higher_share
    assert isinstance(share, Estimate)
    assert share.value == pytest.approx(5 / 6)
    assert (share.low, share.high) == pytest.approx(proportion_confint(5, 6, alpha=0.2, method="wilson"))


def test_the_interval_of_a_share_is_wilsons() -> None:
    # Wilson 1927, 95 %, 3 of 10: .10779 to .60322.
    scores = [(2, 0)] * 3 + [(0, 2)] * 7
    rows = [
        squat(day, 1, 40.0, left, side="both", pain_right=right) for day, (left, right) in enumerate(scores)
    ]
    seen = side_by_side(comparable(observations(small_log(rows), "T-01")), "both")
    share = pain_between_sides(seen, confidence_level=0.95).left_higher_share
    assert isinstance(share, Estimate)
    assert (share.low, share.high) == pytest.approx((0.10779, 0.60322), abs=1e-5)


def test_few_differing_sets_are_counted_but_make_no_share() -> None:
    rows = [row for day in range(5) for row in pair(day, {"pain_left": 2}, {})]
    found = pain_of(rows)
    assert (found.n_sets, found.left_higher) == (5, 5)
    assert isinstance(found.left_higher_share, Withheld)


def test_a_pain_stop_without_a_score_is_no_score() -> None:
    rows = pair(0, {"pain_left": None, "stopped_for": "pain"}, {}) + pair(1, {"pain_left": 1}, {})
    assert (pain_of(rows).n_sets, pain_of(rows).left_higher) == (1, 1)


def past_of(rows: list[dict]) -> OwnPast | Withheld:
    return own_past(comparable(observations(small_log(rows), "T-01")), KEY)


def on(day: int, left: float, right: float, pain_left: int = 0) -> list[dict]:
    return pair(day, {"load": left, "pain_left": pain_left}, {"load": right})


def test_each_side_against_its_own_first_weeks() -> None:
    # Wellsandt et al. 2017: 72 now, the other side 80 now and 100 before: 90 % of the other side now, 72 % before.
    rows = on(0, 60, 100) + on(3, 60, 100) + on(60, 72, 80) + on(63, 72, 80)
    found = past_of(rows)
    assert isinstance(found, OwnPast)
    assert (found.left_first_kg, found.left_last_kg) == (60, 72)
    assert (found.right_first_kg, found.right_last_kg) == (100, 80)
    assert found.left_over_right_first_pct == 72
    assert found.right_over_left_first_pct == pytest.approx(100 * 80 / 60)


def test_quiet_means_every_set_of_two_days() -> None:
    rows = on(0, 10, 10) + on(2, 14, 14, 3) + on(4, 14, 14) + on(6, 10, 10) + on(60, 14, 16) + on(62, 14, 18)
    rows += [squat(60, 9, 14.0, 3)]  # a later set at the same load that day hurt
    found = past_of(rows)
    assert isinstance(found, OwnPast)
    assert (found.left_first_kg, found.right_first_kg) == (10, 14)
    assert (found.left_last_kg, found.right_last_kg) == (None, None)
    assert found.left_over_right_first_pct is None


def test_a_day_that_hurt_does_not_undo_two_quiet_ones() -> None:
    rows = on(0, 14, 14) + on(2, 14, 14, 3) + on(4, 14, 14) + on(60, 14, 14)
    found = past_of(rows)
    assert isinstance(found, OwnPast)
    assert found.left_first_kg == 14


def test_eight_weeks_are_needed() -> None:
    found = past_of(on(0, 10, 10) + on(54, 12, 12))
    assert isinstance(found, Withheld)
    assert found.reason == "Done over 55 days; the first and the last 28 days would overlap."
    assert isinstance(past_of(on(0, 10, 10) + on(55, 12, 12)), OwnPast)
