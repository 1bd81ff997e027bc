"""The store as a source of logs: what a folder of the same logs says, read again only when something changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.errors import LogError, OptionError
from analysis.log import read_log
from dashboard.store.database_source import StoreSource
from dashboard.store.engine import Store
from dashboard.store.history import undo
from dashboard.store.records import Edit, save
from dashboard.store.source import FolderSource, LogSource
from tests.store.entries import OWNER, a_set, add, new_id, put


def test_it_says_what_a_folder_of_the_logs_says(store: Store, sample_logs: Path, tmp_path: Path) -> None:
    for name in ("K-07", "N-01"):
        (tmp_path / name).symlink_to(sample_logs / name)
        add(store, (name, read_log(sample_logs / name)))
    source: LogSource = StoreSource(store)
    folder = FolderSource(tmp_path)
    assert source.clients(OWNER) == folder.clients(OWNER)
    assert [(ref, revision) for ref, _, revision in source.every_log(OWNER)] == [
        (ref, revision) for ref, _, revision in folder.every_log(OWNER)
    ]
    log, revision = source.log(OWNER, "K-07")
    assert revision == folder.log(OWNER, "K-07")[1]
    assert log.sets["source_row"].tolist() == list(range(2, len(log.sets) + 2))
    assert source.problems(OWNER) == ()


def test_only_what_changed_is_read_again(store: Store) -> None:
    source = StoreSource(store)
    (row,) = put(store, "sets", a_set()).rows
    put(store, "sets", a_set(client="K-2"))
    first, other = source.log(OWNER, "K-1"), source.log(OWNER, "K-2")
    assert source.log(OWNER, "K-1")[0] is first[0]
    edit = Edit(table="sets", id=row.id, cells=a_set(load=20), seen=row.revision)
    save(store, OWNER, [edit], change_id=new_id())
    assert source.log(OWNER, "K-1")[0].sets["load"].tolist() == [20.0]
    assert source.log(OWNER, "K-2")[0] is other[0]
    undo(store, OWNER, change_id=new_id())
    assert source.log(OWNER, "K-1")[1] == first[1]


def test_what_a_log_shares_changes_all_of_its_clients_and_no_other(store: Store) -> None:
    for client, log in (("K-1", "hill"), ("K-2", "hill"), ("K-3", "mill")):
        edit = Edit(table="sets", id=new_id(), cells=a_set(client=client), log=log)
        save(store, OWNER, [edit], change_id=new_id())
    source = StoreSource(store)
    before = [source.log(OWNER, client)[1] for client in ("K-1", "K-2", "K-3")]
    step = Edit(table="exercises", id=new_id(), cells={"exercise": "step-down", "load_step": 2}, log="hill")
    save(store, OWNER, [step], change_id=new_id())
    after = [source.log(OWNER, client)[1] for client in ("K-1", "K-2", "K-3")]
    assert [one == other for one, other in zip(before, after, strict=True)] == [False, False, True]


def test_a_client_without_sets_is_there(store: Store) -> None:
    put(store, "clients", {"client": "K-1", "unit": "lb"})
    (ref,) = StoreSource(store).clients(OWNER)
    assert (ref.client, ref.log_name, ref.n_sets, ref.last_date) == ("K-1", "K-1", 0, None)


def test_an_unknown_client_lists_those_there_are(store: Store) -> None:
    put(store, "sets", a_set(), owner="bea")
    with pytest.raises(OptionError, match="there are: none yet"):
        StoreSource(store).log(OWNER, "K-1")


def test_what_breaks_a_rule_hides_no_other(store: Store) -> None:
    for client in ("K-1", "K-2"):
        put(store, "sets", a_set(client=client))
    with store.write() as connection:
        connection.exec_driver_sql("UPDATE log_sets SET pain_left = '14' WHERE client = 'K-1'")
    source = StoreSource(store)
    (broken,) = source.problems(OWNER)
    assert [(one.column, one.value) for one in broken.problems] == [("pain_left", "14")]
    assert [ref.client for ref, _, _ in source.every_log(OWNER)] == ["K-2"]
    with pytest.raises(LogError):
        source.log(OWNER, "K-1")
