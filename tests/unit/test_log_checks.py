"""What is wrong between cells and between files, and that the broken samples show all of it (layer: tests)."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from analysis.log import PROBLEM_CODES, check_log, read_log
from tests.unit.log_texts import SETS, one_set, problems_of, write_files

SAMPLES = Path(__file__).parents[2] / "sample_logs"

KEYED = "client,date,session,set,exercise,variant,side,load,load_basis,band,reps\n"
MIXED = (
    f"{KEYED}"
    "K-31,2026-03-02,1,1,step-down,,left,12,per hand,,8\n"
    "K-31,2026-03-02,1,2,step-down,standard,left,24,total,,8\n"
    "K-31,2026-03-02,1,3,step-down,,left,12,per hand,,8\n"
)
TWICE = (
    f"{KEYED}K-31,2026-03-02,,1,step-down,,left,12,,,8\n"
    "K-31,2026-03-02,2,1,step-down,,left,12,,,8\n"
    "K-31,2026-03-02,1,1,step-down,,right,12,,,8\n"
)

# files beside or instead of one sound set; then code, file, row, column, value; a piece of what and of mend
REFUSED: list[tuple[str, dict[str, str], tuple[object, ...], str, str]] = [
    (
        "blank side",
        {"sets.csv": one_set(side="")},
        ("blank_required", "sets.csv", 2, "side", None),
        "blank",
        "Fill",
    ),
    (
        "no reps",
        {"sets.csv": one_set(reps="", hold_s="")},
        ("no_reps_or_hold", "sets.csv", 2, "reps", None),
        "both blank",
        "seconds held",
    ),
    (
        "same set",
        {"sets.csv": TWICE},
        ("duplicate_set", "sets.csv", 4, "set", "1"),
        "row 2",
        "Number the sets",
    ),
    (
        "mixed bases",
        {"sets.csv": MIXED},
        ("mixed_load_bases", "sets.csv", 3, "load_basis", "total"),
        "as 'total' here and as 'per hand'",
        "variant of its own",
    ),
    (
        "below 0",
        {"sets.csv": one_set(load="-10", load_basis="stack")},
        ("negative_load", "sets.csv", 2, "load", "-10"),
        "below 0",
        "bodyweight",
    ),
    (
        "below 0 without basis",
        {"sets.csv": one_set(load="-10")},
        ("negative_load", "sets.csv", 2, "load", "-10"),
        "below 0",
        "bodyweight",
    ),
    (
        "nameless band",
        {"sets.csv": one_set(load="", load_basis="band")},
        ("band_without_name", "sets.csv", 2, "band", None),
        "does not say which",
        "Name the band",
    ),
    (
        "band with load",
        {"sets.csv": one_set(load="5", load_basis="band", band="green")},
        ("band_with_load", "sets.csv", 2, "load", "5"),
        "5 is given as well",
        "Leave the load blank",
    ),
    (
        "client twice",
        {"clients.csv": "client\nK-31\nK-31\n"},
        ("duplicate_row", "clients.csv", 3, "client", "K-31"),
        "row 2",
        "Keep one",
    ),
    (
        "day twice",
        {"days.csv": "client,date,site\nK-31,2026-03-02,\nK-31,2026-03-02,heel\nK-31,2026-03-02,\n"},
        ("duplicate_row", "days.csv", 4, "site", None),
        "row 2",
        "Keep one",
    ),
    (
        "order twice",
        {"ranges.csv": "exercise,order,range_stop\nstep-down,1,half\nstep-down,1,full\nlunge,1,full\n"},
        ("duplicate_order", "ranges.csv", 3, "order", "1"),
        "row 2",
        "different places",
    ),
    (
        "variant order twice",
        {"variants.csv": "exercise,order,variant\nstep-down,1,low box\nstep-down,1,high box\n"},
        ("duplicate_order", "variants.csv", 3, "order", "1"),
        "row 2",
        "different places",
    ),
    (
        "two main sites",
        {"sites.csv": "client,site,region,main\nK-31,kneecap,knee,yes\nK-31,heel,foot,yes\n"},
        ("two_main_sites", "sites.csv", 3, "main", "yes"),
        "another main place",
        "one place only",
    ),
    (
        "reversed limit",
        {"limits.csv": "client,from,until\nK-31,2026-04-30,2026-03-30\n"},
        ("dates_reversed", "limits.csv", 2, "until", "2026-03-30"),
        "before it begins",
        "Exchange",
    ),
    (
        "unlisted client",
        {"clients.csv": "client\nK-31\n", "days.csv": "client,date\nK-3l,2026-03-02\n"},
        ("unknown_client", "days.csv", 2, "client", "K-3l"),
        "Did you mean K-31?",
        "add the client",
    ),
    (
        "pain of no set",
        {"pains.csv": "client,date,set,site,side,pain\nK-31,2026-03-02,2,heel,left,1\n"},
        ("unknown_set", "pains.csv", 2, "set", "2"),
        "no set 2 in session 1 on 2026-03-02",
        "Correct the date",
    ),
    (
        "pain at no site",
        {
            "sites.csv": "client,site,region\nK-31,heel,foot\n",
            "days.csv": "client,date,site\nK-31,2026-03-02,heal\n",
        },
        ("unknown_site", "days.csv", 2, "site", "heal"),
        "Did you mean heel?",
        "as in sites.csv",
    ),
]


@pytest.mark.parametrize(
    ("name", "files", "place", "what", "mend"), REFUSED, ids=[case[0] for case in REFUSED]
)
def test_cells_that_do_not_go_together_say_where_what_and_how(
    tmp_path: Path, name: str, files: dict[str, str], place: tuple[object, ...], what: str, mend: str
) -> None:
    (found,) = problems_of(tmp_path, {"sets.csv": SETS} | files)
    assert (found.code, found.file, found.row, found.column, found.value) == place
    assert what in found.what
    assert mend in found.mend
    for part in (found.file, f"row {found.row}", f"column {found.column}", found.what, found.mend):
        assert part in found.sentence


@pytest.mark.parametrize(
    "files",
    [
        {"sets.csv": one_set(load="-10", load_basis="bodyweight")},
        {"sets.csv": one_set(load="", load_basis="band", band="green")},
        {"sets.csv": one_set(load="20", load_basis="total", band="green")},
        {"sets.csv": one_set(reps="", hold_s="30")},
        {"sets.csv": one_set(reps="0")},
        {"sets.csv": MIXED.replace("standard", "held low")},
        {"events.csv": "client,date,event,note\nK-31,2026-03-02,other,a\nK-31,2026-03-02,other,b\n"},
        {"days.csv": "client,date\nK-99,2026-03-02\n"},
        {"days.csv": "client,date,site\nK-31,2026-03-02,heel\n"},
        {"limits.csv": "client,from,until\nK-31,2026-04-30,2026-04-30\nK-31,,2026-01-01\n"},
        {"ranges.csv": "exercise,order,range_stop\nstep-down,1,half\nlunge,1,half\n"},
    ],
)
def test_sound_logs_have_no_problem(tmp_path: Path, files: dict[str, str]) -> None:
    assert problems_of(tmp_path, {"sets.csv": SETS} | files) == ()


def test_a_cell_that_cannot_be_read_brings_no_second_complaint(tmp_path: Path) -> None:
    found = problems_of(
        tmp_path,
        {
            "sets.csv": SETS.replace(",8", ",eight").replace("2026-03-02", "soon"),
            "pains.csv": "client,date,set,site,side,pain\nK-31,2026-03-02,1,heel,left,1\n",
        },
    )
    assert [problem.code for problem in found] == ["not_a_date", "not_a_number"]


def test_the_broken_samples_hold_every_kind_of_problem() -> None:
    found = check_log(SAMPLES / "broken", today=dt.date(2026, 12, 31))
    assert {problem.code for problem in found.problems} == set(PROBLEM_CODES)


def test_every_problem_of_the_broken_samples_says_how_to_mend_it() -> None:
    for problem in check_log(SAMPLES / "broken", today=dt.date(2026, 12, 31)).problems:
        assert problem.what.endswith((".", "?"))
        assert problem.mend.endswith((".", "?"))
        assert problem.file in problem.sentence


def test_own_headings_are_refused_politely() -> None:
    (found,) = check_log(SAMPLES / "own_columns").problems
    assert (found.code, found.file, found.row) == ("own_headings", "stair_group.csv", 1)
    assert "these headings are not Ebbline's" in found.what
    assert "Pounds" in found.what
    assert "README.md shows the ones that are needed" in found.mend


def test_headings_without_sets_are_an_empty_log(tmp_path: Path) -> None:
    folder = write_files(tmp_path, {"sets.csv": SETS.splitlines()[0]})
    assert len(read_log(folder).sets) == 0
    (found,) = check_log(folder).remarks
    assert (found.code, found.file) == ("no_sets", "sets.csv")
