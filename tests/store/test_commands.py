"""`ebbline add`, `export`, `backup` and `forget`: what they do, what they say, and their exit codes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from analysis.log import log_fingerprint, read_log
from dashboard.command import run

HEADINGS = "client,date,set,exercise,side,reps,load,unit\n"


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    """Two logs, of a set each."""
    for name, client in (("hill", "K-1"), ("mill", "K-2")):
        write(tmp_path / "logs" / name, f"{client},2026-03-02,1,step-down,left,8,10,kg")
    return tmp_path / "logs"


def write(folder: Path, *rows: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "sets.csv").write_text(HEADINGS + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return folder


def said(capsys: pytest.CaptureFixture[str], *arguments: str | os.PathLike[str]) -> tuple[int, str]:
    """Exit code and what was told; nothing goes to standard output."""
    code = run([str(argument) for argument in arguments])
    out, err = capsys.readouterr()
    assert out == ""
    return code, err


def test_in_and_out_again(url: str, logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    store = ("--store", url)
    assert said(capsys, "add", logs / "hill", logs / "mill", *store)[1].startswith(
        "2 rows added, 0 changed, 0 there"
    )
    assert said(capsys, "add", logs, *store)[1].startswith("0 rows added, 0 changed, 2 there already")
    assert said(capsys, "export", tmp_path / "out", *store)[0] == 0
    for name in ("hill", "mill"):
        assert log_fingerprint(read_log(tmp_path / "out" / name)) == log_fingerprint(read_log(logs / name))
    code, told = said(capsys, "backup", tmp_path / "copy.sqlite", *store)
    assert (code, "copied and read back" in told) == (0, True)
    code, told = said(capsys, "forget", "K-1", "--yes", *store)
    assert (code, "K-1: 1 row, 1 entries of the history and 0 drafts erased" in told) == (0, True)
    assert said(capsys, "export", tmp_path / "left", *store)[0] == 0
    assert set(read_log(tmp_path / "left").sets["client"]) == {"K-2"}
    assert said(capsys, "export", tmp_path / "all", "--store", tmp_path / "copy.sqlite")[0] == 0
    assert {path.name for path in (tmp_path / "all").iterdir()} == {"hill", "mill"}


def test_the_store_is_found_in_the_environment(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("EBBLINE_STORE", str(tmp_path / "mine.sqlite"))
    assert said(capsys, "add", logs)[0] == 0
    assert (tmp_path / "mine.sqlite").exists()
    monkeypatch.delenv("EBBLINE_STORE")
    assert said(capsys, "add", logs)[0] == 0
    assert (tmp_path / "own" / "ebbline.sqlite").exists()


def test_a_log_with_problems_adds_nothing(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(logs / "hill", "K-1,2026-03-02,1,step-down,lft,8,10,kg", "K-1,2026-03-02,2,step-down,left,8,1O,kg")
    write(logs / "mill", "K-2,2026-03-02,1,step-down,left,eight,10,kg")
    store = ("--store", tmp_path / "store.sqlite")
    code, told = said(capsys, "add", logs, *store)
    assert code == 1
    assert [line.split(":")[0] for line in told.splitlines()] == [
        "hill/sets.csv, row 2, column side",
        "hill/sets.csv, row 3, column load",
        "mill/sets.csv, row 2, column reps",
    ]
    code, told = said(capsys, "export", tmp_path / "out", *store)
    assert (code, "nothing in the store" in told) == (2, True)


def test_changed_rows_are_listed_and_wait(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = ("--store", tmp_path / "store.sqlite")
    assert said(capsys, "add", logs, *store)[0] == 0
    write(logs / "hill", "K-1,2026-03-02,1,step-down,left,8,12,kg", "K-1,2026-03-02,2,step-down,left,8,12,kg")
    code, told = said(capsys, "add", logs, *store)
    assert code == 1
    assert told.splitlines()[0] == "sets.csv, K-1, 2026-03-02, 1, 1: load 10 -> 12"
    assert "1 row is stored otherwise; nothing was added." in told
    told = said(capsys, "add", logs, "--changed", "keep", *store)[1]
    assert told.startswith("1 row added, 0 changed, 1 there already, 1 row kept as stored")
    assert said(capsys, "add", logs, "--changed", "take", *store)[1].startswith("0 rows added, 1 changed")
    assert said(capsys, "export", tmp_path / "out", *store)[0] == 0
    assert read_log(tmp_path / "out" / "hill").sets["load"].tolist() == [12.0, 12.0]


def test_forgetting_asks_first(
    logs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    store = ("--store", tmp_path / "store.sqlite")
    said(capsys, "add", logs, *store)
    monkeypatch.setattr("click.confirm", lambda question, **options: pytest.fail(question))
    with pytest.raises(pytest.fail.Exception, match="Erase everything about K-1"):
        run(["forget", "K-1", *map(str, store)])
    capsys.readouterr()
    assert said(capsys, "export", tmp_path / "out", *store)[0] == 0
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"hill", "mill"}


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (["forget", "K-9", "--yes"], 2, "Nothing is stored of a client 'K-9'"),
        (["export", "out", "--store", "mysql://db/logs"], 3, "A store cannot be at mysql://db/logs"),
        (["backup"], 2, "Missing argument 'FILE'"),
        (["add", "not there"], 2, "does not exist"),
    ],
)
def test_what_cannot_be_done_is_told(
    capsys: pytest.CaptureFixture[str], arguments: list[str], code: int, message: str
) -> None:
    found, told = said(capsys, *arguments)
    assert (found, message in told) == (code, True), told
