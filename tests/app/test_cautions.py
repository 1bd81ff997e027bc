"""Stop signs stand where a plan is made, and wherever lately something asked for care."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.conftest import OpenApp
from tests.app.shown import texts

SIGNS = "These are common signs, not a complete list"
KNEE = "A locked knee"
EVERY_REVIEW = ("pain_line", "effects", "what_next", "harder", "sides")


@pytest.mark.parametrize("screen", ["today", "harder"])
@pytest.mark.parametrize("client", ["K-07", "N-01"])
def test_they_stand_where_a_plan_is_made(
    open_app: OpenApp, sample_logs: Path, screen: str, client: str
) -> None:
    shown = texts(open_app(sample_logs / client, screen))
    assert SIGNS in shown
    assert KNEE in shown


@pytest.mark.parametrize("screen", EVERY_REVIEW)
def test_they_stand_wherever_pain_was_high_lately(open_app: OpenApp, sample_logs: Path, screen: str) -> None:
    shown = texts(open_app(sample_logs / "K-07", screen))
    assert SIGNS in shown
    assert "28 Sep: pain 5 of 10 in split squat, right, over the limit of 3 during a set." in shown


@pytest.mark.parametrize("screen", ["pain_line", "sides"])
def test_they_do_not_where_nothing_asked_for_care(open_app: OpenApp, sample_logs: Path, screen: str) -> None:
    shown = texts(open_app(sample_logs / "B-03", screen))
    assert SIGNS not in shown
    assert "not a diagnosis" in shown
