"""Reads, checks and writes a log: the one door to its files (layer: log)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

from analysis.canonical import column_cells, log_fingerprint, write_log
from analysis.cell_column import cell_column
from analysis.checks import check_table
from analysis.cross_checks import check_between
from analysis.errors import LogError
from analysis.log_codes import PROBLEM_CODES, REMARK_CODES
from analysis.log_files import find_logs, read_log_text
from analysis.remarks import doubts
from analysis.results import Problem, Remark
from analysis.schema import TABLES, empty_frame
from analysis.text_table import TextTable
from analysis.training_log import TrainingLog
from analysis.typed_table import TypedTable, typed_table


@dataclass(frozen=True, slots=True, kw_only=True)
class LogCheck:
    """What a check of a log found.

    Attributes
    ----------
    schema : int
        Version of this record.
    n_rows : int
        Rows of sets that were looked at.
    problems : tuple of Problem
        What stops the log from being read.
    remarks : tuple of Remark
        Doubtful values that are read all the same.
    """

    schema: int
    n_rows: int
    problems: tuple[Problem, ...]
    remarks: tuple[Remark, ...]


def read_log(path: str | Path) -> TrainingLog:
    """Read one log.

    Parameters
    ----------
    path : str or Path
        A log folder, a workbook (.xlsx) with sheets named like the files, or one CSV file of sets.

    Returns
    -------
    TrainingLog

    Raises
    ------
    LogError
        If anything cannot be read; holds every problem of every file.
    OptionError
        If there is nothing at that path, or it is no kind of log.
    """
    path = Path(path)
    found = find_logs(path)
    text = read_log_text(found[0] if len(found) == 1 else path)
    return _log_or_error(_typed_tables(text.tables), text.problems)


def log_from_frames(**frames: pd.DataFrame) -> TrainingLog:
    """Log of frames that are in memory already, held to the same rules as files.

    Parameters
    ----------
    **frames : DataFrame
        Frames by name of the file, such as ``sets`` and ``days``. Columns may be left out unless they are
        required; ``source_file`` and ``source_row`` are set anew.

    Returns
    -------
    TrainingLog

    Raises
    ------
    LogError
        If a frame breaks a rule; rows count as if it were written to a file.
    """
    texts: dict[str, TextTable] = {}
    for name, frame in frames.items():
        own = [str(column) for column in frame.columns if column not in ("source_file", "source_row")]
        texts[name] = TextTable(
            table=TABLES[name],
            file=TABLES[name].file,
            headings=tuple(own),
            columns=tuple(cell_column(column_cells(frame[column])) for column in own),
            rows=np.arange(2, len(frame) + 2, dtype=np.int64),
            problems=(),
        )
    return _log_or_error(_typed_tables(texts), ())


def check_log(path: str | Path, *, today: dt.date | None = None) -> LogCheck:
    """Everything that is wrong or doubtful in a log, or in all logs of a folder.

    Parameters
    ----------
    path : str or Path
        One log, or a folder of logs; with several, file names carry the log's name in front.
    today : date, optional
        Day after which a date is doubtful; the present day if None.

    Returns
    -------
    LogCheck
        Never raises for what is in the files.

    Raises
    ------
    OptionError
        If there is nothing at that path, or it is no kind of log.
    """
    path, today = Path(path), today or dt.date.today()
    n_rows, problems, remarks = 0, list[Problem](), list[Remark]()
    for one in find_logs(path) or (path,):
        text = read_log_text(one, _prefix(one, path))
        tables = _typed_tables(text.tables)
        n_rows += len(tables["sets"].rows) if "sets" in tables else 0
        problems += _all_problems(tables, text.problems)
        remarks += [*text.remarks, *doubts(tables, today=today)]
    return LogCheck(schema=1, n_rows=n_rows, problems=tuple(problems), remarks=tuple(remarks))


def _prefix(one: Path, path: Path) -> str:
    """Name of the log before file names, where several logs are checked together."""
    return f"{one.name}/" if one != path and one.is_dir() else ""


def _typed_tables(texts: Mapping[str, TextTable]) -> dict[str, TypedTable]:
    return {name: typed_table(texts[name]) for name in TABLES if name in texts}


def _all_problems(tables: Mapping[str, TypedTable], whole_files: tuple[Problem, ...]) -> list[Problem]:
    """All problems, by file, row and column."""
    problems = [*whole_files, *check_between(tables)]
    for typed in tables.values():
        problems += [*typed.problems, *check_table(typed)]
    files = [typed.file for typed in tables.values()]
    place = {column: i for typed in tables.values() for i, column in enumerate(typed.table.column_names)}

    def order(found: Problem) -> tuple[int, int, int]:
        file = files.index(found.file) if found.file in files else -1
        return file, found.row or 0, place.get(found.column or "", -1)

    return sorted(problems, key=order)


def _log_or_error(tables: Mapping[str, TypedTable], whole_files: tuple[Problem, ...]) -> TrainingLog:
    problems = _all_problems(tables, whole_files)
    if problems:
        raise LogError(problems)
    frames = {name: tables[name].frame if name in tables else empty_frame(name) for name in TABLES}
    if "sets" in tables:
        sets = tables["sets"]
        frames["sets"] = sets.frame.assign(
            source_file=pd.Series(sets.file, index=sets.frame.index, dtype="str"),
            source_row=sets.rows,
        )
    return TrainingLog(**frames)


__all__ = [
    "PROBLEM_CODES",
    "REMARK_CODES",
    "LogCheck",
    "TrainingLog",
    "check_log",
    "find_logs",
    "log_fingerprint",
    "log_from_frames",
    "read_log",
    "write_log",
]
