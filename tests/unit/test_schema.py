"""The description of a log is complete and agrees with itself (layer: tests)."""

from __future__ import annotations

import pytest

from analysis.schema import DTYPES, KG_PER_LB, TABLES, column, empty_frame, table

COLUMNS = [(t.name, c) for t in TABLES.values() for c in t.columns]
NAMES = [f"{name}-{c.name}" for name, c in COLUMNS]


def test_a_log_has_these_files() -> None:
    assert [t.file for t in TABLES.values()] == [
        "sets.csv",
        "clients.csv",
        "sites.csv",
        "pains.csv",
        "sessions.csv",
        "days.csv",
        "tasks.csv",
        "events.csv",
        "exercises.csv",
        "variants.csv",
        "ranges.csv",
        "limits.csv",
    ]


def test_a_set_needs_who_when_which_what_and_how_many() -> None:
    needed = [c.name for c in table("sets").columns if c.required]
    assert needed == ["client", "date", "set", "exercise", "side"]
    assert table("sets").one_of == ("reps", "hold_s")


def test_only_session_and_kind_of_a_set_are_filled_in() -> None:
    assert {c.name: c.default for c in table("sets").columns if c.default} == {
        "session": "1",
        "kind": "working",
    }


@pytest.mark.parametrize(("name", "described"), COLUMNS, ids=NAMES)
def test_every_column_says_what_it_holds(name: str, described) -> None:
    assert described.meaning.endswith(".")
    assert described.kind in DTYPES
    assert (described.low is None) == (described.kind not in ("whole", "number"))
    assert (described.high is None) == (described.low is None)
    assert bool(described.choices) == (described.kind == "choice")
    assert (described.max_length is None) == (described.kind not in ("text", "note"))
    assert (described.pattern is None) == (described.kind != "code")
    assert (described.pattern_words is None) == (described.pattern is None)
    assert not (described.required and described.default)


@pytest.mark.parametrize("described", TABLES.values(), ids=list(TABLES))
def test_every_table_names_columns_it_has(described) -> None:
    names = described.column_names
    assert len(set(names)) == len(names)
    assert {*described.key, *described.sort, *described.one_of} <= set(names)
    assert described.sort, "rows need an order to be written in"
    assert described.meaning.endswith(".")


@pytest.mark.parametrize("name", TABLES)
def test_an_empty_frame_has_every_column_of_its_type(name: str) -> None:
    frame = empty_frame(name)
    assert len(frame) == 0
    wanted = {c.name: DTYPES[c.kind] for c in TABLES[name].columns}
    if name == "sets":
        wanted |= {"source_file": "str", "source_row": "int64"}
    assert {column: str(dtype) for column, dtype in frame.dtypes.items()} == wanted


def test_a_joint_score_is_whole_from_0_to_10_and_burn_is_its_own_column() -> None:
    for name in ("pain_before", "pain_left", "pain_right", "pain_midline", "burn"):
        found = column("sets", name)
        assert (found.kind, found.low, found.high) == ("whole", 0, 10)


def test_a_pound_is_the_international_one() -> None:
    # International avoirdupois pound, exact: Federal Register 24 FR 5348 (1 July 1959).
    assert KG_PER_LB == 0.45359237


def test_an_unknown_column_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        column("sets", "no_such_column")
