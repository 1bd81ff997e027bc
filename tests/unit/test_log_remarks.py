"""Doubtful values are read all the same and remarked on, sound ones are not (layer: tests)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from pathlib import Path

import pytest

from analysis.log import REMARK_CODES, check_log
from analysis.results import Remark
from tests.unit.log_texts import SETS, one_set, write_files

TODAY = dt.date(2026, 4, 1)


def many(column: str, cells: Iterable[object], *, exercise: str = "step-down") -> str:
    """Sets of one client, one a row from row 2 on, that differ in one column; four to a session."""
    lines = [f"client,date,set,exercise,side,reps,{column}"]
    for i, cell in enumerate(cells):
        lines.append(f"K-31,2026-03-{1 + i // 4:02d},{1 + i % 4},{exercise},left,8,{cell}")
    return "\n".join(lines) + "\n"


def variants(*bases: str) -> str:
    """Sets of one exercise with variants a, b, c and the given load bases."""
    lines = ["client,date,set,exercise,variant,side,reps,load,load_basis"]
    for i, basis in enumerate(bases):
        lines.append(f"K-31,2026-03-02,{i + 1},step-down,{'abc'[i]},left,8,12,{basis}")
    return "\n".join(lines) + "\n"


# files; code, file, row, column, value; a piece of what and of mend
DOUBTFUL: list[tuple[dict[str, str], tuple[object, ...], str, str]] = [
    (
        {"sets.csv": many("load", [10, 10, 10, 10, 10, 30])},
        ("load_jump", "sets.csv", 7, "load", "30"),
        "3.0 times what is usual",
        "digits",
    ),
    (
        {"sets.csv": variants("per hand", "total", "per hand")},
        ("basis_changed", "sets.csv", 3, "load_basis", "total"),
        "'total' in the variant b and as 'per hand' in a",
        "not compared",
    ),
    (
        {"sets.csv": many("pain_left", [0, *[2] * 12, 1])},
        ("pain_copied", "sets.csv", 3, "pain_left", "2"),
        "12 sets on end have the score 2",
        "copied down",
    ),
    (
        {"sets.csv": one_set(tempo="0-0-0-0")},
        ("tempo_doubtful", "sets.csv", 2, "tempo", "0-0-0-0"),
        "0 seconds",
        "digits",
    ),
    (
        {"sets.csv": one_set(tempo="30-1-30-0")},
        ("tempo_doubtful", "sets.csv", 2, "tempo", "30-1-30-0"),
        "61 seconds",
        "hold_s",
    ),
    (
        {"sets.csv": one_set(date="2026-04-02")},
        ("future_date", "sets.csv", 2, "date", "2026-04-02"),
        "in the future",
        "year",
    ),
    (
        {"days.csv": "client,date\nK-31,2026-05-01\n"},
        ("future_date", "days.csv", 2, "date", "2026-05-01"),
        "in the future",
        "year",
    ),
    (
        {"sets.csv": many("load", [10] * 12) + "K-31,2020-03-01,1,step-down,left,8,10\n"},
        ("lone_date", "sets.csv", 14, "date", "2020-03-01"),
        "more than a year away",
        "year",
    ),
    (
        {"sets.csv": one_set(rpe="9", rir="3")},
        ("effort_disagrees", "sets.csv", 2, "rir", "3"),
        "RPE 9 and 3 repetitions",
        "Keep the one",
    ),
    (
        {"sets.csv": one_set(rpe="5", rir="0")},
        ("effort_disagrees", "sets.csv", 2, "rir", "0"),
        "RPE 5 and 0 repetitions",
        "Keep the one",
    ),
    (
        {"sets.csv": one_set(stopped_for="pain", pain_left="0")},
        ("stopped_without_pain", "sets.csv", 2, "stopped_for", "pain"),
        "its pain is 0",
        "Write the pain",
    ),
    (
        {"sets.csv": many("variant", ["low box", "low box", "Low-box"])},
        ("spelling_differs", "sets.csv", 4, "variant", "Low-box"),
        "'Low-box' and 'low box'",
        "Spell them alike",
    ),
    (
        {
            "sets.csv": one_set(range_stop="halfway"),
            "ranges.csv": "exercise,order,range_stop\nstep-down,1,half way\n",
        },
        ("spelling_differs", "ranges.csv", 2, "range_stop", "half way"),
        "read as two different names",
        "Spell them alike",
    ),
    (
        {
            "sets.csv": one_set(range_stop="deep"),
            "ranges.csv": "exercise,order,range_stop\nstep-down,1,full\n",
        },
        ("stop_without_order", "sets.csv", 2, "range_stop", "deep"),
        "'deep' is not in the order of step-down",
        "give it a place",
    ),
    (
        {"variants.csv": "exercise,order,variant\nstep-down,1,low box\n"},
        ("variant_without_order", "sets.csv", 2, "variant", "standard"),
        "'standard' is not in the order of step-down",
        "give it a place",
    ),
    (
        {"clients.csv": "client\nK-13\n"},
        ("client_not_listed", "sets.csv", 2, "client", "K-31"),
        "K-31 has sets but no row",
        "add the client",
    ),
    (
        {"sites.csv": "client,site,region\nK-31,kneecap,knee\nK-31,heel,foot\n"},
        ("no_main_site", "sites.csv", 2, "main", None),
        "none is marked",
        "Write yes",
    ),
    ({"sets.csv": SETS.splitlines()[0]}, ("no_sets", "sets.csv", None, None, None), "no sets yet", "one row"),
    (
        {"day.csv": "client,date\n"},
        ("file_not_read", "day.csv", None, None, None),
        "was not read. Did you mean days?",
        "Rename it",
    ),
]

QUIET: list[dict[str, str]] = [
    {"sets.csv": many("load", [10, 10, 10, 10, 10, 29])},
    {"sets.csv": many("load", [10, 10, 30, 10])},
    {"sets.csv": variants("per hand", "per hand", "")},
    {"sets.csv": many("pain_left", [0] * 30)},
    {"sets.csv": many("pain_left", [*[2] * 11, 1])},
    {"sets.csv": many("pain_left", [*[2] * 6, "", *[1] * 6])},
    {"sets.csv": one_set(tempo="0-0-X-0")},
    {"sets.csv": one_set(tempo="30-0-30-0")},
    {"sets.csv": one_set(date="2026-04-01")},
    {"sets.csv": one_set(rpe="8", rir="3")},
    {"sets.csv": one_set(rpe="5", rir="4")},
    {"sets.csv": one_set(stopped_for="pain", pain_left="0", pain_right="3")},
    {"sets.csv": one_set(stopped_for="pain")},
    {"sets.csv": many("range_stop", ["box 45 cm", "box 30 cm", "box 45 cm"])},
    {"sites.csv": "client,site,region\nK-31,kneecap,knee\n"},
    {"clients.csv": "client\nK-31\n"},
]


def remarks_of(folder: Path, files: dict[str, str]) -> tuple[Remark, ...]:
    found = check_log(write_files(folder, {"sets.csv": SETS} | files), today=TODAY)
    assert found.problems == ()
    return found.remarks


@pytest.mark.parametrize(("files", "place", "what", "mend"), DOUBTFUL)
def test_a_doubtful_value_is_remarked_on(
    tmp_path: Path, files: dict[str, str], place: tuple[object, ...], what: str, mend: str
) -> None:
    by_code = {found.code: found for found in remarks_of(tmp_path, files)}
    found = by_code[str(place[0])]
    assert (found.code, found.file, found.row, found.column, found.value) == place
    assert what in found.what
    assert mend in found.mend
    assert found.what in found.sentence


@pytest.mark.parametrize("files", QUIET)
def test_a_sound_value_is_not_remarked_on(tmp_path: Path, files: dict[str, str]) -> None:
    assert remarks_of(tmp_path, files) == ()


def test_every_kind_of_remark_is_tried_here() -> None:
    assert {place[0] for _, place, _, _ in DOUBTFUL} == set(REMARK_CODES)
