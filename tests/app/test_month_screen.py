"""Review: Month. The newest month first, every other one by choice."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.log import read_log
from analysis.questions.month import month_summary
from dashboard.wording.month import month_heading, month_sentences
from tests.app.conftest import OpenApp
from tests.app.shown import STORIES, chart_description, heading, links, texts


@pytest.mark.parametrize("client", STORIES)
def test_the_newest_month_opens_first(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "month")
    month = month_summary(read_log(sample_logs / client), client)
    assert heading(app) == month_heading(month)
    for sentence in month_sentences(month):
        assert f"- {sentence}" in texts(app)
    assert chart_description(app)


def test_another_month_by_choice_and_by_address(open_app: OpenApp, sample_logs: Path) -> None:
    oldest = month_summary(read_log(sample_logs / "K-07"), "K-07").months[0]
    app = open_app(sample_logs / "K-07", "month")
    app.selectbox(key="month").set_value(oldest).run()
    assert not app.exception
    chosen = heading(app)
    assert chosen == month_heading(month_summary(read_log(sample_logs / "K-07"), "K-07", month=oldest))
    assert heading(open_app(sample_logs, "month", client="K-07", month=oldest)) == chosen


def test_pain_never_stands_without_its_load(open_app: OpenApp, sample_logs: Path) -> None:
    description = chart_description(open_app(sample_logs / "K-07", "month"))
    assert description is not None
    assert " kg" in description


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "month")) == "No log is open"


def test_only_broken_logs_lead_to_their_problems(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "broken" / "cells", "month")
    assert heading(app) == "No log can be read"
    assert "See the problems" in links(app)
