"""Bringing logs in: all or nothing, twice no more than once, changed rows only when told, undone as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.errors import LogError, OptionError
from analysis.log import log_fingerprint, read_log
from analysis.training_log import TrainingLog
from dashboard.store.engine import Store
from dashboard.store.history import history, redo, undo
from dashboard.store.import_plan import plan_import, read_logs
from dashboard.store.imports import Outdated, Unconfirmed, carry_out_import
from dashboard.store.records import Edit, save, stored_rows
from tests.small_logs import small_log, squat
from tests.store.entries import OWNER, a_set, add, contents, fingerprints, log_names, new_id, put

CLIENT = "T-01"
TWO_SETS = [squat(0, 1, 10, 0), squat(0, 2, 12, 3)]


def loads(store: Store) -> list[str]:
    return [row.cells["load"] for row in stored_rows(store, OWNER, "sets", client=CLIENT)]


@pytest.fixture(scope="module")
def stories(sample_logs: Path) -> list[tuple[str, TrainingLog]]:
    return [(name, read_log(sample_logs / name)) for name in ("E-12", "K-07", "N-01")]


def test_logs_come_out_as_they_went_in(store: Store, stories: list[tuple[str, TrainingLog]]) -> None:
    add(store, *stories)
    assert fingerprints(store) == {name: log_fingerprint(log) for name, log in stories}


def test_the_same_again_adds_nothing(store: Store, stories: list[tuple[str, TrainingLog]]) -> None:
    done = add(store, stories[1])
    assert done is not None
    plan = plan_import(store, OWNER, [stories[1]])
    assert (len(plan.new), len(plan.changed), plan.n_same) == (0, 0, len(done.rows))
    assert add(store, stories[1]) is None
    assert len(history(store, OWNER)) == 1


def test_an_import_is_undone_and_redone_as_a_whole(
    store: Store, stories: list[tuple[str, TrainingLog]]
) -> None:
    add(store, stories[2])
    before = contents(store)
    done = add(store, stories[0])
    after = contents(store)
    assert done is not None
    undo(store, OWNER, change_id=new_id(), revision=done.revision)
    assert contents(store) == before
    redo(store, OWNER, change_id=new_id())
    assert contents(store) == after


def test_a_changed_row_waits_for_a_word(store: Store) -> None:
    add(store, ("hill", small_log(TWO_SETS)))
    other = ("hill", small_log([squat(0, 1, 10, 0), squat(0, 2, 14, 3), squat(0, 3, 14, 1)]))
    with pytest.raises(Unconfirmed) as asked:
        add(store, other)
    (changed,) = asked.value.changed
    assert [cells["load"] for cells in changed.sides] == ["12", "14"]
    assert loads(store) == ["10", "12"]
    add(store, other, on_changed="keep")
    assert loads(store) == ["10", "12", "14"]
    add(store, other, on_changed="take")
    assert loads(store) == ["10", "14", "14"]
    undo(store, OWNER, change_id=new_id())
    assert loads(store) == ["10", "12", "14"]


def test_a_column_that_is_not_in_the_file_changes_nothing(store: Store) -> None:
    add(store, ("hill", small_log([squat(0, 1, 10, 0, note="slow today")])))
    assert add(store, ("hill", small_log([squat(0, 1, 10, 0)]))) is None
    (row,) = stored_rows(store, OWNER, "sets", client=CLIENT)
    assert row.cells["note"] == "slow today"


def test_rows_without_a_key_are_counted(store: Store) -> None:
    event = {"client": CLIENT, "date": "2026-06-01", "event": "flare"}
    add(store, ("hill", small_log(TWO_SETS, events=[event])))
    assert add(store, ("hill", small_log(TWO_SETS, events=[event]))) is None
    add(store, ("hill", small_log(TWO_SETS, events=[event, event])))
    assert len(stored_rows(store, OWNER, "events", client=CLIENT)) == 2


def test_a_client_goes_to_the_log_it_is_in(store: Store) -> None:
    add(store, ("hill", small_log(TWO_SETS)))
    new_client = squat(1, 1, 12, 2) | {"client": "T-02"}
    add(store, ("another name", small_log([squat(1, 1, 12, 2), new_client])))
    add(store, ("hill", small_log([squat(0, 1, 20, 0) | {"client": "T-03"}])))
    assert log_names(store) == ["hill", "hill 2"]


def test_clients_of_two_logs_are_not_thrown_together(store: Store) -> None:
    other = small_log([squat(0, 1, 20, 0) | {"client": "T-02"}])
    add(store, ("hill", small_log(TWO_SETS)), ("mill", other))
    both = small_log([squat(1, 1, 10, 0), squat(1, 1, 20, 0) | {"client": "T-02"}])
    with pytest.raises(LogError, match="several logs of the store: hill, mill"):
        add(store, ("both", both))


def test_what_does_not_fit_what_is_stored_is_told_with_its_place(store: Store) -> None:
    add(
        store,
        (
            "hill",
            small_log([squat(0, 1, 10, 0, load_basis="per hand"), squat(0, 2, 10, 0, load_basis="per hand")]),
        ),
    )
    before = contents(store)
    with pytest.raises(LogError) as refused:
        add(store, ("hill", small_log([squat(1, 1, 10, 0, load_basis="total")])))
    assert [(one.code, one.file, one.row) for one in refused.value.problems] == [
        ("mixed_load_bases", "hill/sets.csv", 2)
    ]
    assert contents(store) == before


def test_a_plan_that_is_out_of_date_is_made_again(store: Store) -> None:
    plan = plan_import(store, OWNER, [("hill", small_log(TWO_SETS))])
    put(store, "sets", a_set())
    with pytest.raises(Outdated):
        carry_out_import(store, OWNER, plan, change_id=new_id())
    assert loads(store) == []


def test_an_import_asked_for_again_does_nothing(store: Store) -> None:
    plan, change_id = plan_import(store, OWNER, [("hill", small_log(TWO_SETS))]), new_id()
    first = carry_out_import(store, OWNER, plan, change_id=change_id)
    again = carry_out_import(store, OWNER, plan, change_id=change_id)
    assert first is not None
    assert again is not None
    assert (first.repeated, again.repeated) == (False, True)


def test_a_cancelled_import_leaves_nothing(store: Store, stories: list[tuple[str, TrainingLog]]) -> None:
    told = []

    def cancel(done: int, of: int) -> None:
        told.append((done, of))
        if done > of / 2:
            raise KeyboardInterrupt

    plan = plan_import(store, OWNER, [stories[1]])
    with pytest.raises(KeyboardInterrupt):
        carry_out_import(store, OWNER, plan, change_id=new_id(), progress=cancel)
    assert 0 < told[-1][0] < told[-1][1] == len(plan.new)
    assert contents(store) == []
    assert history(store, OWNER) == ()


def test_rows_saved_by_a_form_are_the_rows_of_the_file(store: Store) -> None:
    cells = squat(0, 1, 10, 0)
    save(store, OWNER, [Edit(table="sets", id=new_id(), cells=cells)], change_id=new_id())
    assert add(store, ("hill", small_log([cells]))) is None


def test_problems_of_all_logs_are_told_at_once(tmp_path: Path) -> None:
    for name in ("hill", "mill"):
        (tmp_path / name).mkdir()
        text = "client,date,set,exercise,side,reps\nK-1,2026-03-02,1,step-up,lft,8\n"
        (tmp_path / name / "sets.csv").write_text(text, encoding="utf-8")
    with pytest.raises(LogError) as refused:
        read_logs([tmp_path])
    assert [(one.file, one.row) for one in refused.value.problems] == [
        ("hill/sets.csv", 2),
        ("mill/sets.csv", 2),
    ]
    (tmp_path / "empty").mkdir()
    with pytest.raises(OptionError, match="no log in"):
        read_logs([tmp_path / "empty"])
