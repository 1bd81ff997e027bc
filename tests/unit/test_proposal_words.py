"""Sentences and rulers of proposals, from hand-made ones."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from analysis.results import Estimate, Withheld
from analysis.results_proposal import Hold, OtherChange, Proposal, SeenAtCondition, WayBack
from analysis.schema import KG_PER_LB
from analysis.schema_others import REGIONS
from dashboard.charts.proposal_chart import proposal_chart
from dashboard.charts.proposal_scale import ruler
from dashboard.wording.proposal import (
    chart_description,
    proposal_heading,
    proposal_sentences,
    recent,
    short_words,
    what_if_words,
)
from dashboard.wording.stop_signs import ANYWHERE, BY_REGION, GROUP_OF, stop_signs
from tests.unit.made_lines import AS_OF, STEP_DOWN, USUAL, line, tried

MORNING = Hold(
    code="next_morning_not_logged",
    reason="next morning, 2026-09-29, not logged yet",
    remedy="Log the joint pain on getting up on 2026-09-29.",
)
CHANCE = Estimate(
    value=0.11, low=0.04, high=0.19, confidence_level=0.8, unit="chance", method="", n_sets=28, n_sessions=9
)


def proposal(**more: object) -> Proposal:
    plain = Proposal(
        key=STEP_DOWN,
        day=dt.date(2026, 9, 29),
        may_hurt=0.2,
        level=2,
        action="hold",
        load_kg=12.0,
        predicted=CHANCE,
        holds=(MORNING,),
        if_cleared_kg=14.0,
        last_kg=12.0,
        last_day=AS_OF,
        quiet_kg=12.0,
        step_kg=2.0,
        step_share=1 / 6,
        first_reps=None,
        acsm_kg=(12.24, 13.2),
        two_for_two=None,
        other_changes=(),
        way_back=None,
        limit=None,
        condition=None,
        at=USUAL,
        tried=tried(),
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def test_what_stands_beside_the_ruler() -> None:
    assert short_words(proposal()) == (
        "Hold 12 kg",
        "about 1 of 10 would hurt (0 to 2); next morning, 29 Sep, not logged yet; then 14 kg",
    )
    up = proposal(action="up", load_kg=14.0, holds=())
    assert short_words(up) == ("Up to 14 kg", "about 1 of 10 would hurt (0 to 2)")
    out = proposal(action="leave_out", load_kg=None, holds=(replace(MORNING, reason="left out by coach"),))
    assert short_words(out) == ("Leave out", "left out by coach")


def test_a_large_step_says_how_many_reps_come_first() -> None:
    """The example of a 2 kg step on 12 kg: 2 / 12 is 17 %."""
    hold = Hold(code="reps_first", reason="the next step is 17 % more: first 10 reps", remedy="")
    one = proposal(holds=(hold,), first_reps=10)
    assert "14 is 17 % above 12 kg: first 10 reps at 12 kg" in short_words(one)[1]


def test_every_reason_and_what_comes_after_it() -> None:
    told = " ".join(proposal_sentences(proposal()))
    assert told.startswith("Hold 12 kg in each hand. About 1 of 10 would hurt (0 to 2).")
    assert "Next morning, 29 Sep, not logged yet. Log the joint pain on getting up on 29 Sep." in told
    assert "Once that is logged and as it should be: 14 kg." in told
    assert "2 to 10 % more would be 12.2 to 13.2 kg; one step is 17 %" in told
    later = " ".join(proposal_sentences(proposal(first_reps=10)))
    assert "first 10 reps at 12 kg, then 14 kg" in later
    sharp = replace(MORNING, code="sharp_pain", reason="sharp pain last time", remedy="")
    assert "Once that" not in " ".join(proposal_sentences(proposal(holds=(MORNING, sharp))))


def test_loads_stand_in_the_clients_unit() -> None:
    pounds = replace(
        tried(((20 * KG_PER_LB, 9, 0), (25 * KG_PER_LB, 9, 1)), unit="lb"), load_step_kg=5 * KG_PER_LB
    )
    one = proposal(tried=pounds, load_kg=25 * KG_PER_LB, if_cleared_kg=30 * KG_PER_LB, last_kg=25 * KG_PER_LB)
    assert short_words(one)[0] == "Hold 25 lb"
    assert "as it should be: 30 lb" in " ".join(proposal_sentences(one))
    scale = ruler(one, None, shares=(0.0, 1.0), px=1000, narrow=False)
    assert scale is not None
    assert scale.marks == pytest.approx((15, 20, 25, 30))


def test_the_way_back_and_other_changes() -> None:
    back = WayBack(
        kind="break",
        since=AS_OF,
        advice="lighten",
        last_quiet_kg=12.0,
        quiet_since_kg=None,
        n_quiet=1,
        n_needed=2,
    )
    change = OtherChange(
        kind="reps",
        variant="standard",
        load_kg=12.0,
        at=replace(USUAL, reps=10.0),
        predicted_chance=0.12,
        low=0.03,
        high=0.2,
        time_under_tension_s=60.0,
        volume_kg=120.0,
        tension_share=1.25,
        volume_share=1.25,
    )
    told = " ".join(proposal_sentences(proposal(way_back=back, other_changes=(change,))))
    assert "Last quiet before the break: 12 kg; 1 of 2 quiet sessions since." in told
    assert "10 reps at 12 kg, about 1 of 10 would hurt (0 to 2), 60 s under tension a set" in told
    assert "120 kg moved a set, 25 % more" in told


def test_bands_have_a_line_of_their_own() -> None:
    seen = SeenAtCondition(label="green band, 12 reps", n_asked=3, n_painful=0)
    band = proposal(load_kg=None, last_kg=None, condition=seen, holds=(), acsm_kg=None)
    assert short_words(band) == ("As last time: green band, 12 reps", "quiet 3 of 3")
    assert "Green band, 12 reps: quiet 3 of 3 in twelve weeks." in " ".join(proposal_sentences(band))


def test_the_heading_counts_what_is_proposed() -> None:
    up = proposal(action="up")
    made = [up, up, proposal(), proposal(action="lighter"), proposal(action="leave_out")]
    assert proposal_heading(made) == "Next session: two up, hold one, one lighter, leave out one"
    assert all(len(proposal_heading([one] * 25)) <= 60 for one in made)
    assert proposal_heading(()) == "Nothing to propose yet"


def test_what_was_done_lately_stands_first() -> None:
    old = proposal(last_day=dt.date(2026, 9, 7))
    assert recent((old, proposal())) == (proposal(),)
    assert recent((old,)) == (old,)


def test_a_chance_on_request_says_when_it_lies_outside() -> None:
    inside = what_if_words(CHANCE, 12.0, proposal(), USUAL)
    assert inside == "Step-down, left, 12 kg, 8 reps, lowering 3 s: about 1 of 10 would hurt (0 to 2)."
    assert "Outside the loads tried" in what_if_words(CHANCE, 20.0, proposal(), USUAL)
    assert (
        what_if_words(Withheld(reason="Too few.", remedy="Ask."), 12.0, proposal(), USUAL) == "Too few. Ask."
    )


def test_the_ruler_keeps_the_proposed_load_clear_of_other_numbers() -> None:
    answer = line().answer
    scale = ruler(proposal(), answer, shares=(0.25, 0.68), px=1000, narrow=False)  # type: ignore[arg-type]
    assert scale is not None
    assert 12.0 in scale.marks
    assert 12.0 not in scale.numbers
    assert scale.panel.domain[0] < 8.0
    assert scale.panel.domain[1] > 16.0
    assert ruler(proposal(tried=tried(())), None, shares=(0, 1), px=1000, narrow=False) is None


def test_an_end_far_above_everything_tried_is_cut() -> None:
    far = line(high_kg=90.0).answer
    scale = ruler(proposal(), far, shares=(0.0, 1.0), px=1000, narrow=False)  # type: ignore[arg-type]
    assert scale is not None
    assert scale.panel.domain[1] == 16.0 + 4.5 * 2.0


def test_the_chart_has_a_row_for_each_load_and_one_description() -> None:
    rows = [
        (proposal(), line()),
        (proposal(action="up", load_kg=14.0), line("lower_only", load_kg=None, high_kg=None)),
    ]
    words = chart_description([one for one, _ in rows])
    for dark in (False, True):
        chart = proposal_chart(rows, description=words, dark=dark)
        assert chart is not None
        spec = chart.to_dict()
        assert spec["height"] == 2 * 116
        assert spec["description"] == words
    assert proposal_chart([(proposal(tried=tried(())), None)], description="") is None


def test_signs_belong_to_regions_that_exist() -> None:
    assert set(GROUP_OF) <= set(REGIONS)
    assert {group for groups in GROUP_OF.values() for group in groups} == set(BY_REGION)
    assert stop_signs(None) == ANYWHERE
    assert stop_signs("low back")[-1] == BY_REGION["low back"][0]
