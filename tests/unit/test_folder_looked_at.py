"""What was looked at: kept over a restart, written whole or not at all, a damaged file ignored."""

from __future__ import annotations

import json
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from dashboard.store.folder_looked_at import LookedAtFile
from dashboard.store.folder_place import data_folder, own_logs_folder


def test_what_was_put_is_read_again_by_place_and_name(tmp_path: Path) -> None:
    file = LookedAtFile(tmp_path / "new" / "folder")
    assert (file.read("/logs").marks, file.read("/logs").remark) == ({}, None)
    file.put("/logs", "K-07", ["flare 2026-06-05", "trial due 2026-06-19"])
    file.put("/logs", "N-01", ["not logged 2026-06-01"])
    file.put("/other", "K-07", ["remarks 1 abc"])
    again = LookedAtFile(tmp_path / "new" / "folder")
    assert again.read("/logs").marks == {
        "K-07": ("flare 2026-06-05", "trial due 2026-06-19"),
        "N-01": ("not logged 2026-06-01",),
    }
    assert again.read("/other").marks == {"K-07": ("remarks 1 abc",)}


def test_later_marks_take_the_place_of_earlier_ones_and_none_forgets(tmp_path: Path) -> None:
    file = LookedAtFile(tmp_path)
    file.put("/logs", "K-07", ["a"])
    file.put("/logs", "K-07", ["b"])
    assert file.read("/logs").marks == {"K-07": ("b",)}
    file.put("/logs", "K-07", [])
    assert json.loads(file.path.read_text())["looked_at"] == {}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"schema": 2, "looked_at": {}}',
        '{"schema": 1, "looked_at": []}',
        '{"schema": 1, "looked_at": {"/logs": {"K-07": "flare"}}}',
        '{"schema": 1, "looked_at": {"/logs": {"K-07": [1]}}}',
        b"\xff\xfe",
    ],
)
def test_a_damaged_file_is_ignored_with_a_remark_and_kept_aside(tmp_path: Path, text: str | bytes) -> None:
    file = LookedAtFile(tmp_path)
    written = text if isinstance(text, bytes) else text.encode()
    file.path.write_bytes(written)
    found = file.read("/logs")
    assert found.marks == {}
    assert found.remark is not None
    assert str(file.path) in found.remark
    assert file.path.read_bytes() == written
    file.put("/logs", "K-07", ["a"])
    assert file.read("/logs").marks == {"K-07": ("a",)}
    assert (tmp_path / "looked_at.damaged").read_bytes() == written


def test_a_write_that_fails_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = LookedAtFile(tmp_path)
    file.put("/logs", "K-07", ["a"])

    def full(*_: object) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="disk full"):
        file.put("/logs", "K-07", ["b"])
    assert file.read("/logs").marks == {"K-07": ("a",)}
    assert [one.name for one in tmp_path.iterdir()] == [file.path.name]


@pytest.mark.skipif(os.name == "nt", reason="file modes of POSIX")
def test_only_this_person_may_read_it(tmp_path: Path) -> None:
    file = LookedAtFile(tmp_path)
    file.put("/logs", "K-07", ["a"])
    assert file.path.stat().st_mode & 0o077 == 0


def test_several_tabs_at_once_lose_nothing(tmp_path: Path) -> None:
    names = [f"A-{number:02d}" for number in range(40)]
    with ThreadPoolExecutor(8) as tabs:
        list(tabs.map(lambda name: LookedAtFile(tmp_path).put("/logs", name, [name]), names))
    assert sorted(LookedAtFile(tmp_path).read("/logs").marks) == names


def test_own_files_lie_where_the_environment_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("EBBLINE_DATA", str(tmp_path))
    assert (data_folder(), own_logs_folder()) == (tmp_path, tmp_path / "ebbline-logs")
    monkeypatch.delenv("EBBLINE_DATA")
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "home")
    assert own_logs_folder() == tmp_path / "home" / "ebbline-logs"
    assert data_folder().name.casefold() == "ebbline"
