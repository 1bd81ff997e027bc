"""Saving rows: what is kept, what is refused with both versions, and that asking twice does nothing."""

from __future__ import annotations

import pandas as pd
import pytest

from analysis.errors import LogError, OptionError
from dashboard.store.engine import Store
from dashboard.store.history import history
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.refusals import ChangeIdTaken, Conflict
from tests.store.entries import OWNER, a_set, new_id, put


def sets(store: Store) -> list[tuple[str, str, str]]:
    return [
        (row.cells["set"], row.cells["load"], row.cells["pain_left"])
        for row in stored_rows(store, OWNER, "sets", client="K-1")
    ]


def test_a_row_is_kept_in_canonical_cells(store: Store) -> None:
    entered = a_set(load="12,50", date="2026/3/2", tempo="3110", note=None)
    done = put(store, "sets", entered)
    (row,) = stored_rows(store, OWNER, "sets", client="K-1")
    assert (row.cells["load"], row.cells["date"], row.cells["tempo"]) == ("12.5", "2026-03-02", "3-1-1-0")
    assert (row.cells["session"], row.cells["kind"], row.cells["note"]) == ("1", "working", "")
    assert done.rows == (row,)


def test_rows_of_a_client_come_in_the_order_of_the_file(store: Store) -> None:
    for number in (10, 2, 1):
        put(store, "sets", a_set(number))
    put(store, "sets", a_set(1, client="K-2"))
    assert [row[0] for row in sets(store)] == ["1", "2", "10"]


def test_a_save_asked_for_again_does_nothing(store: Store) -> None:
    edit, change_id = Edit(table="sets", id=new_id(), cells=a_set()), new_id()
    first = save(store, OWNER, [edit], change_id=change_id)
    again = save(store, OWNER, [edit], change_id=change_id)
    assert (first.repeated, again.repeated) == (False, True)
    assert again.revision == first.revision
    assert len(history(store, OWNER)) == 1


def test_an_id_of_a_change_is_not_taken_for_other_content(store: Store) -> None:
    row_id, change_id = new_id(), new_id()
    save(store, OWNER, [Edit(table="sets", id=row_id, cells=a_set())], change_id=change_id)
    with pytest.raises(ChangeIdTaken, match="under a new id"):
        save(store, OWNER, [Edit(table="sets", id=row_id, cells=a_set(load=14))], change_id=change_id)
    assert sets(store) == [("1", "12", "1")]


def test_all_problems_are_told_at_once_and_nothing_is_kept(store: Store) -> None:
    edits = [
        Edit(table="sets", id=new_id(), cells=a_set(1)),
        Edit(table="sets", id=new_id(), cells=a_set(2, pain_left=14, side="lft")),
        Edit(table="days", id=new_id(), cells={"client": "K-1", "date": "yesterday"}),
    ]
    with pytest.raises(LogError) as refused:
        save(store, OWNER, edits, change_id=new_id())
    assert [(one.file, one.row, one.column) for one in refused.value.problems] == [
        ("sets.csv", 2, "side"),
        ("sets.csv", 2, "pain_left"),
        ("days.csv", 1, "date"),
    ]
    assert sets(store) == []


@pytest.mark.parametrize(
    ("table", "before", "bad", "code"),
    [
        ("sets", [a_set(1, load_basis="total")] * 1, a_set(2, load_basis="per hand"), "mixed_load_bases"),
        ("sets", [], a_set(1, load=-3), "negative_load"),
        ("sets", [], a_set(1, load_basis="band", load=None), "band_without_name"),
        ("limits", [], {"client": "K-1", "from": "2026-03-02", "until": "2026-03-01"}, "dates_reversed"),
        (
            "pains",
            [],
            {"client": "K-1", "date": "2026-03-02", "set": 1, "site": "hip", "side": "left", "pain": 1},
            "unknown_set",
        ),
    ],
)
def test_rules_between_rows_hold(
    store: Store, table: str, before: list[dict[str, object]], bad: dict[str, object], code: str
) -> None:
    for cells in before:
        put(store, table, cells)
    with pytest.raises(LogError) as refused:
        put(store, table, bad)
    assert code in {one.code for one in refused.value.problems}
    assert len(stored_rows(store, OWNER, table, client="K-1")) == len(before)


def test_a_place_has_to_be_listed_where_places_are(store: Store) -> None:
    put(store, "sites", {"client": "K-1", "site": "front of knee", "region": "knee", "main": "yes"})
    with pytest.raises(LogError, match="Did you mean front of knee"):
        put(store, "days", {"client": "K-1", "date": "2026-03-02", "site": "front of kne"})
    with pytest.raises(LogError) as refused:
        put(store, "sites", {"client": "K-1", "site": "hip", "region": "hip", "main": "yes"})
    assert [one.code for one in refused.value.problems] == ["two_main_sites"]


def test_a_set_with_pains_of_further_places_is_not_deleted_alone(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    pain = {"client": "K-1", "date": "2026-03-02", "set": 1, "site": "hip", "side": "left", "pain": 1}
    (other,) = put(store, "pains", pain).rows
    gone = Edit(table="sets", id=row.id, cells=None, seen=row.revision)
    with pytest.raises(LogError) as refused:
        save(store, OWNER, [gone], change_id=new_id())
    assert [one.code for one in refused.value.problems] == ["unknown_set"]
    both = [gone, Edit(table="pains", id=other.id, cells=None, seen=other.revision)]
    save(store, OWNER, both, change_id=new_id())
    assert sets(store) == []


def test_a_lost_race_is_told_with_both_versions(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    save(
        store,
        OWNER,
        [Edit(table="sets", id=row.id, cells=a_set(load=14), seen=row.revision)],
        change_id=new_id(),
    )
    mine = Edit(table="sets", id=row.id, cells=a_set(load=16), seen=row.revision)
    with pytest.raises(Conflict, match="Also entered elsewhere") as lost:
        save(store, OWNER, [mine], change_id=new_id())
    (clash,) = lost.value.clashes
    assert clash.mine is not None
    assert clash.theirs is not None
    assert (clash.mine["load"], clash.theirs.cells["load"]) == ("16", "14")
    over = Edit(table="sets", id=row.id, cells=a_set(load=16), seen=clash.theirs.revision)
    save(store, OWNER, [over], change_id=new_id())  # save mine, knowingly
    assert sets(store) == [("1", "16", "1")]


def test_an_edit_of_a_deleted_row_is_told(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    gone = Edit(table="sets", id=row.id, cells=None, seen=row.revision)
    save(store, OWNER, [gone], change_id=new_id())
    late = Edit(table="sets", id=row.id, cells=a_set(load=14), seen=row.revision)
    with pytest.raises(Conflict) as lost:
        save(store, OWNER, [late], change_id=new_id())
    assert lost.value.clashes[0].theirs is None
    assert sets(store) == []


def test_two_devices_that_enter_one_set_differently_lose_neither(store: Store) -> None:
    put(store, "sets", a_set(3, load=12))
    with pytest.raises(Conflict) as lost:
        put(store, "sets", a_set(3, load=14))
    (clash,) = lost.value.clashes
    assert clash.seen is None
    assert clash.mine is not None
    assert clash.theirs is not None
    assert (clash.mine["load"], clash.theirs.cells["load"]) == ("14", "12")


def test_two_devices_that_enter_the_same_edit_are_not_in_conflict(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    for _ in range(2):
        edit = Edit(table="sets", id=row.id, cells=a_set(load=14), seen=row.revision)
        save(store, OWNER, [edit], change_id=new_id())
    assert sets(store) == [("1", "14", "1")]


def test_two_sets_can_change_places(store: Store) -> None:
    first, second = (put(store, "sets", a_set(number, load=10 + number)).rows[0] for number in (1, 2))
    edits = [
        Edit(table="sets", id=first.id, cells=a_set(2, load=11), seen=first.revision),
        Edit(table="sets", id=second.id, cells=a_set(1, load=12), seen=second.revision),
    ]
    save(store, OWNER, edits, change_id=new_id())
    assert sets(store) == [("1", "12", "1"), ("2", "11", "1")]


def test_the_same_place_twice_in_one_save_is_a_problem(store: Store) -> None:
    edits = [Edit(table="sets", id=new_id(), cells=a_set(1, load=load)) for load in (10, 12)]
    with pytest.raises(LogError) as refused:
        save(store, OWNER, edits, change_id=new_id())
    assert [one.code for one in refused.value.problems] == ["duplicate_set"]


def test_owners_see_and_touch_nothing_of_each_other(store: Store) -> None:
    (row,) = put(store, "sets", a_set(), owner="bea").rows
    assert sets(store) == []
    assert put(store, "sets", a_set(load=14)).rows[0].cells["load"] == "14"
    save(store, OWNER, [Edit(table="sets", id=row.id, cells=a_set(2, load=20))], change_id=new_id())
    assert [one.cells["load"] for one in stored_rows(store, "bea", "sets", client="K-1")] == ["12"]


def test_a_row_stays_with_its_client(store: Store) -> None:
    (row,) = put(store, "sets", a_set()).rows
    moved = Edit(table="sets", id=row.id, cells=a_set(client="K-2"), seen=row.revision)
    with pytest.raises(OptionError, match="stays with its client"):
        save(store, OWNER, [moved], change_id=new_id())


@pytest.mark.parametrize("value", [None, "", "  ", float("nan"), pd.NA, pd.NaT])
def test_what_grids_and_forms_leave_empty_is_blank(store: Store, value: object) -> None:
    put(store, "sets", a_set(load=value, session=value))
    (row,) = stored_rows(store, OWNER, "sets", client="K-1")
    assert (row.cells["load"], row.cells["session"]) == ("", "1")


@pytest.mark.parametrize(
    ("edit", "message"),
    [
        (Edit(table="set", id="a", cells={}), "no file 'set'"),
        (Edit(table="sets", id="", cells=a_set()), "blank or given twice"),
        (Edit(table="sets", id="a", cells=a_set(pian_left=3)), "no column 'pian_left'"),
    ],
)
def test_wrong_use_is_told(store: Store, edit: Edit, message: str) -> None:
    with pytest.raises(OptionError, match=message):
        save(store, OWNER, [edit], change_id=new_id())


def test_where_a_log_lists_its_clients_all_are_listed(store: Store) -> None:
    day = Edit(table="days", id=new_id(), cells={"client": "A-1", "date": "2026-03-02"}, log="hill")
    save(store, OWNER, [day], change_id=new_id())
    other = Edit(table="clients", id=new_id(), cells={"client": "B-1", "unit": "kg"}, log="hill")
    with pytest.raises(LogError, match="A-1 has rows in other files and is not listed"):
        save(store, OWNER, [other], change_id=new_id())
    both = [other, Edit(table="clients", id=new_id(), cells={"client": "A-1"})]
    listed = save(store, OWNER, both, change_id=new_id()).rows[1]
    gone = Edit(table="clients", id=listed.id, cells=None, seen=listed.revision)
    with pytest.raises(LogError, match="A-1 has rows in other files and is not listed"):
        save(store, OWNER, [gone], change_id=new_id())
    put(store, "days", {"client": "C-1", "date": "2026-03-02"})  # in a log of its own


def test_what_no_client_owns_belongs_to_a_log(store: Store) -> None:
    def variant(log: str, order: int, name: str) -> Edit:
        cells = {"exercise": "step-down", "order": order, "variant": name}
        return Edit(table="variants", id=new_id(), cells=cells, log=log)

    save(store, OWNER, [variant("hill", 1, "low"), variant("mill", 1, "high")], change_id=new_id())
    with pytest.raises(LogError) as refused:
        save(store, OWNER, [variant("hill", 1, "high")], change_id=new_id())
    assert [one.code for one in refused.value.problems] == ["duplicate_order"]
    with pytest.raises(OptionError, match="say which log"):
        save(store, OWNER, [variant("", 2, "high")], change_id=new_id())
