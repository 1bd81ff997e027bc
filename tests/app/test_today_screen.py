"""Today: what the next session can try, with every reason, what if, and when to stop."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from analysis.log import read_log
from analysis.questions.proposal import next_session_day, proposals
from analysis.questions.proposal_settings import ProposalSettings
from dashboard.wording.care import asks_first
from dashboard.wording.proposal import chart_description, proposal_heading, recent
from dashboard.wording.stop_signs import BY_REGION, DURING_A_SESSION
from tests.app.conftest import OpenApp
from tests.app.shown import chart_description as shown_description
from tests.app.shown import heading, reviewed, texts

FEW_STORIES = ("K-07", "N-01", "E-12")


@pytest.mark.parametrize("client", FEW_STORIES)
def test_the_screen_says_what_the_question_answers(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "today")
    found = reviewed(sample_logs, client)
    shown = recent(found.proposals)
    assert heading(app) == proposal_heading(shown, asks_first=asks_first(found.care))
    assert len(heading(app)) <= 60
    assert shown_description(app) == chart_description(shown)
    for one in shown:
        for hold in one.holds:
            assert hold.remedy == "" or "Log the joint pain" in hold.remedy or hold.remedy in texts(app)
    for sentence in DURING_A_SESSION:
        assert f"- {sentence}" in texts(app)


def test_signs_of_the_clients_own_region_stand_there(open_app: OpenApp, sample_logs: Path) -> None:
    knee = texts(open_app(sample_logs / "K-07", "today"))
    assert BY_REGION["knee or ankle"][0] in knee
    assert BY_REGION["neck"][0] not in knee
    for word in ("safe", "ready", "score out of"):
        assert word not in knee.lower()


def test_another_day_and_a_chance_on_request(open_app: OpenApp, sample_logs: Path) -> None:
    """Twelve days off start lighter; nothing is predicted until the button is pressed."""
    found = reviewed(sample_logs, "K-07")
    app = open_app(sample_logs / "K-07", "today")
    assert "Step-down, left, 8 kg" not in texts(app)
    app.button(key="what if asked").click().run()
    assert not app.exception
    assert "Step-down, left, 8 kg, 8 reps, lowering 2 s:" in texts(app)
    app.date_input[0].set_value(next_session_day(found.fit) + dt.timedelta(days=12)).run()
    assert not app.exception
    assert "the break of 28 Sep" in texts(app)


def test_the_dial_and_the_settings_change_what_is_proposed(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "today")
    usual = shown_description(app)
    app.segmented_control(key="may_hurt").set_value(1).run()
    assert not app.exception
    found = reviewed(sample_logs, "K-07")
    fewer = proposals(read_log(sample_logs / "K-07"), found.fit, settings=ProposalSettings(may_hurt=0.1))
    assert shown_description(app) == chart_description(recent(fewer)) != usual
    assert "at which 1 of 10 sets may hurt" in texts(app)
    assert "where 1 of 10 would hurt" in texts(app)
    app.number_input(key="setting restart_share").set_value(50.0).run()
    app.switch_page("views/harder.py").run()
    app.switch_page("views/today.py").run()
    assert "where 1 of 10 would hurt" in texts(app)
    assert app.number_input(key="setting restart_share").value == 50.0
    assert "loads start near 50 %" in texts(app)
    app.button(key="usual break_days").click().run()
    assert app.number_input(key="setting restart_share").value == 70.0


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "today")) == "No log is open"
