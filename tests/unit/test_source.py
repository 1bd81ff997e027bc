"""Logs in a folder: clients of all of them, broken ones apart, read again when a file changes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from analysis.errors import OptionError
from analysis.log import log_fingerprint, read_log
from dashboard.store.source import FolderSource, LogSource

OWNER = "ana"
HEADINGS = "client,date,set,exercise,side,reps,load,unit,pain_left\n"


def write_sets(folder: Path, *rows: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "sets.csv").write_text(HEADINGS + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return folder


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    write_sets(
        tmp_path / "hill",
        "K-1,2026-03-02,1,step-down,left,8,10,kg,0",
        "K-1,2026-03-04,1,step-down,left,8,12,kg,2",
        "A-2,2026-03-03,1,step-up,left,8,8,kg,1",
    )
    write_sets(tmp_path / "mill", "Z-3,2026-03-05,1,step-up,left,eight,8,kg,11")
    return tmp_path


def test_clients_by_code_with_what_is_logged(logs: Path) -> None:
    source: LogSource = FolderSource(logs)
    found = source.clients(OWNER)
    assert [(ref.client, ref.log_name, ref.n_sets, str(ref.last_date)) for ref in found] == [
        ("A-2", "hill", 1, "2026-03-03"),
        ("K-1", "hill", 2, "2026-03-04"),
    ]


def test_a_client_without_sets_is_there_too(logs: Path) -> None:
    (logs / "hill" / "clients.csv").write_text("client\nN-9\nK-1\n", encoding="utf-8")
    by_code = {ref.client: ref for ref in FolderSource(logs).clients(OWNER)}
    assert (by_code["N-9"].n_sets, by_code["N-9"].last_date) == (0, None)


def test_a_broken_log_is_told_and_hides_no_other(logs: Path) -> None:
    (broken,) = FolderSource(logs).problems(OWNER)
    assert broken.path == logs / "mill"
    assert [(one.file, one.row, one.column) for one in broken.problems] == [
        ("sets.csv", 2, "reps"),
        ("sets.csv", 2, "pain_left"),
    ]


def test_the_log_and_its_revision(logs: Path) -> None:
    log, revision = FolderSource(logs).log(OWNER, "K-1")
    assert revision == log_fingerprint(read_log(logs / "hill"))
    assert set(log.sets["client"]) == {"K-1", "A-2"}


def test_an_unchanged_log_is_read_once(logs: Path) -> None:
    source = FolderSource(logs)
    assert source.log(OWNER, "K-1")[0] is source.log(OWNER, "A-2")[0]


def test_a_changed_log_is_read_again(logs: Path) -> None:
    source = FolderSource(logs)
    _, before = source.log(OWNER, "K-1")
    write_sets(logs / "hill", "K-1,2026-03-02,1,step-down,left,8,100,kg,0")
    log, after = source.log(OWNER, "K-1")
    assert after != before
    assert log.sets["load"].tolist() == [100.0]


def test_a_mended_log_is_no_longer_broken(logs: Path) -> None:
    source = FolderSource(logs)
    assert source.problems(OWNER)
    write_sets(logs / "mill", "Z-3,2026-03-05,1,step-up,left,8,8,kg,1")
    assert source.problems(OWNER) == ()
    assert "Z-3" in {ref.client for ref in source.clients(OWNER)}


def test_a_log_that_is_gone_takes_its_clients_along(logs: Path) -> None:
    source = FolderSource(logs)
    write_sets(logs / "mill", "Z-3,2026-03-05,1,step-up,left,8,8,kg,1")
    assert "Z-3" in {ref.client for ref in source.clients(OWNER)}
    (logs / "mill" / "sets.csv").unlink()
    (logs / "mill").rmdir()
    assert "Z-3" not in {ref.client for ref in source.clients(OWNER)}


def test_an_unknown_client_lists_those_there_are(logs: Path) -> None:
    with pytest.raises(OptionError, match=r"no client 'Q-1' in .*; there are: A-2, K-1\."):
        FolderSource(logs).log(OWNER, "Q-1")


def test_a_client_in_two_logs_is_told_and_the_first_is_used(logs: Path) -> None:
    write_sets(logs / "ridge", "K-1,2026-03-09,1,step-down,left,8,14,kg,0")
    source = FolderSource(logs)
    assert source.log(OWNER, "K-1")[0].sets["load"].tolist() == [10.0, 12.0, 8.0]
    twice = [
        one
        for broken in source.problems(OWNER)
        for one in broken.problems
        if one.code == "client_in_two_logs"
    ]
    assert [(one.file, one.value) for one in twice] == [("ridge", "K-1")]
    assert "hill, which is the one used" in twice[0].sentence


def test_every_log_is_read_once_and_tells_how_far_it_is(sample_logs: Path, tmp_path: Path) -> None:
    for name in ("K-07", "N-01"):
        shutil.copytree(sample_logs / name, tmp_path / name)
    source, told = FolderSource(tmp_path), list[tuple[int, int]]()
    found = source.every_log("local", told=lambda n_read, n_logs: told.append((n_read, n_logs)))
    assert [(ref.client, ref.log_name) for ref, _, _ in found] == [("K-07", "K-07"), ("N-01", "N-01")]
    assert told == [(0, 2), (1, 2)]
    for ref, log, revision in found:
        assert (log, revision) == source.log("local", ref.client)
    source.every_log("local", told=lambda n_read, n_logs: told.append((n_read, n_logs)))
    assert len(told) == 2
