"""The log of a client who begins: every rule that keeps it from being written, and what it says then."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from analysis.client_settings import client_settings
from analysis.errors import LogError
from analysis.log import log_from_frames
from analysis.questions.first_look import left_out
from analysis.questions.proposal_limits import limit_in_force, limits_on
from dashboard.store.folder_intake import (
    SEE_A_CLINICIAN,
    Intake,
    SiteAnswer,
    TaskAnswer,
    intake_log,
    intake_problems,
    told_signs,
)

DAY = dt.date(2026, 9, 28)
KNEE = SiteAnswer(site="front of knee", region="knee", side="left")
BACK = SiteAnswer(site="low back", region="low back", side="midline")
STAIRS = TaskAnswer(task="two floors of stairs down", difficulty=6)
WHOLE = Intake(
    client="M-14",
    unit="kg",
    started=DAY,
    bodyweight_kg="71.5",
    sites=(KNEE, BACK),
    main=0,
    since="spring 2026",
    onset="gradually",
    note="Works on ladders.",
    irritability="moderate",
    pain_level=2,
    limit_during=3,
    limit_after=None,
    limit_next_morning=0,
    goal="Walk down from the ridge.",
    tasks=(STAIRS,),
    signs={"one": False, "two": False},
    consent=True,
)


def problems(taken: tuple[str, ...] = (), **changes: object) -> list[tuple[str, str]]:
    """Field and first words of what is to be mended."""
    found = intake_problems(replace(WHOLE, **changes), taken=taken)  # type: ignore[arg-type]
    return [(one.field, one.words) for one in found]


def test_every_answer_stands_where_the_log_has_a_place_for_it() -> None:
    assert problems() == []
    log = intake_log(WHOLE)
    (client,) = log.clients.to_dict("records")
    assert (client["client"], client["unit"], client["bodyweight_kg"]) == ("M-14", "kg", 71.5)
    assert client["started"].date() == DAY
    assert (client["pain_level"], client["limit_during"], client["limit_next_morning"]) == (2, 3, 0)
    assert log.clients["limit_after"].isna().all()
    assert client["note"] == "Since spring 2026. Came on: gradually. Works on ladders."
    assert (client["goal"], client["irritability"], client["consent"]) == (
        "Walk down from the ridge.",
        "moderate",
        True,
    )
    assert log.sites[["site", "region", "side", "main"]].to_numpy().tolist() == [
        ["front of knee", "knee", "left", True],
        ["low back", "low back", "midline", False],
    ]
    (task,) = log.tasks.to_dict("records")
    assert (task["date"].date(), task["task"], task["difficulty"]) == (DAY, "two floors of stairs down", 6)
    assert len(log.sets) == len(log.limits) == 0


def test_what_was_not_answered_stays_unknown() -> None:
    bare = replace(
        WHOLE,
        bodyweight_kg="",
        since="",
        onset="",
        note="",
        irritability=None,
        limit_during=None,
        limit_next_morning=None,
        goal=" ",
        tasks=(TaskAnswer(task="", difficulty=None),),
    )
    assert intake_problems(bare, taken=()) == ()
    log = intake_log(bare)
    columns = ["bodyweight_kg", "note", "irritability", "limit_during", "limit_next_morning", "goal"]
    assert log.clients[columns].isna().all(axis=None)
    assert len(log.tasks) == 0


@pytest.mark.parametrize(
    "code", ["M 14", "Anna Müller", "", ".hidden", "..", "-M", "x" * 33, "a/b", "con", "Com1.a", "M-14."]
)
def test_a_code_that_no_folder_or_log_takes_is_refused(code: str) -> None:
    assert [field for field, _ in problems(client=code)] == ["client"]


@pytest.mark.parametrize("code", ["M", "M-14", "m_1.2", "9", "x" * 32])
def test_a_code_that_holds(code: str) -> None:
    assert problems(client=code) == []


def test_a_code_that_exists_is_refused_whatever_its_capitals() -> None:
    assert problems(("K-07", "m-14")) == [("client", "There is a client m-14 already. Choose another code.")]


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"started": None}, "started", "first day is needed"),
        ({"bodyweight_kg": "71kg5"}, "bodyweight_kg", "'71kg5'"),
        ({"bodyweight_kg": "7"}, "bodyweight_kg", "20"),
        ({"goal": "x" * 501}, "goal", "500"),
        ({"note": "x" * 490}, "note", "500"),
        ({"sites": (replace(KNEE, site=" "),)}, "site 0", "place is needed"),
        ({"sites": (KNEE, replace(BACK, region=None))}, "site 1", "Region and side"),
        ({"sites": (KNEE, replace(BACK, side=None))}, "site 1", "Region and side"),
        ({"sites": (KNEE, replace(BACK, site="Front of knee "))}, "site 1", "there already"),
        ({"sites": (replace(KNEE, site="x" * 81),)}, "site 0", "80"),
        ({"main": None}, "main", "main one"),
        ({"tasks": (STAIRS, replace(STAIRS, task=""))}, "task 1", "Fill both or empty both"),
        ({"tasks": (replace(STAIRS, difficulty=None),)}, "task 0", "Fill both or empty both"),
        ({"tasks": (STAIRS, STAIRS)}, "task 1", "there already"),
        (
            {"tasks": (replace(STAIRS, task="", difficulty=None), replace(STAIRS, task="x" * 81))},
            "task 1",
            "80",
        ),
        ({"signs": {"one": False, "two": None}}, "sign 1", "Not answered"),
        ({"consent": False}, "consent", "consent"),
    ],
)
def test_each_answer_that_does_not_hold_is_told_at_its_field(
    changes: dict[str, object], field: str, words: str
) -> None:
    found = problems(**changes)
    assert len(found) == 1, found
    ((where, said),) = found
    assert where == field
    assert words in said


def test_all_problems_are_told_at_once() -> None:
    found = problems(client="", bodyweight_kg="x", main=None, signs={"one": None, "two": None}, consent=False)
    assert [field for field, _ in found] == ["client", "main", "sign 0", "sign 1", "consent", "bodyweight_kg"]
    with pytest.raises(LogError):
        intake_log(replace(WHOLE, client="", bodyweight_kg="x"))


def test_a_stop_sign_leaves_every_exercise_out_and_does_not_say_which_it_was() -> None:
    told = replace(WHOLE, signs={"numbness of the seat": True, "two": False})
    assert told_signs(told) == ("numbness of the seat",)
    assert intake_problems(told, taken=()) == ()
    log = intake_log(told)
    pause = left_out(log, "M-14", day=DAY)
    assert pause is not None
    assert (pause.since, pause.by) == (DAY, SEE_A_CLINICIAN)
    limit = limit_in_force(
        limits_on(log, "M-14", day=DAY), log.ranges, client_settings(log, "M-14"), "step-down", "total"
    )
    assert limit is not None
    assert (limit.leave_out, limit.by) == (True, SEE_A_CLINICIAN)
    every_cell = " ".join(str(log.frame(name).to_dict()) for name in ("clients", "limits", "events"))
    assert "numbness" not in every_cell
    assert "A stop sign was told at the first talk." in every_cell


def test_a_pause_ends_with_its_last_day_and_one_of_one_exercise_is_none() -> None:
    limits = intake_log(replace(WHOLE, signs={"one": True})).limits
    ended = limits.assign(until="2026-10-05", **{"from": "2026-09-28"}).astype("str")
    log = log_from_frames(limits=ended[["client", "leave_out", "from", "until", "by"]].replace("True", "yes"))
    assert left_out(log, "M-14", day=dt.date(2026, 10, 5)) is not None
    assert left_out(log, "M-14", day=dt.date(2026, 10, 6)) is None
    assert left_out(log, "K-07", day=DAY) is None
    one = ended[["client", "leave_out"]].replace("True", "yes").assign(exercise="step-down")
    assert left_out(log_from_frames(limits=one), "M-14", day=DAY) is None
