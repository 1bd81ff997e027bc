"""Review: Sides. Left against right of a client; too little reads as help."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.wording.sides import not_yet, sides_heading
from tests.app.conftest import OpenApp
from tests.app.shown import chart_description, heading, links, reviewed, texts


@pytest.mark.parametrize("client", ["K-07", "E-12", "N-01"])
def test_the_heading_is_the_reviews(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "sides")
    rows = reviewed(sample_logs, client).sides
    assert heading(app) == sides_heading(rows)
    for sentence in not_yet(rows):
        assert f"- {sentence}" in texts(app)
    description = chart_description(app)
    assert (description is None) == (client == "N-01")
    if description is not None:
        assert " kg" in description


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "sides")) == "No log is open"


def test_only_broken_logs_lead_to_their_problems(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "broken" / "cells", "sides")
    assert heading(app) == "No log can be read"
    assert "See the problems" in links(app)
