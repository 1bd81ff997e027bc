"""`ebbline sheet`: one page for each reader and paper, and every refusal."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from analysis.log import write_log
from analysis.simulate import simulate_client
from dashboard.command import run

CLIENT = "S-0001"
UNASKED = "client,date,set,exercise,side,reps,load,unit,pain_left\nU-1,2026-03-02,1,step-down,left,8,10,kg,\n"
BROKEN = (
    "client,date,set,exercise,side,reps,load,unit,pain_left\nB-1,2026-03-02,1,step-down,left,8,10,kg,12\n"
)
POINTS_PER_MM = 72 / 25.4
LETTER_MM = (215.9, 279.4)


@pytest.fixture(scope="module")
def logs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("logs")
    write_log(simulate_client(3, "W1", client=CLIENT).log, folder / "good")
    for name, text in (("U-1", UNASKED), ("B-1", BROKEN)):
        (folder / name).mkdir()
        (folder / name / "sets.csv").write_text(text, encoding="utf-8")
    return folder


def test_one_page_of_that_size(logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "k.pdf"
    arguments = [
        "--note",
        "Well done on the stairs.",
        "--next",
        "2026-12-01",
        "--flare",
        "Rest a day.\nCall me.",
    ]
    assert (
        run(["sheet", CLIENT, "--logs", str(logs), "--out", str(out), "--paper", "letter", *arguments]) == 0
    )
    said = capsys.readouterr()
    assert said.out == ""
    assert "one page for the trainee" in said.err
    (page,) = PdfReader(io.BytesIO(out.read_bytes())).pages
    wide, high = (float(side) / POINTS_PER_MM for side in (page.mediabox.width, page.mediabox.height))
    assert (wide, high) == pytest.approx(LETTER_MM, abs=0.1)
    text = page.extract_text()
    for told in ("Well done on the stairs.", "Tuesday, 1 Dec 2026", "Rest a day.", "Call me."):
        assert told in text
    assert "Common practice" not in text


def test_as_of_leaves_later_sets_out(logs: Path, tmp_path: Path) -> None:
    out = tmp_path / "k.pdf"
    arguments = ["--as-of", "2026-01-20", "--for", "clinician"]
    assert run(["sheet", CLIENT, "--logs", str(logs / "good"), "--out", str(out), *arguments]) == 0
    assert "Check-in for the clinician or coach, 20 Jan 2026" in PdfReader(out).pages[0].extract_text()


REFUSED = {
    "unknown client": (["X-9"], 2, "no client 'X-9'"),
    "nothing asked": (["U-1"], 2, "U-1 has nothing to hand over yet: 1 set is logged and none was asked"),
    "log of that name is broken": (["B-1"], 1, "column pain_left: 12 is outside 0 to 10"),
    "day": ([CLIENT, "--as-of", "20.1.2026"], 2, "--as-of is '20.1.2026'; write a day such as 2026-09-28."),
    "next day": ([CLIENT, "--next", "soon"], 2, "--next is 'soon'; write a day"),
    "reader": ([CLIENT, "--for", "nobody"], 2, "'nobody' is not one of"),
    "long note": ([CLIENT, "--note", "a" * 201], 2, "An own sentence has 201 characters; 200 have room"),
    "many notes": ([CLIENT, *["--note", "a"] * 4], 2, "There are 4 own sentences; 3 have room."),
}


@pytest.mark.parametrize(("arguments", "code", "message"), REFUSED.values(), ids=REFUSED.keys())
def test_refusals(
    logs: Path,
    tmp_path: Path,
    arguments: list[str],
    code: int,
    message: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = tmp_path / "k.pdf"
    assert run(["sheet", *arguments, "--logs", str(logs), "--out", str(out)]) == code
    assert message in capsys.readouterr().err
    assert not out.exists()


def test_a_folder_that_is_not_there(logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "none" / "k.pdf"
    assert run(["sheet", CLIENT, "--logs", str(logs), "--out", str(out)]) == 2
    assert "there is no folder" in capsys.readouterr().err
