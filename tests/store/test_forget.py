"""Forgetting a client: nothing of it is left in any table, file or copy, and what is others' stays."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import Text, select

from analysis.errors import OptionError
from analysis.log import read_log
from dashboard.store.drafts import DraftMark, put_draft, read_drafts
from dashboard.store.engine import Store
from dashboard.store.forget import forget
from dashboard.store.history import history, undo
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.tables import metadata
from tests.small_logs import small_log, squat
from tests.store.entries import OWNER, a_set, add, log_names, new_id, put

CODE = "Zebra-77"
WORD = "quagga"
"""Stands in every text that was ever entered about the client."""


def texts(store: Store) -> str:
    """Every text that is stored."""
    with store.read() as connection:
        return "\n".join(
            str(said)
            for table in metadata.sorted_tables
            for column in table.columns
            if isinstance(column.type, Text)
            for said in connection.execute(select(column)).scalars()
        )


def fill(store: Store) -> None:
    """Rows, edits, deletions, undos, drafts and a shared import of the client."""
    mine, other = squat(0, 1, 10, 0) | {"client": CODE, "note": WORD}, squat(0, 1, 11, 1) | {"client": "K-1"}
    variants = [{"exercise": "step-down", "order": 1, "variant": "low"}]
    add(store, (f"{CODE} and another", small_log([mine, other], variants=variants)))
    (row,) = put(store, "sets", a_set(1, client=CODE, note=WORD)).rows
    for note in (f"{WORD} 1", f"{WORD} 2"):
        edit = Edit(table="sets", id=row.id, cells=a_set(1, client=CODE, note=note), seen=row.revision)
        (row,) = save(store, OWNER, [edit], change_id=new_id(), label=f"{CODE}: mended").rows
    undo(store, OWNER, change_id=f"undo of {CODE}")
    gone = put(store, "days", {"client": CODE, "date": "2026-03-02", "note": WORD}).rows[0]
    save(store, OWNER, [Edit(table="days", id=gone.id, cells=None, seen=gone.revision)], change_id=new_id())
    put_draft(store, OWNER, DraftMark(name=f"{CODE} today", number=1), client=CODE, content=WORD)
    put_draft(store, OWNER, DraftMark(name="other", number=1), client="K-1", content="stays")


def test_nothing_of_the_client_is_left(store: Store) -> None:
    fill(store)
    assert CODE in texts(store)
    done = forget(store, OWNER, CODE)
    assert CODE not in texts(store)
    assert WORD not in texts(store)
    assert (done.n_rows, done.n_drafts, done.mentions) == (2, 1, ())
    assert done.n_changes > 4
    assert [row.cells["load"] for row in stored_rows(store, OWNER, "sets", client="K-1")] == ["11"]
    assert [draft.content for draft in read_drafts(store, OWNER)] == ["stays"]
    assert log_names(store) == ["log 1"]


def test_nothing_of_the_client_is_left_in_the_files(sqlite_url: str, store: Store) -> None:
    if store.file is None:
        pytest.skip("A server's files are its own; its tables are searched in the test above.")
    fill(store)
    folder = store.file.parent
    assert any(WORD.encode() in path.read_bytes() for path in folder.iterdir())
    done = forget(store, OWNER, CODE)
    assert store.file in done.searched
    for path in folder.iterdir():
        assert CODE.encode() not in path.read_bytes(), path
        assert WORD.encode() not in path.read_bytes(), path


def test_a_log_of_its_own_goes_along(store: Store, sample_logs: Path) -> None:
    add(store, ("K-07", read_log(sample_logs / "K-07")))
    put(store, "sets", a_set(client="K-1"))
    forget(store, OWNER, "K-07")
    assert log_names(store) == ["K-1"]
    assert "step-up" not in texts(store)
    assert [one.client for one in history(store, OWNER)] == ["K-1"]


def test_what_others_wrote_is_named(store: Store) -> None:
    put(store, "sets", a_set(client=CODE))
    put(store, "sets", a_set(client="K-1", note=f"trained with {CODE}"))
    put(store, "sets", a_set(client=f"{CODE}0"))
    assert forget(store, OWNER, CODE).mentions == ("log_sets.note",)


def test_another_coach_keeps_a_client_of_the_same_code(store: Store) -> None:
    put(store, "sets", a_set(client=CODE))
    put(store, "sets", a_set(client=CODE), owner="bea")
    forget(store, OWNER, CODE)
    assert len(stored_rows(store, "bea", "sets", client=CODE)) == 1


def test_a_client_that_is_not_there_is_told(store: Store) -> None:
    put(store, "sets", a_set(client="K-1"))
    with pytest.raises(OptionError, match="Nothing is stored of a client 'K-2'"):
        forget(store, OWNER, "K-2")


def test_after_it_the_client_can_be_entered_anew(store: Store) -> None:
    put(store, "sets", a_set(client=CODE, load=10))
    forget(store, OWNER, CODE)
    put(store, "sets", a_set(client=CODE, load=20))
    assert [row.cells["load"] for row in stored_rows(store, OWNER, "sets", client=CODE)] == ["20"]
