"""Review: Pain line. The right line, its sentence, its chart, and what is said where there is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.errors import FitError
from dashboard import compute
from dashboard.wording.clients import leading_line
from dashboard.wording.line_names import side_name
from dashboard.wording.pain_line import pain_line_heading
from tests.app.conftest import OpenApp
from tests.app.shown import (
    STORIES,
    chart_description,
    chart_descriptions,
    heading,
    links,
    reviewed,
    tables,
    texts,
)


@pytest.mark.parametrize("client", STORIES)
def test_it_opens_on_the_line_that_hurts_most(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "pain_line")
    row = leading_line(reviewed(sample_logs, client).lines)
    assert row is not None
    assert heading(app) == pain_line_heading(row)
    assert len(heading(app)) <= 60
    assert "not a diagnosis" in texts(app)
    assert chart_description(app)


def test_an_address_opens_its_line(open_app: OpenApp, sample_logs: Path) -> None:
    rows = reviewed(sample_logs, "K-07").lines
    leading = leading_line(rows)
    assert leading is not None
    row = next(one for one in rows if one.chance == 0.2 and one.key.exercise != leading.key.exercise)
    app = open_app(
        sample_logs,
        "pain_line",
        client="K-07",
        exercise=row.key.exercise,
        variant=row.key.variant,
        side=side_name(row.key),
    )
    assert heading(app) == pain_line_heading(row)
    assert heading(app) != pain_line_heading(leading)


def test_an_address_that_fits_nothing_opens_what_there_is(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(
        sample_logs / "N-01", "pain_line", client="nobody", exercise="hop", variant="x", side="both"
    )
    assert app.selectbox(key="client").value == "N-01"


def test_another_side_is_another_line(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "pain_line", exercise="step-down", side="left")
    left = texts(app)
    app.segmented_control(key="side").set_value("right").run()
    assert not app.exception
    assert "Step-down, right" in texts(app)
    assert "Step-down, left ·" not in texts(app)
    assert texts(app) != left


def test_chances_stand_beside_the_line_as_counts_of_ten(open_app: OpenApp, sample_logs: Path) -> None:
    shown = texts(open_app(sample_logs / "K-07", "pain_line"))
    assert "At the last load" in shown
    assert "One step up" in shown
    assert "of 10 sets like this one" in shown


def test_the_fold_says_how_it_was_computed(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "pain_line")
    (fold,) = (one for one in app.expander if one.label == "How this was computed")
    inside = "\n".join(str(one.value) for one in fold.markdown)
    for word in ("Model", "engine", "80", "95", "scores are 0", "reference", "simulation"):
        assert word in inside, word


def test_too_little_says_why_and_what_would_tell(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "N-01", "pain_line")
    assert "annot say yet" in heading(app)
    assert "of 10 sets like this one" not in texts(app)


def test_every_line_stands_in_the_table(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "pain_line")
    ((headings, *rows),) = tables(app)
    lines = [one for one in reviewed(sample_logs, "K-07").lines if one.chance == 0.2]
    assert headings[0] == "line"
    assert len(rows) == len(lines)
    assert rows[0][0].split(",")[0].lower() in heading(app).lower() + texts(app).lower()
    assert not app.dataframe  # a grid would be cut on a phone


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "pain_line")) == "No log is open"


def test_a_failed_fit_is_told_and_what_to_do(
    open_app: OpenApp, sample_logs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(opened: compute.OpenClient) -> None:
        raise FitError("The optimiser stopped without a usable answer.")

    monkeypatch.setattr(compute, "client_review", fails)
    app = open_app(sample_logs / "N-01", "pain_line")
    assert heading(app) == "No answer for this client"
    assert "The optimiser stopped" in texts(app)
    assert "Log page" in texts(app)


def test_only_broken_logs_lead_to_their_problems(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "broken" / "cells", "pain_line")
    assert heading(app) == "No log can be read"
    assert "See the problems" in links(app)


def test_pain_at_one_set_is_drawn_week_by_week_with_the_test_sets(
    open_app: OpenApp, sample_logs: Path
) -> None:
    app = open_app(sample_logs / "K-07", "pain_line", exercise="stair step-down, fixed load", side="left")
    _, drawn = chart_descriptions(app)
    assert "Test set at 6 kg: 10 ratings" in drawn
    assert "expected pain" in drawn
    assert drawn in " ".join(texts(app).splitlines())


def test_a_line_that_never_hurt_has_no_course_to_draw(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "B-03", "pain_line")
    assert len(chart_descriptions(app)) == 1
    assert "pain has no course to follow" in texts(app)
