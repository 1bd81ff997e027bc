"""Reads the sheets of a workbook as text cells (layer: log)."""

from __future__ import annotations

import datetime as dt
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import openpyxl

from analysis.cells import is_blank
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import TABLES
from analysis.text_table import TextTable, table_from_lines

_NOT_A_WORKBOOK = (
    *(zipfile.BadZipFile, zlib.error, RuntimeError, OSError, EOFError),  # damaged, locked or cut short
    *(LookupError, ValueError, TypeError, AttributeError, SyntaxError),  # whole, but no workbook inside
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheets:
    """What a workbook holds.

    Attributes
    ----------
    tables : mapping of str to TextTable
        Sheets named like a file of a log, by that name.
    others : tuple of str
        Names of the sheets that were not read.
    problem : Problem or None
        Why the workbook cannot be opened.
    """

    tables: Mapping[str, TextTable]
    others: tuple[str, ...]
    problem: Problem | None


def read_workbook(path: Path, file: str) -> Sheets:
    """Cells of the sheets of a workbook that are named like files of a log.

    Parameters
    ----------
    path : Path
        The workbook.
    file : str
        Name to use in messages.

    Returns
    -------
    Sheets
    """
    try:
        with path.open("rb") as opened:
            values = openpyxl.load_workbook(opened, data_only=True)
            formulas = openpyxl.load_workbook(opened)
    except _NOT_A_WORKBOOK:
        found = problem(
            "not_a_workbook",
            file,
            "this is not an .xlsx workbook that can be opened.",
            "Save it as .xlsx without a password, or export its sheets as CSV UTF-8.",
        )
        return Sheets(tables={}, others=(), problem=found)
    tables: dict[str, TextTable] = {}
    others: list[str] = []
    for sheet in values.worksheets:
        name = sheet.title.strip().casefold()
        if name not in TABLES or name in tables:
            others.append(sheet.title)
            continue
        shown = f"{file} [{name}]"
        lines = [[_cell_text(cell) for cell in line] for line in sheet.iter_rows(values_only=True)]
        headings = next((line for line in lines if any(not is_blank(cell) for cell in line)), [])
        problems = [
            problem(
                "formula_without_value",
                shown,
                "the cell holds a formula whose value was never saved.",
                "Open and save the workbook in a spreadsheet, or type the value.",
                row=cell.row,
                column=headings[cell.column - 1].strip() or None if headings else None,
                value=str(cell.value),
            )
            for cells in formulas[sheet.title].iter_rows()
            for cell in cells
            if cell.data_type == "f" and sheet.cell(cell.row, cell.column).value is None
        ]
        tables[name] = table_from_lines(lines, TABLES[name], shown, problems)
    return Sheets(tables=tables, others=tuple(others), problem=None)


def _cell_text(cell: object) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return "yes" if cell else "no"
        case float() if cell.is_integer():
            return str(int(cell))
        case dt.datetime():
            return cell.date().isoformat() if cell.time() == dt.time() else cell.isoformat(" ")
        case _:
            return str(cell)
