"""Review: Easier and harder. The same numbers as the review, and help where no variant is next."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.wording.harder import harder_heading, not_yet_sentences, withheld_sentences
from tests.app.conftest import OpenApp
from tests.app.shown import chart_description, heading, reviewed, texts


@pytest.mark.parametrize("client", ["K-07", "N-01"])
def test_it_says_what_is_due_and_what_is_not_yet(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "harder")
    found = reviewed(sample_logs, client)
    assert heading(app) == harder_heading(found.harder)
    for sentence in (*not_yet_sentences(found.harder, "kg"), *withheld_sentences(found.harder)):
        assert f"- {sentence}" in texts(app)
    assert chart_description(app)


def test_criteria_can_be_set(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "harder")
    app.number_input(key="setting reserve_reps").set_value(0.0).run()
    assert not app.exception
    assert "with 0 or more in reserve" in texts(app)
    assert "1 in reserve on 26 Sep" not in texts(app)
