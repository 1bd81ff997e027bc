"""The sample logs are what their script makes, can be read without a problem, and show what they are meant to show."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.log import check_log, read_log
from analysis.models.pain_model import fit_pain_model
from analysis.questions.pain_line import pain_line
from analysis.results import PainLine
from sample_logs.make_sample_logs import differing_files

SAMPLES = Path(__file__).parents[2] / "sample_logs"
CLIENTS = ("K-07", "E-12", "B-03", "N-01", "Y-20")


def test_the_committed_files_are_what_the_script_makes() -> None:
    assert differing_files() == []


@pytest.mark.parametrize("client", CLIENTS)
def test_every_sample_can_be_read(client: str) -> None:
    checked = check_log(SAMPLES / client)
    assert checked.problems == ()
    assert checked.n_rows > 10
    assert set(read_log(SAMPLES / client).sets["client"]) == {client}


def test_the_knee_shows_a_reached_line_with_the_left_below_the_right() -> None:
    fit = fit_pain_model(read_log(SAMPLES / "K-07"), client="K-07")
    statuses = set()
    for exercise in ("step-down", "split squat"):
        lines = {}
        for side in ("left", "right"):
            line = pain_line(fit, exercise=exercise, variant="standard", side=side)
            assert isinstance(line, PainLine)
            assert line.status == "reached"
            lines[side] = line
        assert lines["left"].load_kg is not None
        assert lines["right"].load_kg is not None
        assert lines["left"].load_kg < lines["right"].load_kg
    for key in fit.tried:
        line = pain_line(fit, exercise=key.exercise, variant=key.variant, side=key.side, works=key.works)
        statuses.add(line.status if isinstance(line, PainLine) else "withheld")
    assert {"reached", "above_tried", "lower_only", "withheld"} <= statuses
