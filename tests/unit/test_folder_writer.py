"""A new client's folder: whole or not at all, never over another, and taken back only as it was written."""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from analysis.errors import EbblineError, OptionError
from analysis.log import check_log, log_fingerprint, read_log, write_log
from analysis.questions.review import review
from dashboard.store.folder_intake import intake_log
from dashboard.store.folder_writer import Begun, FolderWriter, is_one_log
from dashboard.store.source import FolderSource
from tests.unit.test_folder_intake import WHOLE

LOG = intake_log(WHOLE)


def begin(folder: Path) -> Begun:
    return FolderWriter(folder).begin("local", "M-14", LOG)


def test_it_reads_back_the_same_and_is_in_canonical_form(tmp_path: Path) -> None:
    folder = tmp_path / "not" / "there yet"
    begun = begin(folder)
    assert begun.where == str(folder / "M-14")
    assert [one.name for one in folder.iterdir()] == ["M-14"]
    again = read_log(folder / "M-14")
    assert log_fingerprint(again) == log_fingerprint(LOG)
    assert sorted(begun.contents) == ["clients.csv", "sets.csv", "sites.csv", "tasks.csv"]
    write_log(again, tmp_path / "copy")
    for name, content in begun.contents.items():
        assert (tmp_path / "copy" / name).read_bytes() == content
    assert check_log(folder / "M-14").problems == ()
    (ref,) = FolderSource(folder).clients("local")
    assert (ref.client, ref.n_sets, ref.last_date) == ("M-14", 0, None)
    assert review(again, client="M-14").lines == ()


@pytest.mark.parametrize("there", ["M-14", "m-14"])
def test_a_folder_of_that_name_is_never_written_into(tmp_path: Path, there: str) -> None:
    (tmp_path / there).mkdir()
    (tmp_path / there / "letter.txt").write_text("mine")
    with pytest.raises(OptionError, match="already; choose another code"):
        begin(tmp_path)
    assert [one.name for one in tmp_path.rglob("*")] == [there, "letter.txt"]


def test_a_client_of_another_name_of_folder_counts_too(tmp_path: Path) -> None:
    write_log(LOG, tmp_path / "some folder")
    assert FolderWriter(tmp_path).codes("local") == ("M-14", "some folder")
    with pytest.raises(OptionError, match="already"):
        begin(tmp_path)


def test_a_log_itself_takes_no_further_client(tmp_path: Path) -> None:
    write_log(LOG, tmp_path)
    assert is_one_log(tmp_path)
    assert not is_one_log(tmp_path / "gone")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(OptionError, match="is a log itself"):
        FolderWriter(tmp_path).begin("local", "M-15", LOG)
    assert sorted(tmp_path.iterdir()) == before


@pytest.mark.parametrize("fails", ["write", "read back", "rename"])
def test_a_save_that_fails_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError("disk full")

    place = {"write": "write_log", "read back": "read_log", "rename": "os.rename"}[fails]
    monkeypatch.setattr(f"dashboard.store.folder_writer.{place}", full)
    with pytest.raises(OSError, match="disk full"):
        begin(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_what_does_not_read_back_the_same_is_not_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = intake_log(replace(WHOLE, goal="another"))
    monkeypatch.setattr("dashboard.store.folder_writer.read_log", lambda _: other)
    with pytest.raises(OSError, match="does not read back"):
        begin(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_it_is_taken_back_as_if_it_had_never_been(tmp_path: Path) -> None:
    (tmp_path / "K-07").mkdir()
    (tmp_path / "K-07" / "sets.csv").write_text("mine")
    begun = begin(tmp_path)
    FolderWriter(tmp_path).take_back("local", begun)
    assert [one.name for one in tmp_path.iterdir()] == ["K-07"]
    with pytest.raises(OptionError, match="not there any more"):
        FolderWriter(tmp_path).take_back("local", begun)


@pytest.mark.parametrize("change", ["changed", "added", "added below", "removed"])
def test_nothing_is_taken_back_once_anything_was_added(tmp_path: Path, change: str) -> None:
    begun = begin(tmp_path)
    home = Path(begun.where)
    if change == "changed":
        with (home / "sets.csv").open("a") as file:
            file.write("M-14,2026-09-30,1,1,working,step-down,left,8,\n")
    elif change == "removed":
        (home / "tasks.csv").unlink()
    else:
        below = home / "letters" if change == "added below" else home
        below.mkdir(exist_ok=True)
        (below / "days.csv").write_text("client,date,pain_morning\nM-14,2026-09-29,1\n")
    before = {path: path.read_bytes() for path in home.rglob("*") if path.is_file()}
    with pytest.raises(OptionError, match="added or changed"):
        FolderWriter(tmp_path).take_back("local", begun)
    assert {path: path.read_bytes() for path in home.rglob("*") if path.is_file()} == before
    assert [one.name for one in tmp_path.iterdir()] == ["M-14"]


def test_two_saves_at_once_write_one_client(tmp_path: Path) -> None:
    def save(_: int) -> bool:
        try:
            begin(tmp_path)
        except EbblineError:
            return False
        return True

    with ThreadPoolExecutor(6) as clicks:
        assert sum(clicks.map(save, range(6))) == 1
    assert os.listdir(tmp_path) == ["M-14"]
