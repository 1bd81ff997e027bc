"""Writes a log as one file to hand over: a workbook, or a zip of the CSV folders (layer: store)."""

from __future__ import annotations

import datetime as dt
import os
import tempfile
import zipfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

import openpyxl
from openpyxl.cell.cell import Cell

from analysis.canonical import column_cells
from analysis.errors import OptionError
from analysis.log import log_fingerprint, read_log, write_log
from analysis.schema import TABLES, Kind
from analysis.training_log import TrainingLog
from dashboard.store.refusals import StoreError

ENDINGS = (".xlsx", ".zip")


def write_workbook(log: TrainingLog, path: Path) -> None:
    """Write a log as a workbook with a sheet for each file, and read it back.

    Numbers and dates are numbers and dates; every other cell is marked as text, so that a spreadsheet does
    not compute what begins with ``=``, ``+``, ``-`` or ``@``.

    Parameters
    ----------
    log : TrainingLog
    path : Path
        A file that is not there yet, ending in ``.xlsx``.

    Raises
    ------
    OptionError
        If the file is there already.
    StoreError
        If it cannot be written or does not read back to the same log; no file is left then.
    """
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for name, table in TABLES.items():
        frame = log.frame(name)
        if frame.empty and name != "sets":
            continue
        sheet = book.create_sheet(name)
        sheet.append(list(table.column_names))
        columns = [column_cells(frame[column]) for column in table.column_names]
        for row, cells in enumerate(zip(*columns, strict=True), start=2):
            for place, (column, cell) in enumerate(zip(table.columns, cells, strict=True), start=1):
                if cell:
                    _write_cell(sheet.cell(row, place), column.kind, cell)
        sheet.freeze_panes = "A2"

    def write(unfinished: Path) -> None:
        book.save(unfinished)
        _same(log, unfinished)

    _put_in_place(path, write)


def write_zip(logs: Mapping[str, TrainingLog], path: Path) -> None:
    """Write logs as the CSV folders of `export` in one zip, and read them back.

    Parameters
    ----------
    logs : mapping of str to TrainingLog
        By the name of the folder.
    path : Path
        A file that is not there yet.

    Raises
    ------
    OptionError
        If the file is there already.
    StoreError
        If it cannot be written or does not read back to the same logs; no file is left then.
    """

    def write(unfinished: Path) -> None:
        with tempfile.TemporaryDirectory() as name:
            written, back = Path(name) / "written", Path(name) / "back"
            with zipfile.ZipFile(unfinished, "w", zipfile.ZIP_DEFLATED) as pack:
                for folder, log in logs.items():
                    for file in write_log(log, written / folder):
                        pack.write(file, f"{folder}/{file.name}")
            with zipfile.ZipFile(unfinished) as pack:
                pack.extractall(back)
            for folder, log in logs.items():
                _same(log, back / folder)

    _put_in_place(path, write)


def _write_cell(place: Cell, kind: Kind, cell: str) -> None:
    match kind:
        case "whole":
            place.value = int(cell)
        case "number" if repr(float(cell)).removesuffix(".0") == cell:
            place.value = float(cell)
        case "date":
            place.value = dt.date.fromisoformat(cell)
            place.number_format = "yyyy-mm-dd"
        case _:
            place.value = cell
            place.data_type = "s"
            place.quotePrefix = True


def _same(log: TrainingLog, path: Path) -> None:
    if log_fingerprint(read_log(path)) != log_fingerprint(log):
        raise StoreError(f"{path.name} does not read back to what is stored; it was deleted.")


def _put_in_place(path: Path, write: Callable[[Path], None]) -> None:
    """The file takes its name when it is whole."""
    if path.exists():
        raise OptionError(f"{path} is there already; choose another name.")
    unfinished = path.with_name(f".unfinished {path.name}")
    try:
        write(unfinished)
        os.replace(unfinished, path)
    except OSError as error:
        raise StoreError(f"{path} cannot be written: {error.strerror or error}.") from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
