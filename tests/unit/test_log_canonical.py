"""The canonical text of a log, and its fingerprint (layer: tests)."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pandas as pd
import pytest

from analysis.canonical import column_cells
from analysis.errors import OptionError
from analysis.log import log_fingerprint, log_from_frames, read_log, write_log
from analysis.training_log import TrainingLog
from tests.unit.log_texts import SETS, write_files

UNTIDY = (
    "\ufeffreps;side;client;date;set;exercise;load;load_basis;note;tempo;test_set;pain_left\r\n"
    '8;left;K-31;02.03.2026;2;step-down;12,50;Per Hand;"windy, ""wet""\r\nand late";4110;Y;1\r\n'
    "8.0;LEFT;K-31;02.03.2026;1; step-down ;-0;per hand;;;;\r\n"
    "10;right;B-02;01.03.2026;1;step-down;9;per hand;;31x0;n;\r\n"
)
TIDY = (
    "client,date,session,set,kind,exercise,side,load,load_basis,reps,tempo,pain_left,test_set,note\n"
    "B-02,2026-03-01,1,1,working,step-down,right,9,per hand,10,3-1-X-0,,no,\n"
    "K-31,2026-03-02,1,1,working,step-down,left,0,per hand,8,,,,\n"
    'K-31,2026-03-02,1,2,working,step-down,left,12.5,per hand,8,4-1-1-0,1,yes,"windy, ""wet""\nand late"\n'
)


def files_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def untidy_log(folder: Path) -> TrainingLog:
    return read_log(
        write_files(
            folder, {"sets.csv": UNTIDY, "days.csv": "date,client\n2026-03-03,K-31\n2026-03-02,K-31\n"}
        )
    )


def test_untidy_text_becomes_canonical(tmp_path: Path) -> None:
    write_log(untidy_log(tmp_path / "untidy"), tmp_path / "tidy")
    assert files_of(tmp_path / "tidy") == {
        "sets.csv": TIDY.encode(),
        "days.csv": b"client,date\nK-31,2026-03-02\nK-31,2026-03-03\n",
    }


def test_canonical_text_comes_back_byte_for_byte(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "tidy", {"sets.csv": TIDY})
    write_log(read_log(folder), tmp_path / "again")
    assert files_of(tmp_path / "again") == files_of(folder)


def test_a_log_without_sets_keeps_its_headings(tmp_path: Path) -> None:
    write_log(log_from_frames(), tmp_path / "empty")
    assert files_of(tmp_path / "empty") == {
        "sets.csv": b"client,date,session,set,kind,exercise,side,reps,hold_s\n"
    }
    assert len(read_log(tmp_path / "empty").sets) == 0


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (12.5, "12.5"),
        (12.0, "12"),
        (-0.0, "0"),
        (0.1, "0.1"),
        (0.00001, "0.00001"),
        (0.1 + 0.2, "0.30000000000000004"),
        (float("nan"), ""),
        (8, "8"),
        (True, "yes"),
        (False, "no"),
        ("windy", "windy"),
        (None, ""),
        (pd.NA, ""),
        (pd.NaT, ""),
        (pd.Timestamp(2026, 3, 2), "2026-03-02"),
    ],
)
def test_a_value_is_written_in_its_shortest_form(value: object, cell: str) -> None:
    assert column_cells(pd.Series([value, value], dtype="object")) == [cell, cell]


def test_files_that_are_there_are_not_written_over_by_accident(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "log", {"sets.csv": SETS, "days.csv": "client,date\nK-31,2026-03-02\n"})
    before = files_of(folder)
    with pytest.raises(OptionError, match=r"holds sets\.csv, days\.csv already; choose an empty folder"):
        write_log(untidy_log(tmp_path / "untidy"), folder)
    assert files_of(folder) == before


def test_replacing_leaves_nothing_of_the_old_log(tmp_path: Path) -> None:
    folder = write_files(
        tmp_path / "log", {"sets.csv": SETS, "tasks.csv": "client,date,task\n", "plan.md": "x"}
    )
    write_log(untidy_log(tmp_path / "untidy"), folder, replace=True)
    assert list(files_of(folder)) == ["days.csv", "plan.md", "sets.csv"]
    assert log_fingerprint(read_log(folder)) == log_fingerprint(untidy_log(tmp_path / "again"))


def test_the_fingerprint_does_not_see_the_order_of_rows_or_their_file(tmp_path: Path) -> None:
    log = untidy_log(tmp_path / "untidy")
    turned = dataclasses.replace(
        log, sets=log.sets.iloc[::-1].reset_index(drop=True), days=log.days.iloc[::-1].reset_index(drop=True)
    )
    moved = dataclasses.replace(log, sets=log.sets.assign(source_file="other.csv", source_row=99))
    assert len(log_fingerprint(log)) == 64
    assert log_fingerprint(turned) == log_fingerprint(moved) == log_fingerprint(log)


@pytest.mark.parametrize(
    ("column", "value"), [("load", 12.0), ("note", "windy"), ("pain_right", 0), ("test_set", False)]
)
def test_the_fingerprint_sees_every_cell(tmp_path: Path, column: str, value: object) -> None:
    log = untidy_log(tmp_path / "untidy")
    sets = log.sets.copy()
    sets.loc[1, column] = value
    assert log_fingerprint(dataclasses.replace(log, sets=sets)) != log_fingerprint(log)


def test_a_cell_in_the_next_column_is_another_log() -> None:
    first, second = (
        log_from_frames(
            sets=pd.DataFrame(
                {
                    "client": ["K-31"],
                    "date": ["2026-03-02"],
                    "set": [1],
                    "exercise": ["step-down"],
                    "side": ["left"],
                    "reps": [8],
                    column: [1],
                }
            )
        )
        for column in ("pain_left", "pain_right")
    )
    assert log_fingerprint(first) != log_fingerprint(second)
