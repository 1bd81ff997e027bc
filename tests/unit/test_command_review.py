"""`ebbline review`: text and JSON of a simulated client, broken neighbours, and every refusal."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from analysis.log import write_log
from analysis.simulate import simulate_client
from dashboard.command import run

CLIENT = "S-0001"
BAD = (
    "client,date,set,exercise,side,reps,load,unit,pain_left\nB-1,2026-03-02,1,step-down,left,eight,10,kg,12\n"
)
FIXED_KEYS = {
    *("schema", "client", "as_of", "n_sets", "n_asked", "n_sessions", "pain_level", "share_of_zeros"),
    *("unasked_share", "pain_line", "pain_line_change", "effects", "sides", "trend", "what_next", "harder"),
    *("month", "proposal", "fit"),
}
FIXED_LINE_KEYS = {
    *("exercise", "variant", "side", "works", "chance", "status", "load_kg", "low_kg", "high_kg"),
    *(
        "confidence_level",
        "low95_kg",
        "high95_kg",
        "last",
        "one_step_up",
        "n_sets",
        "n_painful",
        "lightest_kg",
    ),
    *("heaviest_kg", "probability_above_heaviest", "at", "reason", "remedy"),
}


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("logs")
    write_log(simulate_client(3, "W1", client=CLIENT).log, folder / "good")
    (folder / "broken").mkdir()
    (folder / "broken" / "sets.csv").write_text(BAD, encoding="utf-8")
    return folder


def test_json_is_alone_on_stdout_and_a_broken_neighbour_on_stderr(logs: Path, checkout: Path) -> None:
    command = [sys.executable, "-m", "dashboard.command", "review", CLIENT, "--logs", str(logs), "--json"]
    done = subprocess.run(
        command, cwd=checkout, capture_output=True, text=True, encoding="utf-8", check=False
    )
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer.keys() >= FIXED_KEYS
    assert (answer["schema"], answer["client"]) == (1, CLIENT)
    assert all(line.keys() >= FIXED_LINE_KEYS for line in answer["pain_line"])
    assert {line["chance"] for line in answer["pain_line"]} == {0.2, 0.5}
    assert "broken was left out: 2 problems" in done.stderr


def test_text_has_a_line_for_every_pain_line(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", CLIENT, "--logs", str(logs / "good")]) == 0
    text = capsys.readouterr().out.splitlines()
    assert run(["review", CLIENT, "--logs", str(logs / "good"), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert text[0].startswith(
        f"{CLIENT} up to {answer['as_of']}: {answer['n_sets']} sets, {answer['n_asked']} asked"
    )
    assert len(text) == 1 + len(answer["pain_line"]) + len(answer["fit"]["findings"])


def test_the_setting_asked_for_is_the_setting_used(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = "lowering_s=4,place=3"
    assert run(["review", CLIENT, "--logs", str(logs / "good"), "--json", "--at", at]) == 0
    used = [line["at"] for line in json.loads(capsys.readouterr().out)["pain_line"] if line["at"]]
    assert used
    assert {(one["lowering_s"], one["place"]) for one in used} == {(4.0, 3.0)}


def test_as_of_leaves_later_sets_out(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", CLIENT, "--logs", str(logs / "good"), "--json", "--as-of", "2026-01-20"]) == 0
    early = json.loads(capsys.readouterr().out)
    assert early["as_of"] == "2026-01-20"
    assert run(["review", CLIENT, "--logs", str(logs / "good"), "--json"]) == 0
    assert early["n_sets"] < json.loads(capsys.readouterr().out)["n_sets"]


REFUSED = {
    "unknown client": (["X-9"], 2, "no client 'X-9'"),
    "clients there are": (["X-9"], 2, f"there are: {CLIENT}."),
    "unknown setting": ([CLIENT, "--at", "tempo=2"], 2, "write name=value with one of: lowering_s"),
    "day": ([CLIENT, "--as-of", "20.1.2026"], 2, "--as-of is '20.1.2026'; write a day such as 2026-09-28."),
    "month": ([CLIENT, "--month", "2026-13"], 2, "--month is '2026-13'; write a year and a month"),
    "log of that name is broken": (["broken"], 1, "sets.csv, row 2, column reps: 'eight' is not a number."),
}


@pytest.mark.parametrize(("arguments", "code", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_refusals(
    logs: Path, arguments: list[str], code: int, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["review", *arguments, "--logs", str(logs), "--json"]) == code
    said = capsys.readouterr()
    assert said.out == ""
    assert message in said.err


def test_only_broken_logs(logs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", "B-1", "--logs", str(logs / "broken")]) == 1
    assert "column pain_left: 12 is outside 0 to 10" in capsys.readouterr().err


def test_logs_must_be_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["review", CLIENT]) == 2
    assert "Missing option '--logs'" in capsys.readouterr().err
