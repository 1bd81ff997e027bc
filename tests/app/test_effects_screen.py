"""Review: What brings it on. The same numbers as the review; too little data reads as help."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from analysis.results import Withheld
from dashboard.wording.effects import effects_heading, unknown_sentences
from tests.app.conftest import OpenApp
from tests.app.shown import STORIES, heading, reviewed, texts


@pytest.mark.parametrize("client", STORIES)
def test_the_line_that_hurt_most_opens_first(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    found = reviewed(sample_logs, client).effects
    assert not isinstance(found, Withheld)
    app = open_app(sample_logs / client, "effects")
    assert heading(app) == effects_heading(found.leading)
    for sentence in unknown_sentences(found.leading):
        assert f"- {sentence}" in texts(app)


def test_another_line_by_address_has_a_chart_of_its_own(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "effects", client="K-07", exercise="split squat", side="left")
    assert heading(app).startswith("Split squat, left")
    charts = [json.loads(one.proto.spec)["description"] for one in app.get("vega_lite_chart")]
    assert len(charts) == 2
    assert "10 % more load" in charts[0]
    assert "From one set to the next" in charts[1]


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "effects")) == "No log is open"
