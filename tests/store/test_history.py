"""The history: undo and redo, what cannot be taken back any more, and earlier versions of a row."""

from __future__ import annotations

import pytest

from analysis.errors import LogError, OptionError
from dashboard.store.engine import Store
from dashboard.store.history import history, redo, row_versions, undo
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.refusals import Conflict, StoredRow
from tests.store.entries import OWNER, a_set, new_id, put


def loads(store: Store) -> list[str]:
    return [row.cells["load"] for row in stored_rows(store, OWNER, "sets", client="K-1")]


def edit(store: Store, row: StoredRow, **cells: object) -> StoredRow:
    changed = Edit(table="sets", id=row.id, cells=a_set(**cells), seen=row.revision)
    return save(store, OWNER, [changed], change_id=new_id(), label="load mended").rows[0]


def test_undo_and_redo_walk_back_and_forth(store: Store) -> None:
    (row,) = put(store, "sets", a_set(load=10)).rows
    edit(store, edit(store, row, load=12), load=14)
    seen = [loads(store)]
    for step in (undo, undo, undo, redo, redo, redo):
        step(store, OWNER, change_id=new_id())
        seen.append(loads(store))
    assert seen == [["14"], ["12"], ["10"], [], ["10"], ["12"], ["14"]]


def test_a_row_that_is_brought_back_is_the_same_version(store: Store) -> None:
    (row,) = put(store, "sets", a_set(load=10)).rows
    edit(store, row, load=12)
    undo(store, OWNER, change_id=new_id())
    assert stored_rows(store, OWNER, "sets", client="K-1") == (row,)
    edit(store, row, load=16)  # a form that still shows the first version is right again


def test_undo_asked_for_again_does_nothing_more(store: Store) -> None:
    (row,) = put(store, "sets", a_set(load=10)).rows
    edit(store, row, load=12)
    change_id = new_id()
    assert not undo(store, OWNER, change_id=change_id).repeated
    assert undo(store, OWNER, change_id=change_id).repeated
    assert loads(store) == ["10"]


def test_a_deleted_row_comes_back(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    save(store, OWNER, [Edit(table="sets", id=row.id, cells=None, seen=row.revision)], change_id=new_id())
    assert loads(store) == []
    undo(store, OWNER, change_id=new_id())
    assert stored_rows(store, OWNER, "sets", client="K-1") == (row,)


def test_nothing_to_undo_or_redo_is_told(store: Store) -> None:
    with pytest.raises(OptionError, match="nothing to undo"):
        undo(store, OWNER, change_id=new_id())
    put(store, "sets", a_set())
    with pytest.raises(OptionError, match="nothing to redo"):
        redo(store, OWNER, change_id=new_id())


def test_a_new_change_ends_redoing(store: Store) -> None:
    put(store, "sets", a_set(1))
    undo(store, OWNER, change_id=new_id())
    put(store, "sets", a_set(2))
    with pytest.raises(OptionError, match="nothing to redo"):
        redo(store, OWNER, change_id=new_id())


def test_an_earlier_change_is_undone_by_its_number_if_nothing_came_after(store: Store) -> None:
    first = put(store, "sets", a_set(1, load=10))
    put(store, "sets", a_set(2, load=12))
    undo(store, OWNER, change_id=new_id(), revision=first.revision)
    assert loads(store) == ["12"]
    redo(store, OWNER, change_id=new_id(), revision=first.revision)
    edit(store, first.rows[0], load=11)
    with pytest.raises(Conflict) as told:
        undo(store, OWNER, change_id=new_id(), revision=first.revision)
    (clash,) = told.value.clashes
    assert clash.theirs is not None
    assert clash.theirs.cells["load"] == "11"
    assert loads(store) == ["11", "12"]


def test_undo_does_not_put_a_row_where_another_stands_now(store: Store) -> None:
    (row,) = put(store, "sets", a_set(1, load=10)).rows
    gone = Edit(table="sets", id=row.id, cells=None, seen=row.revision)
    deletion = save(store, OWNER, [gone], change_id=new_id())
    put(store, "sets", a_set(1, load=20))
    with pytest.raises(Conflict):
        undo(store, OWNER, change_id=new_id(), revision=deletion.revision)
    assert loads(store) == ["20"]


def test_undo_keeps_the_rules_of_the_log(store: Store) -> None:
    site = put(store, "sites", {"client": "K-1", "site": "hip", "region": "hip"})
    put(store, "sites", {"client": "K-1", "site": "knee", "region": "knee"})
    put(store, "days", {"client": "K-1", "date": "2026-03-02", "site": "hip", "pain_morning": 1})
    with pytest.raises(LogError) as refused:
        undo(store, OWNER, change_id=new_id(), revision=site.revision)
    assert [one.code for one in refused.value.problems] == ["unknown_site"]


def test_each_client_has_a_history_of_its_own(store: Store) -> None:
    put(store, "sets", a_set(1))
    put(store, "sets", a_set(1, client="K-2"))
    undo(store, OWNER, change_id=new_id(), client="K-1")
    assert loads(store) == []
    assert len(stored_rows(store, OWNER, "sets", client="K-2")) == 1
    assert [
        (one.action, one.client, one.n_rows, one.undone) for one in history(store, OWNER, client="K-1")
    ] == [
        ("undo", "K-1", 1, False),
        ("save", "K-1", 1, True),
    ]


def test_every_version_of_a_row_is_kept(store: Store) -> None:
    (row,) = put(store, "sets", a_set(load=10)).rows
    edit(store, row, load=12)
    undo(store, OWNER, change_id=new_id())
    versions = row_versions(store, OWNER, "sets", row.id)
    assert [None if one is None else one.cells["load"] for one in versions] == [None, "10", "12", "10"]
