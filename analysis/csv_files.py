"""Reads a CSV file as text cells: encoding, separator, quotes (layer: log)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

from analysis.cells import is_blank
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import Table
from analysis.text_table import TextTable, table_from_lines, unreadable

_DELIMITERS = (",", ";", "\t")
_TOLD = re.compile(r"\"?sep=([^\w\s\"]|\t)\"?[,; \t]*(?:\r\n|\r|\n|$)", re.IGNORECASE)
"""First line that some spreadsheets write and read to name the separator; they hide it."""


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
    told, decoded = _told_delimiter(decoded)
    if (
        len(decoded) > csv.field_size_limit()
    ):  # so that a cell too long is refused like any other, with its place
        csv.field_size_limit(len(decoded))
    delimiter = _delimiter(decoded, table, told)
    reader = csv.reader(io.StringIO(decoded, newline=""), delimiter=delimiter, strict=True)
    problems: list[Problem] = []
    return table_from_lines(_lines(reader, file, problems), table, file, problems)


def _lines(reader: Iterator[list[str]], file: str, problems: list[Problem]) -> Iterator[list[str]]:
    """Lines up to the first one whose quotes are broken; what follows it cannot be told apart."""
    n_lines = 0
    try:
        for line in reader:
            n_lines += 1
            yield line
    except csv.Error:
        problems.append(
            problem(
                "broken_quotes",
                file,
                "a cell in quotes is not closed, or goes on after its closing quote.",
                'Put the whole cell in quotes and double every quote inside it, as in "45 cm ""box""".',
                row=n_lines + 1,
            )
        )


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


def _told_delimiter(decoded: str) -> tuple[tuple[str, ...], str]:
    """The separator a spreadsheet's own first line ``sep=;`` names, and the text without that line.

    Spreadsheets do not show the line, so rows count from the one after it.
    """
    told = _TOLD.match(decoded)
    return ((told.group(1),), decoded[told.end() :]) if told else ((), decoded)


def _delimiter(decoded: str, table: Table, told: tuple[str, ...]) -> str:
    """The separator that finds most headings; where several find as many, the one that was told."""
    first = next((line for line in decoded.splitlines() if not is_blank(line)), "")
    known = set(table.column_names)

    def fit(delimiter: str) -> tuple[int, int]:
        names = [name.strip().strip('"').casefold() for name in first.split(delimiter)]
        return sum(name in known for name in names), len(names)

    return max((*told, *_DELIMITERS), key=fit)
