"""Sentences of the check-in page, on answers made by hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from analysis.client_settings import ClientSettings
from analysis.questions.changes import MonthEvent
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Estimate, LineKey, Withheld
from analysis.results_care import CareEntry
from analysis.results_harder import Criterion, HarderRow, HarderStep
from analysis.results_proposal import LimitInForce
from analysis.results_trend import (
    ChangeRow,
    LineChange,
    LineFacts,
    MorningsThenNow,
    SameSet,
    Stretches,
    TaskThenNow,
    TrendReview,
    WorkThenNow,
)
from dashboard.wording.sheet import (
    care_in_short,
    left_out_words,
    next_day_words,
    replaced_words,
    sheet_title,
    who_clinician,
    who_trainee,
)
from dashboard.wording.sheet_better import (
    better_facts,
    better_heading,
    can_do_now,
    fact_rows,
    told_of,
    unknown_words,
)
from dashboard.wording.sheet_clinician import changed_sentences, limits_on_file, line_cells
from dashboard.wording.sheet_next import (
    flare_steps,
    harder_to_leave,
    leave_sentence,
    limit_sentences,
    line_caption,
    next_columns,
    next_rows,
    next_sentences,
    read_first_trainee,
)
from tests.unit.made_lines import STEP_DOWN, line
from tests.unit.test_proposal_words import proposal

DAY = dt.date(2026, 9, 28)
TWO = Stretches(
    first_from=dt.date(2026, 7, 9), first_to=dt.date(2026, 8, 5), last_from=dt.date(2026, 9, 1), last_to=DAY
)
OTHER = LineKey(exercise="split squat", variant="standard", side="right", works="right")
NOT_YET = Withheld(reason="Done over 5 days so far.", remedy="From 28 days on.")
OWN = ClientSettings(
    client="K-07",
    unit="kg",
    pain_level=2,
    limit_during=3,
    limit_after=None,
    limit_next_morning=4,
    bodyweight_kg=None,
    site_name="front of knee",
    site_region="knee",
    site_side="both",
)


def same(then: float, now: float, *, clear: bool) -> SameSet:
    return SameSet(
        load_kg=8.0, then=then, now=now, n_days_then=5, n_days_now=7, detectable=0.8, is_more_than_error=clear
    )


def work(
    then_kg: float, now_kg: float, *, pain: tuple[float, float] = (1.0, 1.0), days: int = 5
) -> WorkThenNow:
    return WorkThenNow(
        load_then_kg=then_kg,
        load_now_kg=now_kg,
        pain_then=pain[0],
        pain_now=pain[1],
        n_days_then=5,
        n_days_now=days,
        detectable=0.5,
        pain_moved=abs(pain[1] - pain[0]) > 0.5,
    )


def facts(
    key: LineKey = STEP_DOWN,
    *,
    same_set: SameSet | Withheld = NOT_YET,
    done: WorkThenNow | None = None,
    quiet: tuple[float | None, float | None] = (8.0, 10.0),
) -> LineFacts:
    return LineFacts(
        key=key, stretches=TWO, work=done, same_set=same_set, quiet_then_kg=quiet[0], quiet_now_kg=quiet[1]
    )


def mornings(up: tuple[int, int]) -> MorningsThenNow:
    return MorningsThenNow(
        stretches=TWO, n_up_then=up[0], n_then=26, n_up_now=up[1], n_now=26, median_then=3.0, median_now=2.0
    )


def reviewed(*lines: LineFacts, **more: object) -> TrendReview:
    given = {"changes": (), "mornings": mornings((5, 1)), "tasks": ()} | more
    return TrendReview(
        trend=NOT_YET,
        lines=lines,
        tests=(),
        rating_std_error=0.5,
        rating_std_error_source="",
        **given,  # type: ignore[arg-type]
    )


def change(claim: str | None) -> ChangeRow:
    moved = LineChange(
        key=STEP_DOWN,
        start=TWO.first_from,
        end=DAY,
        log2_change=0.3,
        low=0.1,
        high=0.5,
        confidence_level=0.8,
        low95=0.0,
        high95=0.6,
        probability_up=0.97,
        from_kg=8.0,
        to_kg=10.0,
        claim=claim,  # type: ignore[arg-type]
    )
    return ChangeRow(key=STEP_DOWN, since_first=moved, since_28_days=NOT_YET)


TASK = TaskThenNow(
    task="two floors down", first_day=TWO.first_from, first=6, last_day=DAY, last=2, n_ratings=4
)


def test_each_fact_says_then_now_and_how_they_differ() -> None:
    found = reviewed(
        facts(same_set=same(1.9, 0.9, clear=True), done=work(8.0, 9.5)),
        changes=(change("up"),),
        tasks=(TASK,),
    )
    told = better_facts(found, line())
    assert fact_rows(told) == (
        ("Pain at the same weight: Step-down, left, 8 kg", "1.9 of 10", "0.9 of 10", "less pain"),
        ("Weight at which about 2 of 10 sets hurt: Step-down, left", "8 kg", "10 kg", "more weight"),
        ("Most weight that did not hurt on two days: Step-down, left", "8 kg", "10 kg", "more weight"),
        ("Mornings with pain 2 or more above your usual", "5 of 26", "1 of 26", "fewer"),
        ("How hard: Two floors down", "6 of 10", "2 of 10", "easier"),
    )
    assert better_heading(told) == "Am I better? Better on 5 of 5"


def test_no_change_worse_and_unknown_are_told_apart() -> None:
    found = reviewed(
        facts(same_set=same(1.0, 1.4, clear=False), done=work(8.0, 8.0), quiet=(10.0, 8.0)),
        mornings=mornings((1, 2)),
        changes=(change(None),),
    )
    told = better_facts(found, line())
    assert [fact.verdict for fact in told] == ["same", "same", "worse", "same"]
    assert better_heading(told) == "Am I better? About the same on 3 of 4, worse on 1"
    nothing = better_facts(reviewed(mornings=NOT_YET), line())
    assert better_heading(nothing) == "Am I better? Too early to tell"
    assert unknown_words(nothing) == (f"Mornings: {NOT_YET.reason} {NOT_YET.remedy}",)


@pytest.mark.parametrize(
    ("done", "verdict", "words"),
    [
        (work(10.0, 14.0), "better", "more weight, same pain"),
        (work(10.0, 14.0, pain=(1.0, 3.0)), "same", "more weight, more pain"),
        (work(10.0, 10.0, pain=(3.0, 1.0)), "better", "same weight, less pain"),
        (work(10.0, 7.0, pain=(3.0, 1.0)), "same", "less weight, less pain"),
        (work(10.0, 7.0), "worse", "less weight, same pain"),
        (work(10.0, 10.0, pain=(1.0, 3.0)), "worse", "same weight, more pain"),
        (work(10.0, 10.0), "same", "same weight, same pain"),
    ],
)
def test_weight_and_pain_of_the_day_stand_in_where_no_set_was_alike(
    done: WorkThenNow, verdict: str, words: str
) -> None:
    first = better_facts(reviewed(facts(done=done)), line())[0]
    assert (first.verdict, first.words) == (verdict, words)
    assert first.what.startswith("Heaviest weight of the day, and its worst pain")


def test_one_day_is_too_few_for_a_weight_that_did_not_hurt_on_two() -> None:
    told = better_facts(reviewed(facts(done=work(10.0, 14.0, days=1), quiet=(8.0, None))), line())
    assert [fact.verdict for fact in told[:2]] == ["unknown", "unknown"]


def test_facts_are_told_of_the_line_that_has_them() -> None:
    other = replace(line(key=OTHER), key=OTHER)
    found = reviewed(
        facts(done=work(8.0, 9.0, days=1)), facts(OTHER, same_set=same(2, 1, clear=True), done=work(8, 9))
    )
    assert told_of(found, (line(), other), line()).key == OTHER
    assert told_of(reviewed(), (line(), other), line()).key == STEP_DOWN


def test_gains_of_the_other_lines_largest_first() -> None:
    third = replace(OTHER, exercise="hip hinge")
    found = reviewed(facts(), facts(OTHER, quiet=(10.0, 12.0)), facts(third, quiet=(None, 40.0)))
    assert can_do_now(found, line()) == (
        "Hip hinge, right: 40 kg on two days without hurting; none did in the first weeks.",
        "Split squat, right: 12 kg on two days without hurting; 10 kg in the first weeks.",
    )


def test_the_table_of_the_next_session_has_a_column_for_each_side() -> None:
    right = replace(STEP_DOWN, side="right", works="right")
    held = proposal(load_kg=12.0)
    lighter = replace(proposal(load_kg=10.0, action="lighter"), key=right)
    assert next_columns((held, lighter)) == ("Exercise", "Left", "Right")
    ((name, left_cell, right_cell),) = next_rows((held, lighter))
    assert name == "Step-down"
    assert left_cell.startswith("12 kg (")
    assert right_cell.startswith("10 kg, lighter (")
    assert next_sentences((held, lighter)) == (f"Step-down: left {left_cell}; right {right_cell}.",)
    assert next_rows((replace(held, action="leave_out", load_kg=None),))[0][1] == "leave out"


def test_what_to_leave_names_the_count() -> None:
    chance = Estimate(
        value=0.48, low=0.31, high=0.68, confidence_level=0.8, unit="", method="", n_sets=9, n_sessions=3
    )
    assert leave_sentence(line(), 16.0, chance) == (
        "Step-down, left: 16 kg and more. Of 10 sets at 16 kg, about 5 would hurt (3 to 7)."
    )
    assert line_caption(line()).startswith(
        "Step-down, left: of 10 sets like this one at 14 kg in each hand, about 2 would hurt. It could be 13 to 16."
    )


def test_limits_stand_once_for_all_variants() -> None:
    limit = LimitInForce(max_load_kg=20.0, max_range_stop=None, leave_out=False, by="physiotherapist")
    one = replace(proposal(load_kg=12.0), limit=limit)
    wedge = replace(one, key=replace(STEP_DOWN, variant="heel on wedge"))
    assert limit_sentences((one,)) == ("Step-down: no more than 20 kg (set by physiotherapist).",)
    assert limit_sentences((one, wedge)) == limit_sentences((one,))
    out = replace(one, limit=replace(limit, leave_out=True, by=None))
    assert limit_sentences((out,)) == ("Step-down: leave it out.",)
    assert limits_on_file(OWN, ()) == (
        "Pain, at most: during a set 3, next morning 4.",
        "No limit of an exercise in force.",
    )


def test_harder_variants_say_what_comes_first() -> None:
    reserve = Criterion(name="reserve", state="not met", value=1.0, bound=2.0)
    step = HarderStep(
        variant="standard",
        next_variant="heel on wedge",
        working_load_kg=8.0,
        load_basis="per hand",
        days=(DAY,),
        criteria=(reserve,),
        decision="not yet",
        first_reason=reserve,
        trial_load_kg=6.0,
        trials=(),
        next_last_day=None,
    )
    rows = [
        HarderRow(exercise="step-down", works=side, now="standard", rungs=(), answer=step)
        for side in ("left", "right")
    ]
    told = "not yet, first sets that end with reps left in you."
    assert harder_to_leave(rows) == (f"Step-down, heel on wedge: {told}",)
    assert harder_to_leave(rows[:1]) == (f"Step-down, heel on wedge, left: {told}",)


def test_care_speaks_to_the_trainee() -> None:
    assert read_first_trainee((CareEntry(day=DAY, kind="night pain"),)) == (
        "28 Sep: pain woke you that night.",
    )


def test_care_is_cut_to_what_has_room() -> None:
    six = tuple(f"{day} Sep: swelling." for day in (28, 27, 26, 25, 24, 23))
    assert care_in_short(six) == (*six[:4], "2 older entries of the last two weeks.")
    assert care_in_short(six[:5]) == six[:5]


def test_flare_words_follow_the_settings() -> None:
    assert "about 70 %" in flare_steps(ProposalSettings())[1]
    assert "about 60 %" in flare_steps(replace(ProposalSettings(), restart_share=0.6))[1]


def test_cells_of_a_line() -> None:
    assert line_cells(line()) == (
        "Step-down, left",
        "14 kg a hand (13 to 16)",
        "1 (0 to 2)",
        "Quiet 1 of 3 at 14 kg, hurt 2 of 2 at 16 kg",
        "4 of 28",
    )


def test_changes_of_a_day_stand_together_newest_first() -> None:
    events = (
        MonthEvent(day=dt.date(2026, 9, 5), kind="heaviest", value=16.0, before=14.0),
        MonthEvent(day=dt.date(2026, 9, 17), kind="lowering", value=4.0, before=2.0),
        MonthEvent(day=dt.date(2026, 9, 17), kind="range", event="box 15 cm"),
    )
    assert changed_sentences(events, "kg") == (
        "17 Sep: lowering 2 to 4 s, down to box 15 cm.",
        "5 Sep: first at 16 kg.",
    )


def test_who_and_when() -> None:
    first = dt.date(2026, 7, 9)
    trainee = who_trainee(OWN, first, DAY, 36, 481)
    assert trainee.startswith(
        "K-07 · front of knee, left and right · 9 Jul 2026 to 28 Sep 2026 · 36 sessions, 481 sets"
    )
    clinician = who_clinician(OWN, first, DAY, (36, 506, 481), 0.79)
    assert "36 sessions, 506 sets, 481 asked about pain, 79 % of the scores 0" in clinician
    assert who_trainee(replace(OWN, site_name=None), first, DAY, 1, 1).startswith("K-07 · 9 Jul 2026")
    assert sheet_title("trainee", DAY) == "Your check-in, 28 Sep 2026"
    assert next_day_words(dt.date(2026, 12, 1)) == "Next check-in: Tuesday, 1 Dec 2026."
    assert next_day_words(None).startswith("Next check-in: ____")


def test_what_was_left_out_and_replaced_is_counted() -> None:
    assert left_out_words({}) == ""
    assert (
        left_out_words({("line", "lines"): 3, ("picture", "pictures"): 1})
        == "Left out to keep to one page: 3 lines and 1 picture."
    )
    assert replaced_words(0) == ""
    assert replaced_words(1) == "1 sign of a text cannot be printed and was left out or replaced by ☐."
