"""Files, sheets, headings and rows: what is read, and where each refusal points (layer: tests)."""

from __future__ import annotations

import datetime as dt
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest

from analysis.errors import LogError, OptionError
from analysis.log import check_log, find_logs, log_from_frames, read_log
from analysis.schema import TABLES, empty_frame
from tests.unit.log_texts import HEADINGS, ROW, SETS, problems_of, write_files

# files of the folder; then code, file, row, column and value of the one problem, a piece of what and of mend
REFUSED: list[tuple[str, dict[str, str | bytes], tuple[object, ...], str, str]] = [
    (
        "no_sets",
        {"days.csv": "client,date\nK-31,2026-03-02\n"},
        ("missing_sets_file", "sets.csv", None, None, None),
        "no such file",
        "sets.csv",
    ),
    ("empty", {"sets.csv": ""}, ("empty_file", "sets.csv", None, None, None), "nothing", "client, date, set"),
    ("white", {"sets.csv": " \n \n"}, ("empty_file", "sets.csv", None, None, None), "nothing", "headings"),
    (
        "latin",
        {"sets.csv": f"{HEADINGS},note\n{ROW},caf\u00e9\n".encode("cp1252")},
        ("not_utf8", "sets.csv", 2, None, None),
        "not encoded as UTF-8",
        "CSV UTF-8",
    ),
    (
        "utf16",
        {"sets.csv": SETS.encode("utf-16")},
        ("not_utf8", "sets.csv", None, None, None),
        "UTF-16",
        "CSV UTF-8",
    ),
    (
        "nul",
        {"sets.csv": SETS.encode() + b"\0\0\n"},
        ("nul_bytes", "sets.csv", 3, None, None),
        "NUL",
        "Export it again",
    ),
    (
        "open_quote",
        {"sets.csv": f'{HEADINGS},note\n{ROW},quiet\n{ROW},"windy\n'},
        ("broken_quotes", "sets.csv", 3, None, None),
        "not closed",
        "double every quote",
    ),
    (
        "after_quote",
        {"sets.csv": f'{HEADINGS},note\n{ROW},"windy" walk\n'},
        ("broken_quotes", "sets.csv", 2, None, None),
        "closing quote",
        "double every quote",
    ),
    (
        "own",
        {"sets.csv": "Who,When,Move,Pounds\nK-31,2026-03-02,step-down,25\n"},
        ("own_headings", "sets.csv", 1, None, "Who, When, Move, Pounds"),
        "these headings are not Ebbline's",
        "README.md shows the ones that are needed",
    ),
    (
        "misspelt",
        {"sets.csv": f"{HEADINGS},pain_lft\n{ROW},1\n"},
        ("unknown_column", "sets.csv", 1, "pain_lft", "pain_lft"),
        "Did you mean pain_left?",
        "Rename it",
    ),
    (
        "twice",
        {"sets.csv": f"{HEADINGS},Load\n{ROW},12\n"},
        ("duplicate_column", "sets.csv", 1, "load", "Load"),
        "twice",
        "Keep one",
    ),
    (
        "no_side",
        {"sets.csv": "client,date,set,exercise,reps\nK-31,2026-03-02,1,step-down,8\n"},
        ("missing_column", "sets.csv", 1, "side", None),
        "side is missing",
        "Add it",
    ),
    (
        "neither_column",
        {"sets.csv": "client,date,set,exercise,side\nK-31,2026-03-02,1,step-down,left\n"},
        ("missing_column", "sets.csv", 1, "reps or hold_s", None),
        "reps or hold_s is missing",
        "Add it",
    ),
    (
        "unheaded",
        {"sets.csv": f"{HEADINGS},\n{ROW},\n{ROW.replace(',1,', ',2,')},windy\n"},
        ("unheaded_column", "sets.csv", 3, None, "windy"),
        "column 8",
        "Write a heading",
    ),
    (
        "long_row",
        {"sets.csv": f"{SETS}{ROW},and more\n"},
        ("row_too_long", "sets.csv", 3, None, "and more"),
        "8 cells, the headings are 7",
        "in quotes",
    ),
    (
        "short_row",
        {"sets.csv": f"{SETS}K-31,2026-03-02,2,step-down\n"},
        ("row_too_short", "sets.csv", 3, None, None),
        "4 cells, the headings are 7",
        "Add the missing cells",
    ),
]


@pytest.mark.parametrize(
    ("name", "files", "place", "what", "mend"), REFUSED, ids=[case[0] for case in REFUSED]
)
def test_a_file_that_cannot_be_read_says_where_what_and_how(
    tmp_path: Path, name: str, files: dict[str, str | bytes], place: tuple[object, ...], what: str, mend: str
) -> None:
    folder = write_files(tmp_path / name, files)
    (found,) = check_log(folder).problems
    assert (found.code, found.file, found.row, found.column, found.value) == place
    assert what in found.what
    assert mend in found.mend
    with pytest.raises(LogError) as refused:
        read_log(folder)
    assert refused.value.problems == (found,)


@pytest.mark.parametrize(
    "content",
    [
        SETS,
        SETS.replace("\n", "\r\n"),
        SETS.replace("\n", "\r"),
        "\ufeff" + SETS,
        SETS.replace(",", ";"),
        SETS.replace(",", "\t"),
        SETS.replace(",12,", ',"12,0",'),
        SETS.replace(",", ";").replace("12", "12,0"),
        SETS.replace("2026-03-02", "02.03.2026"),
        SETS.replace("load", "Load ").replace("exercise", "EXERCISE"),
        SETS.replace("reps", "reps,,").replace(",8", ",8,,"),
        "\n\n" + SETS,
        SETS + "\n ,,\n,,,,,,\n",
        SETS.rstrip("\n"),
    ],
)
def test_spellings_of_one_table_read_alike(tmp_path: Path, content: str) -> None:
    plain = read_log(write_files(tmp_path / "plain", {"sets.csv": SETS})).sets
    other = read_log(write_files(tmp_path / "other", {"sets.csv": content})).sets
    pd.testing.assert_frame_equal(other.drop(columns="source_row"), plain.drop(columns="source_row"))


def test_rows_count_as_a_spreadsheet_counts_them(tmp_path: Path) -> None:
    text = f'{HEADINGS},note\n{ROW},"two\nlines"\n\n{ROW.replace(",1,", ",2,").replace("12", "1x")},\n'
    (found,) = problems_of(tmp_path, {"sets.csv": text})
    assert (found.row, found.column, found.value) == (4, "load", "1x")
    good = read_log(write_files(tmp_path / "good", {"sets.csv": text.replace("1x", "12")}))
    assert good.sets["source_row"].tolist() == [2, 4]
    assert good.sets["source_file"].unique().tolist() == ["sets.csv"]
    assert good.sets["note"].tolist()[0] == "two\nlines"


def test_one_clear_date_reads_the_whole_file_day_first(tmp_path: Path) -> None:
    text = f"{SETS}K-31,25/03/2026,1,step-down,left,12,8\n".replace("2026-03-02", "02/03/2026")
    log = read_log(write_files(tmp_path, {"sets.csv": text}))
    assert log.sets["date"].dt.date.tolist() == [dt.date(2026, 3, 2), dt.date(2026, 3, 25)]


def test_all_problems_of_all_files_come_at_once_in_order(tmp_path: Path) -> None:
    found = problems_of(
        tmp_path,
        {
            "sets.csv": f"{SETS}K-31,2026-13-02,2,step-down,up,12,x\n",
            "days.csv": "client,date,pain_morning\nK-31,2026-03-03,11\nK-31,2026-03-04,2.5\n",
            "tasks.csv": b"\xff\xfe",
        },
    )
    assert [(p.code, p.file, p.row, p.column) for p in found] == [
        ("not_a_date", "sets.csv", 3, "date"),
        ("not_a_choice", "sets.csv", 3, "side"),
        ("not_a_number", "sets.csv", 3, "reps"),
        ("out_of_range", "days.csv", 2, "pain_morning"),
        ("not_whole", "days.csv", 3, "pain_morning"),
        ("not_utf8", "tasks.csv", None, None),
    ]


def test_missing_files_are_empty_frames_with_every_column(tmp_path: Path) -> None:
    log = read_log(write_files(tmp_path, {"sets.csv": SETS}))
    for name in set(TABLES) - {"sets"}:
        pd.testing.assert_frame_equal(log.frame(name), empty_frame(name))


def test_a_read_frame_has_the_types_of_the_schema(tmp_path: Path) -> None:
    log = read_log(write_files(tmp_path, {"sets.csv": SETS}))
    assert log.sets.dtypes.to_dict() == empty_frame("sets").dtypes.to_dict()


def test_blank_session_and_kind_are_filled_blank_pain_and_variant_are_not(tmp_path: Path) -> None:
    text = f"{HEADINGS},session,kind,pain_left,variant\n{ROW},,,,\n"
    (row,) = read_log(write_files(tmp_path, {"sets.csv": text})).sets.to_dict("records")
    assert (row["session"], row["kind"]) == (1, "working")
    assert pd.isna(row["pain_left"])
    assert pd.isna(row["variant"])


def test_capitals_of_a_file_name_do_not_matter(tmp_path: Path) -> None:
    log = read_log(write_files(tmp_path, {"Sets.CSV": SETS}))
    assert len(log.sets) == 1


def test_a_foreign_table_beside_the_log_is_remarked_on(tmp_path: Path) -> None:
    folder = write_files(tmp_path, {"sets.csv": SETS, "session.csv": "a\n", "notes.md": "hello"})
    (found,) = check_log(folder, today=dt.date(2026, 4, 1)).remarks
    assert (found.code, found.file) == ("file_not_read", "session.csv")
    assert "Did you mean sessions?" in found.what
    assert "Rename it" in found.mend


def workbook(path: Path, sheets: dict[str, list[list[object]]]) -> Path:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, lines in sheets.items():
        sheet = book.create_sheet(title)
        for line in lines:
            sheet.append(line)
    book.save(path)
    return path


def test_a_workbook_reads_like_the_same_files(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "stairs.xlsx",
        {
            "Sets": [
                [*HEADINGS.split(","), "test_set", "tempo"],
                ["K-31", dt.datetime(2026, 3, 2), 1, "step-down", "left", 12.5, 8, True, 4110],
            ],
            "days": [["client", "date", "pain_morning"], ["K-31", dt.date(2026, 3, 3), 1.0]],
            "Plans": [["anything"]],
        },
    )
    log = read_log(path)
    files = write_files(
        tmp_path / "files",
        {
            "sets.csv": f"{HEADINGS},test_set,tempo\n{ROW.replace('12', '12.5')},yes,4-1-1-0\n",
            "days.csv": "client,date,pain_morning\nK-31,2026-03-03,1\n",
        },
    )
    plain = read_log(files)
    pd.testing.assert_frame_equal(
        log.sets.drop(columns="source_file"), plain.sets.drop(columns="source_file")
    )
    pd.testing.assert_frame_equal(log.days, plain.days)
    assert log.sets["source_file"].tolist() == ["stairs.xlsx [sets]"]
    (found,) = check_log(path, today=dt.date(2026, 4, 1)).remarks
    assert (found.code, found.file) == ("file_not_read", "stairs.xlsx [Plans]")


def test_a_wrong_cell_of_a_workbook_is_placed_in_its_sheet(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "stairs.xlsx",
        {"sets": [HEADINGS.split(","), [], ["K-31", "2026-03-02", 1, "step-down", "left", "heavy", 8]]},
    )
    (found,) = check_log(path).problems
    assert (found.file, found.row, found.column, found.value) == ("stairs.xlsx [sets]", 3, "load", "heavy")


def test_a_formula_without_a_saved_value_is_refused_not_read_as_blank(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "stairs.xlsx",
        {"sets": [HEADINGS.split(","), ["K-31", "2026-03-02", 1, "step-down", "left", "=6+6", 8]]},
    )
    (found,) = check_log(path).problems
    assert (found.code, found.row, found.column, found.value) == ("formula_without_value", 2, "load", "=6+6")
    assert "type the value" in found.mend


@pytest.mark.parametrize("content", [b"not a workbook", b"PK\x03\x04 cut short", b""])
def test_a_file_that_is_no_workbook_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "stairs.xlsx"
    path.write_bytes(content)
    (found,) = check_log(path).problems
    assert (found.code, found.file, found.row) == ("not_a_workbook", "stairs.xlsx", None)
    assert "Save it as .xlsx" in found.mend


def long_workbook(path: Path) -> Path:
    """Workbook whose sheet of sets is long enough to be packed."""
    lines = [["K-31", "2026-03-02", i, f"step-down {i}", "left", 12, 8] for i in range(1, 200)]
    return workbook(path, {"sets": [HEADINGS.split(","), *lines]})


def spoil_packed_sheet(path: Path) -> None:
    """Overwrite the beginning of the packed sheet, as a bad disk or a broken transfer does."""
    with zipfile.ZipFile(path) as packed:
        sheet = packed.getinfo("xl/worksheets/sheet1.xml")
    content = bytearray(path.read_bytes())
    begin = sheet.header_offset + 30 + len(sheet.filename)  # a local header has 30 bytes and the name
    content[begin : begin + 40] = b"\xff" * 40
    path.write_bytes(content)


def lock_members(path: Path) -> None:
    """Mark every member of the archive as locked with a password, in both of its headers."""
    content = bytearray(path.read_bytes())
    for signature, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = content.find(signature)
        while at >= 0:
            content[at + flags] |= 1
            at = content.find(signature, at + 4)
    path.write_bytes(content)


@pytest.mark.parametrize("spoil", [spoil_packed_sheet, lock_members])
def test_a_damaged_workbook_is_refused_and_does_not_hide_the_others(
    tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    path = long_workbook(tmp_path / "stairs.xlsx")
    assert not check_log(path, today=dt.date(2026, 4, 1)).problems
    spoil(path)
    write_files(tmp_path / "K-31", {"sets.csv": SETS})
    (found,) = check_log(path).problems
    assert (found.code, found.file, found.row) == ("not_a_workbook", "stairs.xlsx", None)
    assert "Save it as .xlsx" in found.mend
    assert [found.code for found in check_log(tmp_path).problems] == ["not_a_workbook"]
    assert len(read_log(tmp_path / "K-31").sets) == 1


def test_a_formula_below_a_blank_first_row_names_its_heading(tmp_path: Path) -> None:
    path = workbook(
        tmp_path / "stairs.xlsx",
        {"sets": [[], HEADINGS.split(","), ["K-31", "2026-03-02", 1, "step-down", "left", "=6+6", 8]]},
    )
    (found,) = check_log(path).problems
    assert (found.code, found.row, found.column) == ("formula_without_value", 3, "load")


def test_a_workbook_without_a_sheet_of_sets_is_refused(tmp_path: Path) -> None:
    path = workbook(tmp_path / "stairs.xlsx", {"days": [["client", "date"], ["K-31", "2026-03-02"]]})
    (found,) = check_log(path).problems
    assert (found.code, found.file) == ("missing_sets_file", "stairs.xlsx")
    assert "sheet sets" in found.mend


def test_one_csv_of_sets_is_a_log_whatever_its_name(tmp_path: Path) -> None:
    path = tmp_path / "march.csv"
    path.write_text(SETS)
    assert len(read_log(path).sets) == 1
    assert len(read_log(tmp_path).sets) == 1
    assert check_log(path).n_rows == 1


def test_a_side_file_alone_is_not_taken_for_sets(tmp_path: Path) -> None:
    path = tmp_path / "days.csv"
    path.write_text("client,date\nK-31,2026-03-02\n")
    (found,) = check_log(path).problems
    assert (found.code, found.file) == ("missing_sets_file", "days.csv")
    assert "beside sets.csv" in found.what


def test_logs_are_found_in_a_folder_of_them(tmp_path: Path) -> None:
    for name in ("b", "a"):
        write_files(tmp_path / name, {"sets.csv": SETS})
    write_files(tmp_path / "pictures", {"stairs.png": b"\x89PNG"})
    write_files(tmp_path / ".hidden", {"sets.csv": SETS})
    workbook(tmp_path / "c.xlsx", {"sets": [HEADINGS.split(",")]})
    assert [path.name for path in find_logs(tmp_path)] == ["a", "b", "c.xlsx"]
    assert find_logs(tmp_path / "a") == (tmp_path / "a",)


def test_a_broken_log_does_not_hide_the_others(tmp_path: Path) -> None:
    write_files(tmp_path / "a", {"sets.csv": SETS.replace("12", "x")})
    write_files(tmp_path / "b", {"sets.csv": SETS})
    found = check_log(tmp_path)
    assert found.n_rows == 2
    assert [problem.file for problem in found.problems] == ["a/sets.csv"]


def test_reading_a_folder_of_logs_names_them(tmp_path: Path) -> None:
    for name in ("a", "b"):
        write_files(tmp_path / name, {"sets.csv": SETS})
    with pytest.raises(LogError, match="several logs, a, b") as refused:
        read_log(tmp_path)
    assert refused.value.problems[0].code == "missing_sets_file"


def test_a_folder_without_any_log_is_refused(tmp_path: Path) -> None:
    assert find_logs(tmp_path) == ()
    (found,) = check_log(tmp_path).problems
    assert found.code == "missing_sets_file"


@pytest.mark.parametrize("name", ["nowhere", "picture.png"])
def test_a_path_that_is_no_log_is_a_wrong_argument(tmp_path: Path, name: str) -> None:
    (tmp_path / "picture.png").write_bytes(b"\x89PNG")
    with pytest.raises(OptionError, match=r"log folder, an \.xlsx workbook or a \.csv"):
        read_log(tmp_path / name)


def test_frames_make_a_log_like_files_do(tmp_path: Path) -> None:
    sets = pd.DataFrame(
        {
            "client": ["K-31"],
            "date": [pd.Timestamp(2026, 3, 2)],
            "set": [1],
            "exercise": ["step-down"],
            "side": ["left"],
            "load": [12.0],
            "reps": [8],
        }
    )
    log = log_from_frames(sets=sets)
    plain = read_log(write_files(tmp_path, {"sets.csv": SETS}))
    for name in TABLES:
        pd.testing.assert_frame_equal(log.frame(name), plain.frame(name))


def test_frames_are_held_to_the_same_rules() -> None:
    sets = pd.DataFrame(
        {
            "client": ["K-31", "K-31"],
            "date": [pd.Timestamp(2026, 3, 2), pd.Timestamp(2026, 3, 2, 9, 30)],
            "set": [1, 2],
            "exercise": ["step-down"] * 2,
            "side": ["left", None],
            "load": [np.inf, 12.0],
            "reps": [8, 8],
            "pain": [1, 1],
        }
    )
    with pytest.raises(LogError) as refused:
        log_from_frames(sets=sets)
    assert [(p.code, p.row, p.column) for p in refused.value.problems] == [
        ("unknown_column", 1, "pain"),
        ("not_a_number", 2, "load"),
        ("not_a_date", 3, "date"),
        ("blank_required", 3, "side"),
    ]
