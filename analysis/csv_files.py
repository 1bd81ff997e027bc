"""Reads a CSV file as text cells: encoding, separator, quotes (layer: log)."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from analysis.cells import is_blank
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import Table
from analysis.text_table import TextTable, table_from_lines, unreadable

_DELIMITERS = (",", ";", "\t")


def read_csv_table(path: Path, table: Table, file: str) -> TextTable:
    """Cells of a CSV file, whichever of comma, semicolon and tab parts them.

    Parameters
    ----------
    path : Path
        The file.
    table : Table
        What it is meant to be.
    file : str
        Name to use in messages.

    Returns
    -------
    TextTable
        Without headings when the file cannot be read at all; its problems say why.
    """
    decoded = _decoded(path.read_bytes(), file)
    if isinstance(decoded, Problem):
        return unreadable(table, file, decoded)
    reader = csv.reader(io.StringIO(decoded, newline=""), delimiter=_delimiter(decoded, table), strict=True)
    lines: list[list[str]] = []
    problems: list[Problem] = []
    try:
        for line in reader:
            lines.append(line)
    except csv.Error:
        problems.append(
            problem(
                "broken_quotes",
                file,
                "a cell in quotes is not closed, or goes on after its closing quote.",
                'Put the whole cell in quotes and double every quote inside it, as in "45 cm ""box""".',
                row=len(lines) + 1,
            )
        )
    return table_from_lines(lines, table, file, problems)


def _decoded(content: bytes, file: str) -> str | Problem:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return problem(
            "not_utf8",
            file,
            "the file is encoded as UTF-16.",
            "Save it again as 'CSV UTF-8', not as 'Unicode text'.",
        )
    if b"\0" in content:
        return problem(
            "nul_bytes",
            file,
            "the file holds NUL bytes, so it is damaged or not a text file.",
            "Export it again as 'CSV UTF-8'.",
            row=content[: content.index(b"\0")].count(b"\n") + 1,
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return problem(
            "not_utf8",
            file,
            "the file is not encoded as UTF-8; it looks like an older Windows or Mac encoding.",
            "Save it again as 'CSV UTF-8'.",
            row=content[: error.start].count(b"\n") + 1,
        )


def _delimiter(decoded: str, table: Table) -> str:
    first = next((line for line in decoded.splitlines() if not is_blank(line)), "")
    known = set(table.column_names)

    def fit(delimiter: str) -> tuple[int, int]:
        names = [name.strip().strip('"').casefold() for name in first.split(delimiter)]
        return sum(name in known for name in names), len(names)

    return max(_DELIMITERS, key=fit)
