"""Drafts: the last state is kept, over a restart too, and saved or thrown away only as it was seen."""

from __future__ import annotations

import pytest

from analysis.errors import LogError
from dashboard.store.drafts import DraftMark, drop_draft, drop_drafts_before, put_draft, read_drafts
from dashboard.store.engine import Store
from dashboard.store.records import Edit, save
from dashboard.store.schema_version import open_store
from tests.store.entries import OWNER, a_set, new_id


def kept(store: Store, client: str | None = None) -> list[tuple[str, int, str]]:
    drafts = read_drafts(store, OWNER, client=client)
    return [(draft.mark.name, draft.mark.number, draft.content) for draft in drafts]


def write(store: Store, number: int, content: str, name: str = "s-1", client: str = "K-1") -> DraftMark:
    mark = DraftMark(name=name, number=number)
    put_draft(store, OWNER, mark, client=client, content=content)
    return mark


def test_the_last_state_is_kept_over_a_restart(url: str) -> None:
    first = open_store(url)
    write(first, 1, "load 12")
    write(first, 2, "load 14")
    first.close()
    again = open_store(url)
    assert kept(again) == [("s-1", 2, "load 14")]
    again.close()


def test_a_late_state_does_not_replace_a_later_one(store: Store) -> None:
    write(store, 2, "load 14")
    write(store, 1, "load 12")
    assert kept(store) == [("s-1", 2, "load 14")]


def test_saving_drops_the_draft_and_only_as_it_was_saved(store: Store) -> None:
    mark = write(store, 1, "set 1")
    save(store, OWNER, [Edit(table="sets", id=new_id(), cells=a_set(1))], change_id=new_id(), draft=mark)
    assert kept(store) == []
    mark = write(store, 2, "set 2")
    write(store, 3, "set 2 and a half")
    save(store, OWNER, [Edit(table="sets", id=new_id(), cells=a_set(2))], change_id=new_id(), draft=mark)
    assert kept(store) == [("s-1", 3, "set 2 and a half")]


def test_a_refused_save_keeps_the_draft(store: Store) -> None:
    mark = write(store, 1, "pain 14")
    bad = Edit(table="sets", id=new_id(), cells=a_set(pain_left=14))
    with pytest.raises(LogError):
        save(store, OWNER, [bad], change_id=new_id(), draft=mark)
    assert kept(store) == [("s-1", 1, "pain 14")]


def test_drafts_are_found_by_client_and_thrown_away(store: Store) -> None:
    write(store, 1, "a", name="s-1", client="K-1")
    mark = write(store, 4, "b", name="s-2", client="K-2")
    assert kept(store, "K-2") == [("s-2", 4, "b")]
    drop_draft(store, OWNER, DraftMark(name="s-2", number=3))
    assert kept(store, "K-2") == [("s-2", 4, "b")]
    drop_draft(store, OWNER, mark)
    assert kept(store) == [("s-1", 1, "a")]


def test_old_drafts_are_thrown_away(store: Store) -> None:
    write(store, 1, "a")
    assert drop_drafts_before(store, OWNER, "2020-01-01") == 0
    assert drop_drafts_before(store, OWNER, "2999-01-01") == 1
    assert kept(store) == []
