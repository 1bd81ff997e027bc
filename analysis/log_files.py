"""Finds the logs under a path and the files of each (layer: log)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from analysis.cells import near
from analysis.csv_files import read_csv_table
from analysis.errors import OptionError
from analysis.log_codes import problem, remark
from analysis.results import Problem, Remark
from analysis.schema import TABLES
from analysis.text_table import TextTable
from analysis.workbooks import read_workbook

_TEXT = (".csv", ".tsv", ".txt")
_WORKBOOK = ".xlsx"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LogText:
    """The files of one log as text.

    Attributes
    ----------
    tables : mapping of str to TextTable
        By name, in the order of the schema.
    problems : tuple of Problem
        What concerns whole files.
    remarks : tuple of Remark
        Files and sheets that were not read.
    """

    tables: Mapping[str, TextTable]
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]


def find_logs(path: str | Path) -> tuple[Path, ...]:
    """Logs under a path.

    Parameters
    ----------
    path : str or Path
        A log folder, a folder of logs, a workbook, or one CSV file of sets.

    Returns
    -------
    tuple of Path
        The path itself when it is one log; otherwise the log folders, workbooks and CSV files of sets in
        it, by name. Empty when there is none.

    Raises
    ------
    OptionError
        If there is nothing at that path, or it is a file that is neither a workbook nor a text file.
    """
    path = Path(path)
    if not path.exists():
        raise OptionError(
            f"{path} is not there; give a log folder, an .xlsx workbook or a .csv file of sets."
        )
    if path.is_file():
        if path.suffix.casefold() not in (*_TEXT, _WORKBOOK):
            raise OptionError(
                f"{path.name} is no log; give a log folder, an .xlsx workbook or a .csv file of sets."
            )
        return (path,)
    if "sets" in _table_files(path):
        return (path,)
    inside = [child for child in _children(path) if child.is_dir() and _holds_a_table(child)]
    loose = [child for child in _children(path) if child.is_file() and _may_be_log(child)]
    if _table_files(path) and not inside and not loose:
        return (path,)
    return tuple(sorted([*inside, *loose], key=lambda child: child.name))


def read_log_text(path: Path, prefix: str = "") -> LogText:
    """Text of the files of one log.

    Parameters
    ----------
    path : Path
        One log, as `find_logs` gives it.
    prefix : str, default ""
        Put before file names in messages, where several logs are read together.

    Returns
    -------
    LogText
    """
    if path.is_dir():
        return _folder_text(path, prefix) if _table_files(path) else _no_log(path, prefix)
    if path.suffix.casefold() == _WORKBOOK:
        return _workbook_text(path, prefix)
    stem, shown = path.stem.casefold(), f"{prefix}{path.name}"
    if stem != "sets" and stem in TABLES:
        return LogText(
            tables={}, problems=(_no_sets_file(shown, "this file goes beside sets.csv"),), remarks=()
        )
    return LogText(tables={"sets": read_csv_table(path, TABLES["sets"], shown)}, problems=(), remarks=())


def _no_log(path: Path, prefix: str) -> LogText:
    """A folder without a log of its own; says which logs are in it."""
    names = [child.name for child in find_logs(path)]
    what = f"this folder holds several logs, {', '.join(names)}" if names else "there is no such file"
    return LogText(tables={}, problems=(_no_sets_file(f"{prefix}sets.csv", what),), remarks=())


def _folder_text(path: Path, prefix: str) -> LogText:
    files = _table_files(path)
    tables = {
        name: read_csv_table(files[name], table, f"{prefix}{files[name].name}")
        for name, table in TABLES.items()
        if name in files
    }
    remarks = [
        _not_read(f"{prefix}{child.name}", child.stem)
        for child in _children(path)
        if child.is_file()
        and child.suffix.casefold() in (*_TEXT[:2], _WORKBOOK)
        and child not in files.values()
    ]
    problems = () if "sets" in tables else (_no_sets_file(f"{prefix}sets.csv", "there is no such file"),)
    return LogText(tables=tables, problems=problems, remarks=tuple(remarks))


def _workbook_text(path: Path, prefix: str) -> LogText:
    shown = f"{prefix}{path.name}"
    sheets = read_workbook(path, shown)
    if sheets.problem is not None:
        return LogText(tables={}, problems=(sheets.problem,), remarks=())
    tables = {name: sheets.tables[name] for name in TABLES if name in sheets.tables}
    problems = () if "sets" in tables else (_no_sets_file(shown, "there is no sheet called sets"),)
    remarks = tuple(_not_read(f"{shown} [{title}]", title) for title in sheets.others)
    return LogText(tables=tables, problems=problems, remarks=remarks)


def _no_sets_file(file: str, what: str) -> Problem:
    return problem(
        "missing_sets_file",
        file,
        f"{what}.",
        "A log is a folder with a file sets.csv, a workbook with a sheet sets, or one CSV file of sets.",
    )


def _not_read(file: str, name: str) -> Remark:
    return remark(
        "file_not_read",
        file,
        f"this is not a file of a log and was not read.{near(name.casefold(), TABLES)}",
        f"Rename it to one of: {', '.join(TABLES)}; or leave it, if it belongs to something else.",
    )


def _children(path: Path) -> list[Path]:
    return sorted(child for child in path.iterdir() if not child.name.startswith((".", "~")))


def _table_files(path: Path) -> dict[str, Path]:
    """CSV files of a folder that are named like a file of a log; capitals do not matter."""
    files: dict[str, Path] = {}
    for child in _children(path):
        if child.is_file() and child.suffix.casefold() == ".csv" and child.stem.casefold() in TABLES:
            files.setdefault(child.stem.casefold(), child)
    return files


def _may_be_log(path: Path) -> bool:
    suffix = path.suffix.casefold()
    return suffix == _WORKBOOK or (suffix in _TEXT[:2] and path.stem.casefold() not in TABLES)


def _holds_a_table(path: Path) -> bool:
    return bool(_table_files(path)) or any(
        child.is_file() and _may_be_log(child) for child in _children(path)
    )
