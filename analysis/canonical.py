"""The canonical text of a log: how it is written, and its fingerprint (layer: log)."""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import io
import os
from pathlib import Path

import numpy as np
import pandas as pd

from analysis.errors import OptionError
from analysis.schema import TABLES, Table
from analysis.training_log import TrainingLog


def write_log(log: TrainingLog, folder: str | Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write a log in canonical form: schema order, sorted rows, LF, shortest decimals.

    Columns without any value are left out unless they are required or have a default, and so are files
    without rows other than ``sets.csv``. Reading the folder and writing it again gives the same bytes.

    Parameters
    ----------
    log : TrainingLog
    folder : str or Path
        Made if it is not there.
    replace : bool, default False
        Whether files of a log that are in the folder already may be replaced; those the log has no rows for
        are deleted.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    OptionError
        If the folder holds files of a log and `replace` is False; nothing is written then.
    """
    folder = Path(folder)
    there = [folder / table.file for table in TABLES.values() if (folder / table.file).exists()]
    if there and not replace:
        names = ", ".join(path.name for path in there)
        raise OptionError(
            f"{folder} holds {names} already; choose an empty folder, or replace them on purpose."
        )
    texts = {
        folder / table.file: table_text(table, log.frame(name))
        for name, table in TABLES.items()
        if name == "sets" or len(log.frame(name))
    }
    folder.mkdir(parents=True, exist_ok=True)
    for path, content in texts.items():
        unfinished = path.with_name(f".{path.name}.unfinished")
        unfinished.write_bytes(content.encode("utf-8"))
        os.replace(unfinished, path)
    for path in there:
        if path not in texts:
            path.unlink()
    return tuple(texts)


def log_fingerprint(log: TrainingLog) -> str:
    """Hash of what a log says, whatever the order of its rows and the file they came from.

    Parameters
    ----------
    log : TrainingLog

    Returns
    -------
    str
        SHA-256 of the canonical text, 64 hexadecimal digits.
    """
    digest = hashlib.sha256()
    for name, table in TABLES.items():
        frame = log.frame(name)
        columns = [column_cells(frame[column]) for column in table.column_names]
        lines = sorted(zip(*columns, strict=True))
        digest.update(f"{name}:{len(lines)}\n".encode())
        for line in lines:
            digest.update("\x1f".join(line).encode() + b"\x1e")
    return digest.hexdigest()


def table_text(table: Table, frame: pd.DataFrame) -> str:
    """Canonical CSV text of one file.

    Parameters
    ----------
    table : Table
        Which file it is.
    frame : DataFrame
        Its rows, typed.

    Returns
    -------
    str
        Headings and rows, each ended by LF.
    """
    names = [
        column.name
        for column in table.columns
        if column.required
        or column.default is not None
        or frame[column.name].notna().any()
        or (column.name in table.one_of and frame.empty)
    ]
    ties = [name for name in table.column_names if name not in table.sort]
    ordered = frame.sort_values([*table.sort, *ties], kind="stable", na_position="first")
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    writer.writerows(zip(*(column_cells(ordered[name]) for name in names), strict=True))
    return out.getvalue()


def column_cells(series: pd.Series) -> list[str]:
    """Canonical cells of a column; blank for unknown.

    Parameters
    ----------
    series : Series
        Values of one column.

    Returns
    -------
    list of str
    """
    codes, uniques = pd.factorize(series.astype("object"))
    cells = np.array([*(_cell(value) for value in uniques), ""], dtype=object)
    written: list[str] = cells[codes].tolist()
    return written


def _cell(value: object) -> str:
    """Shortest text of a value."""
    match value:
        case str():
            return value
        case bool() | np.bool_():
            return "yes" if value else "no"
        case float() | np.floating():
            return np.format_float_positional(float(value) + 0.0, trim="-")
        case dt.datetime():
            return value.date().isoformat() if value.time() == dt.time() else value.isoformat(" ")
        case dt.date():
            return value.isoformat()
        case _:
            return str(value)
