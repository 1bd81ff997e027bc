"""Proposals from a whole log: reading the days, both sides of one set, a session under way, limits, JSON."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace

import pandas as pd
import pytest

from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.chance_of_pain import chance_of_pain
from analysis.questions.proposal import next_session_day, proposals
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Estimate, LineKey, Withheld
from analysis.results_proposal import Proposal
from analysis.tables_proposal import proposal_json
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

FEW = PainOptions(n_draws=640)
DAYS = tuple(range(0, 48, 4))
LEFT = LineKey(exercise="step-down", variant="standard", side="left", works="left")
RIGHT = replace(LEFT, side="right", works="right")
BOTH_LEFT = LineKey(exercise="box squat", variant="standard", side="left", works="both")
BOTH_RIGHT = replace(BOTH_LEFT, side="right")
BAND = LineKey(exercise="band walk", variant="standard", side="left", works="left")
SIT = LineKey(exercise="wall sit", variant="standard", side="left", works="left")
TABLES: dict[str, list[dict[str, object]]] = {
    "exercises": [
        {"exercise": "step-down", "load_step": 1.0, "unit": "kg"},
        {"exercise": "box squat", "load_step": 5.0, "unit": "kg"},
    ],
    "days": [
        {"client": "T-01", "date": pd.Timestamp("2026-06-01") + pd.Timedelta(days=day), "pain_morning": 0}
        for day in range(46)
    ],
}


def rows() -> list[dict[str, object]]:
    """Twelve sessions: 10 and at times 8 hurt on the left, the right is quiet to 12; the squat hurts the left knee."""
    made: list[dict[str, object]] = []
    for order, day in enumerate(DAYS):
        done = {"target_reps": 8, "rir": 3}
        for load in (6.0, 8.0, 10.0):
            pain = 3 if order % 4 and load >= (8.0 if order % 4 == 1 else 10.0) else 0
            made.append(squat(day, len(made) + 1, load, pain, **done))
        for load in (10.0, 12.0):
            made.append(squat(day, len(made) + 1, load, None, side="right", pain_right=0, **done))
        for load in (50.0, 60.0):
            hurt = 3 if load == 60.0 and order % 2 else 0
            squatted = {"exercise": "box squat", "side": "both", "pain_right": 0}
            made.append(squat(day, len(made) + 1, load, hurt, **squatted, **done))
        band: dict[str, object] = {"exercise": "band walk", "band": "green", "load_basis": "band", "reps": 12}
        sit: dict[str, object] = {"exercise": "wall sit", "reps": None, "hold_s": 30}
        for unloaded in (band, sit):
            made.append(squat(day, len(made) + 1, 0.0, 0, **(unloaded | {"unit": None})) | {"load": None})
    return made


def made_log(extra: list[dict[str, object]] | None = None, **tables: list[dict[str, object]]) -> TrainingLog:
    return small_log([*rows(), *(extra or [])], **(TABLES | tables))


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    return made_log()


@pytest.fixture(scope="module")
def fit(log: TrainingLog) -> PainFit:
    return fit_pain_model(log, client="T-01", options=FEW)


@pytest.fixture(scope="module")
def found(log: TrainingLog, fit: PainFit) -> dict[LineKey, Proposal]:
    return by_key(proposals(log, fit))


def by_key(made: tuple[Proposal, ...]) -> dict[LineKey, Proposal]:
    return {one.key: one for one in made}


def test_the_quiet_side_goes_one_step_up(found: dict[LineKey, Proposal]) -> None:
    right = found[RIGHT]
    assert (right.action, right.load_kg, right.last_kg, right.quiet_kg) == ("up", 13.0, 12.0, 12.0)
    assert (right.holds, right.other_changes) == ((), ())
    assert right.day == dt.date(2026, 7, 16)
    assert right.two_for_two is False
    assert right.acsm_kg == pytest.approx((12.24, 13.2))


def test_the_side_that_hurts_goes_down_and_says_why(found: dict[LineKey, Proposal]) -> None:
    left = found[LEFT]
    assert left.action == "lighter"
    assert left.load_kg in (6.0, 7.0)
    assert left.holds[0].code == "chance_at_last_load"
    assert left.last_kg == 10.0
    assert isinstance(left.predicted, Estimate)
    assert left.predicted.value <= 0.2
    assert all(one.predicted_chance <= 0.2 for one in left.other_changes)
    ranked = [one.predicted_chance for one in left.other_changes]
    assert ranked == sorted(ranked)
    lighter = next(one for one in left.other_changes if one.kind == "load")
    assert lighter.volume_share == pytest.approx(left.load_kg / 10.0)
    assert lighter.volume_kg == 8 * left.load_kg


def test_the_predicted_chance_is_that_of_the_question(fit: PainFit, found: dict[LineKey, Proposal]) -> None:
    left = found[LEFT]
    assert left.load_kg is not None
    asked = chance_of_pain(fit, exercise="step-down", variant="standard", side="left", load_kg=left.load_kg)
    assert left.predicted == asked


def test_both_sides_of_one_set_get_the_lower_load(found: dict[LineKey, Proposal]) -> None:
    left, right = found[BOTH_LEFT], found[BOTH_RIGHT]
    assert left.load_kg == right.load_kg
    assert left.load_kg is not None
    assert right.if_cleared_kg is not None
    assert right.if_cleared_kg > left.load_kg
    assert right.holds[0].code == "other_side"
    assert right.other_changes == ()


def test_bands_and_holds_have_their_own_line(found: dict[LineKey, Proposal]) -> None:
    band, sit = found[BAND], found[SIT]
    assert band.load_kg is sit.load_kg is None
    assert band.condition is not None
    assert sit.condition is not None
    assert (band.condition.label, band.condition.n_asked, band.condition.n_painful) == (
        "green band, 12 reps",
        12,
        0,
    )
    assert sit.condition.label == "30 s hold"


def test_a_session_under_way_only_goes_down(log: TrainingLog, found: dict[LineKey, Proposal]) -> None:
    """A painful set at 13 on the day takes it down; two, or a sharp one, end it; quiet ones never raise it."""
    day = 45
    number = len(rows()) + 1

    def under_way(*pains: int, **more: object) -> Proposal:
        extra = [
            squat(day, number + i, 13.0, None, side="right", pain_right=pain, target_reps=8, rir=3, **more)
            for i, pain in enumerate(pains)
        ]
        later = made_log(extra)
        fitted = fit_pain_model(later, client="T-01", options=FEW)
        made = proposals(later, fitted, day=dt.date(2026, 7, 16), earlier=found.values())
        return by_key(made)[RIGHT]

    quiet = under_way(0, 0, 0)
    assert quiet.load_kg == 13.0
    once = under_way(0, 3)
    assert once.load_kg is not None
    assert once.load_kg < 13.0
    twice = under_way(3, 3)
    assert (twice.action, twice.load_kg, twice.holds[0].code) == ("stop_today", None, "second_painful_set")
    assert under_way(1, pain_feel="catching").action == "stop_today"


def test_without_a_cap_from_before_the_quiet_sets_of_the_day_would_raise_it(log: TrainingLog) -> None:
    """What the cap of a session under way is for."""
    number = len(rows()) + 1
    extra = [
        squat(45, number + i, 13.0, None, side="right", pain_right=0, target_reps=8, rir=3) for i in range(3)
    ]
    later = made_log(extra)
    fitted = fit_pain_model(later, client="T-01", options=FEW)
    lax = ProposalSettings(needs_next_morning=False)
    free = by_key(proposals(later, fitted, day=dt.date(2026, 7, 16), settings=lax))[RIGHT]
    before = replace(free, load_kg=13.0)
    held = by_key(proposals(later, fitted, day=dt.date(2026, 7, 16), settings=lax, earlier=(before,)))[RIGHT]
    assert free.load_kg == 14.0
    assert (held.load_kg, held.holds[0].code) == (13.0, "session_under_way")


@pytest.mark.parametrize(
    ("limit", "load", "action"),
    [
        ({"max_load": 11.0}, 11.0, "lighter"),
        ({"exercise": "step-down", "max_load": 12.5}, 12.0, "hold"),
        ({"exercise": "step-down", "leave_out": True}, None, "leave_out"),
        ({"exercise": "box squat", "leave_out": True}, 13.0, "up"),
        ({"exercise": "step-down", "max_load": 5.0, "until": pd.Timestamp("2026-07-15")}, 13.0, "up"),
    ],
)
def test_limits_are_always_kept(
    fit: PainFit, limit: dict[str, object], load: float | None, action: str
) -> None:
    limited = made_log(limits=[{"client": "T-01", **limit}])
    right = by_key(proposals(limited, fit))[RIGHT]
    assert (right.load_kg, right.action) == (load, action)


def test_a_break_starts_lighter(log: TrainingLog, fit: PainFit) -> None:
    """.7 of 12 is 8.4: the heaviest step within it is 8."""
    right = by_key(proposals(log, fit, day=dt.date(2026, 7, 30)))[RIGHT]
    assert right.way_back is not None
    assert (right.way_back.kind, right.load_kg, right.holds[0].code) == ("break", 8.0, "break")
    assert right.other_changes == ()


def test_lines_of_long_ago_are_left_out(log: TrainingLog, fit: PainFit) -> None:
    assert proposals(log, fit, day=dt.date(2026, 10, 7))
    assert proposals(log, fit, day=dt.date(2026, 10, 8)) == ()


def test_a_missing_morning_holds_and_more_to_do_is_offered() -> None:
    unlogged = made_log(days=TABLES["days"][:-1])
    fitted = fit_pain_model(unlogged, client="T-01", options=FEW)
    right = by_key(proposals(unlogged, fitted))[RIGHT]
    assert (right.action, right.load_kg, right.if_cleared_kg) == ("hold", 12.0, 13.0)
    assert [hold.code for hold in right.holds] == ["next_morning_not_logged"]
    assert [one.kind for one in right.other_changes] == ["reps"]
    assert right.other_changes[0].at.reps == 10.0
    assert right.other_changes[0].volume_share == pytest.approx(10 / 8)


def test_too_little_asked_stays_at_a_quiet_load_and_says_so() -> None:
    short = small_log([squat(0, 1, 10.0, 0), squat(0, 2, 12.0, 3), squat(2, 1, 10.0, 0)])
    fitted = fit_pain_model(short, client="T-01", options=FEW)
    (only,) = proposals(short, fitted)
    assert (only.load_kg, only.action) == (10.0, "hold")
    assert isinstance(only.predicted, Withheld)
    assert "cannot_say_yet" in [hold.code for hold in only.holds]
    assert only.other_changes == ()


def test_nothing_asked_nothing_proposed() -> None:
    blank = small_log([squat(0, 1, 10.0, None)])
    assert proposals(blank, fit_pain_model(blank, client="T-01", options=FEW)) == ()


def test_the_next_session_is_the_day_after_the_last_sets(fit: PainFit) -> None:
    assert next_session_day(replace(fit, as_of=dt.date(2026, 7, 15))) == dt.date(2026, 7, 16)
    assert next_session_day(replace(fit, as_of=dt.date(2026, 7, 20))) == dt.date(2026, 7, 20)


@pytest.mark.parametrize("name", ["may_hurt", "pessimistic_share", "restart_share"])
def test_settings_refuse_shares_outside_0_to_1(name: str) -> None:
    with pytest.raises(OptionError, match=name):
        ProposalSettings(**{name: 1.0})


def test_json_is_plain_and_whole(found: dict[LineKey, Proposal]) -> None:
    made = {key: proposal_json(one) for key, one in found.items()}
    assert json.loads(json.dumps(list(made.values()))) == list(made.values())
    left, right = made[LEFT], made[RIGHT]
    fixed = {"exercise", "variant", "side", "may_hurt", "load_kg", "predicted_chance", "hold_reason"}
    assert fixed | {"other_changes"} <= left.keys()
    assert left["hold_reason"].startswith("at the last load about")
    assert (right["hold_reason"], right["load_kg"], right["may_hurt"]) == (None, 13.0, 0.2)
    assert left["other_changes"][0]["predicted_chance"] <= 0.2
    assert made[BAND]["condition"]["label"] == "green band, 12 reps"
