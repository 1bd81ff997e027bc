"""Review: What happened next. All exercises first, one by choice; a client without pain reads as help."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.log import read_log
from analysis.questions.what_next import what_next
from dashboard.wording.what_next import what_next_heading, what_next_sentences
from tests.app.conftest import OpenApp
from tests.app.shown import chart_description, heading, texts


@pytest.mark.parametrize("client", ["K-07", "B-03", "N-01"])
def test_all_exercises_come_first(open_app: OpenApp, sample_logs: Path, client: str) -> None:
    app = open_app(sample_logs / client, "what_next")
    found = what_next(read_log(sample_logs / client), client)[0]
    assert heading(app) == what_next_heading(found)
    for sentence in what_next_sentences(found):
        assert f"- {sentence}" in texts(app)
    assert (chart_description(app) is None) == (client == "B-03")


def test_one_exercise_and_side_by_address(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "K-07", "what_next", client="K-07", exercise="split squat", side="right")
    found = next(
        one
        for one in what_next(read_log(sample_logs / "K-07"), "K-07")
        if (one.exercise, one.side) == ("split squat", "right")
    )
    assert heading(app) == what_next_heading(found)
    assert "Split squat, right" in texts(app)


def test_an_exercise_named_like_a_picture_stays_text(open_app: OpenApp, tmp_path: Path) -> None:
    evil = "![x](https://evil.example/p.png)"
    rows = "".join(f"M-01,2026-09-0{day},1,{evil},left,12,kg,8,4\n" for day in range(1, 9))
    (tmp_path / "sets.csv").write_text("client,date,set,exercise,side,load,unit,reps,pain_left\n" + rows)
    app = open_app(tmp_path, "what_next", client="M-01", exercise=evil, side="left")
    assert f"{evil}, left: 8 sets" in texts(app)
    assert not any("![" in one.value for one in (*app.header, *app.markdown, *app.caption))
