"""Out of the store: the same log back, to the byte; a copy that is a store of its own."""

from __future__ import annotations

import sqlite3
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import openpyxl
import pytest
from sqlalchemy import Table

from analysis.errors import OptionError
from analysis.log import log_fingerprint, read_log, write_log
from dashboard.store import backup
from dashboard.store.backup import back_up
from dashboard.store.drafts import DraftMark, put_draft, read_drafts
from dashboard.store.engine import Store
from dashboard.store.export import export_logs
from dashboard.store.history import history, undo
from dashboard.store.refusals import StoreError
from dashboard.store.schema_version import open_store
from tests.small_logs import small_log, squat
from tests.store.entries import OWNER, a_set, add, contents, fingerprints, new_id, put


def files(folder: Path) -> Mapping[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize("name", ["K-07", "B-03"])
def test_a_log_is_exported_to_the_byte(store: Store, sample_logs: Path, tmp_path: Path, name: str) -> None:
    log = read_log(sample_logs / name)
    write_log(log, tmp_path / "plain")
    add(store, (name, log))
    assert export_logs(store, OWNER, tmp_path / "out") == (tmp_path / "out",)
    assert files(tmp_path / "out") == files(tmp_path / "plain")


def test_several_logs_get_a_folder_each(store: Store, tmp_path: Path) -> None:
    clients = {
        name: small_log([squat(0, 1, 10, 0, kind="working") | {"client": f"T-{i}"}])
        for i, name in enumerate(["a/b", "a_b"])
    }
    add(store, *clients.items())
    export_logs(store, OWNER, tmp_path / "out")
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"a_b", "a_b 2"}
    assert log_fingerprint(read_log(tmp_path / "out" / "a_b")) == log_fingerprint(clients["a/b"])


def test_an_export_does_not_mix_with_what_is_there(store: Store, tmp_path: Path) -> None:
    with pytest.raises(OptionError, match="nothing in the store"):
        export_logs(store, OWNER, tmp_path / "out")
    put(store, "sets", a_set())
    export_logs(store, OWNER, tmp_path / "out")
    with pytest.raises(OptionError, match="choose an empty folder"):
        export_logs(store, OWNER, tmp_path / "out")


def test_a_log_is_handed_over_as_one_file(store: Store, sample_logs: Path, tmp_path: Path) -> None:
    put(
        store, "sets", a_set(load=12.5, note="=1+1", tempo="3-1-X-0", load_basis="bodyweight", test_set="yes")
    )
    put(store, "sets", a_set(2, load=-5, note="@sum\nand - + lines", load_basis="bodyweight"))
    expected = fingerprints(store)["K-1"]
    for name in ("out.xlsx", "out.zip"):
        assert export_logs(store, OWNER, tmp_path / name) == (tmp_path / name,)
        with pytest.raises(OptionError, match="there already"):
            export_logs(store, OWNER, tmp_path / name)
    with zipfile.ZipFile(tmp_path / "out.zip") as pack:
        pack.extractall(tmp_path / "back")
    assert log_fingerprint(read_log(tmp_path / "back" / "K-1")) == expected
    assert log_fingerprint(read_log(tmp_path / "out.xlsx")) == expected
    cells = [
        cell for row in openpyxl.load_workbook(tmp_path / "out.xlsx")["sets"].iter_rows() for cell in row
    ]
    assert {cell.data_type for cell in cells if cell.value in ("=1+1", "@sum\nand - + lines")} == {"s"}
    assert {cell.value for cell in cells if cell.data_type == "n"} >= {12.5, -5, 8}
    put(store, "sets", a_set(client="K-2"))
    with pytest.raises(OptionError, match="a workbook holds one"):
        export_logs(store, OWNER, tmp_path / "two.xlsx")
    assert not (tmp_path / "two.xlsx").exists()


def test_a_backup_is_a_store_with_everything_in_it(store: Store, sample_logs: Path, tmp_path: Path) -> None:
    add(store, ("K-07", read_log(sample_logs / "K-07")))
    put(store, "sets", a_set(note='ünïcode, "quotes"\nand lines'))
    put_draft(store, OWNER, DraftMark(name="s-1", number=1), client="K-1", content="half a set")
    done = back_up(store, tmp_path / "copy.sqlite")
    copy = open_store(str(tmp_path / "copy.sqlite"))
    try:
        assert contents(copy) == contents(store)
        assert history(copy, OWNER) == history(store, OWNER)
        assert read_drafts(copy, OWNER) == read_drafts(store, OWNER)
        undo(copy, OWNER, change_id=new_id())
        assert contents(copy) != contents(store)
    finally:
        copy.close()
    assert done.n_rows > 651
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []
    with pytest.raises(OptionError, match="there already"):
        back_up(store, tmp_path / "copy.sqlite")


def test_a_backup_does_not_wait_for_a_writer_nor_show_its_half(store: Store, tmp_path: Path) -> None:
    put(store, "sets", a_set(1))
    with store.write() as connection:
        connection.exec_driver_sql("DELETE FROM log_sets")
        back_up(store, tmp_path / "copy.sqlite")
    copy = open_store(str(tmp_path / "copy.sqlite"))
    try:
        assert len(contents(copy)) == 1
    finally:
        copy.close()


def test_a_copy_that_does_not_read_back_is_no_backup(
    store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(store, "sets", a_set(1))
    whole = backup._read_back

    def spoiled(path: Path, tables: Sequence[Table]) -> tuple[int, str]:
        with sqlite3.connect(path) as connection:
            connection.execute("UPDATE log_sets SET load = '13'")
        connection.close()
        return whole(path, tables)

    monkeypatch.setattr(backup, "_read_back", spoiled)
    with pytest.raises(StoreError, match="does not read back"):
        back_up(store, tmp_path / "copy.sqlite")
    assert list(tmp_path.iterdir()) == []


def test_a_copy_that_cannot_be_written_leaves_no_file(store: Store, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="No file was left"):
        back_up(store, tmp_path / "not there" / "copy.sqlite")
