"""`ebbline check`: what it prints, where it prints it, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dashboard.command import run

GOOD = "client,date,set,exercise,side,reps,load,unit,pain_left\nK-1,2026-03-02,1,step-down,left,8,10,kg,0\n"
BAD = (
    "client,date,set,exercise,side,reps,load,unit,pain_left\nK-1,2026-03-02,1,step-down,left,eight,10,kg,12\n"
)


@pytest.fixture
def good(tmp_path: Path) -> Path:
    (tmp_path / "good").mkdir()
    (tmp_path / "good" / "sets.csv").write_text(GOOD, encoding="utf-8")
    return tmp_path / "good"


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "sets.csv").write_text(BAD, encoding="utf-8")
    return tmp_path / "bad"


def test_a_good_log(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(good)]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "1 row of sets, 0 problems, 0 remarks."


def test_every_problem_on_a_line_of_its_own(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", str(bad)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("sets.csv, row 2, column reps: 'eight' is not a number.")
    assert lines[1].startswith("sets.csv, row 2, column pain_left: 12 is outside 0 to 10.")
    assert lines[2] == "1 row of sets, 2 problems, 0 remarks."


def test_json_holds_all_paths_and_nothing_else_is_on_stdout(
    good: Path, bad: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", "--json", str(good), str(bad)]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert (answer["schema"], answer["n_rows"], answer["remarks"]) == (1, 2, [])
    places = [(one["file"], one["row"], one["column"], one["value"]) for one in answer["problems"]]
    assert places == [(f"{bad}/sets.csv", 2, "reps", "eight"), (f"{bad}/sets.csv", 2, "pain_left", "12")]
    assert all(one["what"] and one["mend"] for one in answer["problems"])


def test_nothing_is_written(bad: Path) -> None:
    before = sorted(bad.parent.rglob("*"))
    run(["check", str(bad)])
    assert sorted(bad.parent.rglob("*")) == before
    assert (bad / "sets.csv").read_text(encoding="utf-8") == BAD


@pytest.mark.parametrize(
    "arguments", [[], ["check"], ["check", "no/such/log"], ["mend"], ["check", "--quick", "."]]
)
def test_wrong_use(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "ebbline" in said.err


def test_a_file_that_is_no_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "walk.png").write_bytes(b"")
    assert run(["check", str(tmp_path / "walk.png")]) == 2
    assert "walk.png is no log" in capsys.readouterr().err


def test_an_unforeseen_fault_is_told_without_a_traceback(
    good: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fails(path: Path) -> None:
        raise ZeroDivisionError("divided by nothing")

    monkeypatch.setattr("analysis.log.check_log", fails)
    assert run(["check", str(good)]) == 3
    said = capsys.readouterr().err
    assert said.startswith("Error: ZeroDivisionError: divided by nothing")
    assert "Traceback" not in said


@pytest.mark.parametrize("command", ["open", "check", "review"])
def test_every_command_explains_itself_with_an_example(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([command, "--help"]) == 0
    assert f"Example: ebbline {command}" in capsys.readouterr().out
