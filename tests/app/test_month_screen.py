"""Review: Month. The newest month first, every other one by choice."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.log import read_log
from analysis.questions.month import month_summary
from analysis.tables import review_json
from dashboard.wording.month import month_heading, month_sentences
from dashboard.wording.month_beside import each_line_rows, everything_rows, line_rows, month_cautions
from tests.app.conftest import OpenApp
from tests.app.shown import STORIES, chart_description, heading, links, reviewed, texts


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


@pytest.mark.parametrize("client", STORIES)
def test_numbers_of_both_months_stand_on_the_screen(
    open_app: OpenApp, sample_logs: Path, client: str
) -> None:
    shown = texts(open_app(sample_logs / client, "month"))
    month = month_summary(read_log(sample_logs / client), client)
    for row in (*line_rows(month), *everything_rows(month), *each_line_rows(month)):
        assert f"| {' | '.join(row)} |" in shown
    for caution in month_cautions(month):
        assert f"- {caution}" in shown


def test_numbers_on_the_screen_are_those_of_the_json(open_app: OpenApp, sample_logs: Path) -> None:
    shown = texts(open_app(sample_logs / "E-12", "month"))
    told = review_json(reviewed(sample_logs, "E-12"))["month"]["beside"]
    for name in ("line", "line_before", "everything", "everything_before"):
        part = told[name]
        asked, felt, made_up = part["asked"], part["felt"], part["compensation"]
        assert f"{asked['n_asked']} of {part['n_sets']} (" in shown
        assert f"{asked['n_painful']} of {asked['n_asked']}, " in shown
        assert f"({part['burn']['n_logged']} of {part['n_sets']} sets)" in shown
        assert f"target {felt['target']} of {felt['target'] + felt['elsewhere']}, elsewhere" in shown
        assert f"none {made_up['none']}, slight {made_up['slight']}, clear {made_up['clear']}" in shown
    assert f"{told['mornings_before']['n_up']} of {told['mornings_before']['n_known']} up" in shown


def test_a_month_alone_says_so(open_app: OpenApp, sample_logs: Path) -> None:
    shown = texts(open_app(sample_logs / "N-01", "month"))
    assert "Nothing was logged in August 2026" in shown


def test_nothing_is_cut_into_a_grid(open_app: OpenApp, sample_logs: Path) -> None:
    """A grid scrolls sideways on a phone; the month has tables that wrap."""
    assert not open_app(sample_logs / "K-07", "month").dataframe


def test_what_asks_for_care_stands_on_the_newest_month_only(open_app: OpenApp, sample_logs: Path) -> None:
    newest = open_app(sample_logs / "K-07", "month")
    oldest = open_app(sample_logs / "K-07", "month", month="2026-07")
    told = [[one.value for one in app.subheader] for app in (newest, oldest)]
    assert "Stop and see a clinician" in told[0]
    assert "Stop and see a clinician" not in told[1]
