"""The JSON of a review: its fixed keys at every depth, lines nobody was asked about, and numbers JSON can hold."""

from __future__ import annotations

import json

import pytest

from analysis.models.pain_fit import PainOptions
from analysis.questions.review import review
from analysis.tables import review_json
from tests.small_logs import small_log, squat

TOP = [
    "schema",
    "client",
    "as_of",
    "n_sets",
    "n_asked",
    "n_sessions",
    "pain_level",
    "share_of_zeros",
    "unasked_share",
    "pain_line",
    "pain_line_change",
    "effects",
    "sides",
    "trend",
    "what_next",
    "harder",
    "month",
    "proposal",
    "care",
    "fit",
]
LINE = [
    "exercise",
    "variant",
    "side",
    "works",
    "chance",
    "status",
    "load_kg",
    "low_kg",
    "high_kg",
    "confidence_level",
    "low95_kg",
    "high95_kg",
    "last",
    "one_step_up",
    "n_sets",
    "n_painful",
    "lightest_kg",
    "heaviest_kg",
    "probability_above_heaviest",
    "at",
    "reason",
    "remedy",
]
EFFECT = [
    "term",
    "per",
    "log_odds",
    "low",
    "high",
    "points",
    "points_low",
    "points_high",
    "probability_direction",
    "shown",
]
TREND = ["per_week_log_odds", "low", "high", "probability_falling", "weeks"]
FIT = ["engine", "model_version", "converged", "seconds", "findings"]


@pytest.fixture(scope="module")
def told() -> dict:
    rows = [
        squat(2 * session, i + 1, load, 3 if load == 12.0 and session % 2 else 0)
        for session in range(12)
        for i, load in enumerate((8.0, 10.0, 12.0))
    ]
    rows += [squat(2 * s, 4, 20.0, None, exercise="bridge", side="both") for s in range(4)]
    rows += [
        squat(26, 1, 9.0, 1, exercise="lunge"),
        squat(26, 2, 0.0, None, exercise="rocks", block="cool-down"),
    ]
    log = small_log(
        rows,
        days=[{"client": "T-01", "date": rows[-1]["date"], "painkiller": True}],
        sites=[{"client": "T-01", "site": "knee", "region": "knee", "side": "left", "main": True}],
    )
    return review_json(review(log, client="T-01", options=PainOptions(n_draws=640)))


def test_every_fixed_key_is_there_at_every_depth(told: dict) -> None:
    assert set(TOP) <= set(told)
    assert set(TREND) <= set(told["trend"])
    assert set(FIT) <= set(told["fit"])
    for line in told["pain_line"]:
        assert set(LINE) <= set(line)
    for effect in told["effects"]:
        assert set(EFFECT) <= set(effect)
    reached = next(line for line in told["pain_line"] if line["status"] == "reached")
    for part in ("last", "one_step_up"):
        assert set(reached[part]) == {"load_kg", "chance", "low", "high"}
    assert {"reps", "place"} <= set(reached["at"])
    json.dumps(told, allow_nan=False)


def test_what_asks_for_care_is_told_with_its_day_and_limit() -> None:
    log = small_log([squat(2 * day, 1, 8.0, 0) for day in range(3)] + [squat(6, 1, 9.0, 7)])
    found = review_json(review(log, client="T-01", options=PainOptions(n_draws=640)))["care"]
    assert [(one["day"], one["kind"], one["pain"], one["limit"]) for one in found] == [
        ("2026-06-07", "high in a set", 7, None)
    ]


def test_each_line_of_work_appears_for_both_chances_asked_or_not(told: dict) -> None:
    lines = {(line["exercise"], line["side"], line["works"]) for line in told["pain_line"]}
    assert lines == {("step-down", "left", "left"), ("bridge", "left", "both"), ("lunge", "left", "left")}
    for line in lines:
        mine = [one for one in told["pain_line"] if (one["exercise"], one["side"], one["works"]) == line]
        assert [one["chance"] for one in mine] == [0.2, 0.5]


def test_a_line_nobody_was_asked_about_is_withheld_with_a_remedy(told: dict) -> None:
    bridge = next(line for line in told["pain_line"] if line["exercise"] == "bridge")
    assert (bridge["status"], bridge["n_sets"], bridge["n_asked"]) == ("withheld", 4, 0)
    assert bridge["load_kg"] is None
    assert bridge["remedy"]


def test_an_effect_has_its_numbers_where_it_is_shown_and_a_reason_where_not(told: dict) -> None:
    terms = [effect["term"] for effect in told["effects"] if effect["exercise"] == "step-down"]
    assert {"load", "lowering_s", "provoked"} <= set(terms)
    for effect in told["effects"]:
        assert (effect["points"] is not None) == effect["shown"]
        assert (effect["reason"] is None) == effect["shown"]
    load = next(effect for effect in told["effects"] if effect["term"] == "load")
    assert load["shown"]
    assert load["chance_before"]["chance"] < load["chance_after"]["chance"]
    lowering = next(effect for effect in told["effects"] if effect["term"] == "lowering_s")
    assert (lowering["shown"], lowering["reason"]) == (False, "Lowering is not logged.")


def test_what_brings_it_on_names_its_line_and_the_companion_its_zeros(told: dict) -> None:
    more = told["brings_it_on"]
    assert (more["exercise"], more["side"]) == ("step-down", "left")
    assert more["load_by_range"]["remedy"]
    assert set(more["range_test"]) == {"plan", "result"}
    assert more["linear_companion"]["share_of_zeros"] == pytest.approx(30 / 36, abs=0.01)
