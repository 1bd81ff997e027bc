"""Matches the headings of a file to the columns it should have (layer: log)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from analysis.cells import is_blank, near
from analysis.log_codes import problem
from analysis.results import Problem
from analysis.text_table import TextTable


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Headings:
    """Which cells belong to which column.

    Attributes
    ----------
    places : mapping of str to int
        Place of each column found, by its name in the schema.
    problems : tuple of Problem
        Headings that are unknown, twice there, missing, or not there.
    """

    places: Mapping[str, int]
    problems: tuple[Problem, ...]


def match_headings(text: TextTable) -> Headings:
    """Match headings to columns; capitals, spaces and dashes in a heading do not matter.

    Parameters
    ----------
    text : TextTable
        A table as read.

    Returns
    -------
    Headings
        Without places when the headings are the user's own altogether.
    """
    table, names = text.table, set(text.table.column_names)
    places: dict[str, int] = {}
    unknown: list[str] = []
    problems: list[Problem] = []
    for place, written in enumerate(text.headings):
        name = re.sub(r"[\s_-]+", "_", written.strip().casefold())
        if is_blank(written):
            problems += _unheaded(text, place)
        elif name not in names:
            unknown.append(written.strip())
        elif name in places:
            problems.append(
                problem(
                    "duplicate_column",
                    text.file,
                    f"the column {name} is there twice.",
                    "Keep one of the two.",
                    row=1,
                    column=name,
                    value=written,
                )
            )
        else:
            places[name] = place
    missing = [column.name for column in table.columns if column.required and column.name not in places]
    if missing and len(unknown) > len(places):
        return Headings(places={}, problems=(_own_headings(text, unknown),))
    problems += [_unknown_column(text, written) for written in unknown]
    problems += [_missing_column(text, name) for name in missing]
    if table.one_of and not any(name in places for name in table.one_of):
        problems.append(_missing_column(text, " or ".join(table.one_of)))
    return Headings(places=places, problems=tuple(problems))


def _own_headings(text: TextTable, unknown: list[str]) -> Problem:
    return problem(
        "own_headings",
        text.file,
        f"these headings are not Ebbline's: {', '.join(unknown)}.",
        "Rename them to the log's columns in a copy; README.md shows the ones that are needed.",
        row=1,
        value=", ".join(unknown),
    )


def _unknown_column(text: TextTable, written: str) -> Problem:
    name = re.sub(r"[\s_-]+", "_", written.casefold())
    return problem(
        "unknown_column",
        text.file,
        f"there is no column '{written}' in this file.{near(name, text.table.column_names)}",
        "Rename it to a column of the log, or delete it.",
        row=1,
        column=written,
        value=written,
    )


def _missing_column(text: TextTable, name: str) -> Problem:
    return problem(
        "missing_column",
        text.file,
        f"the column {name} is missing.",
        "Add it and fill every row.",
        row=1,
        column=name,
    )


def _unheaded(text: TextTable, place: int) -> list[Problem]:
    column = text.columns[place]
    blank = np.array([is_blank(cell) for cell in column.distinct], dtype=bool)
    filled = np.flatnonzero(~blank[column.codes]).tolist()
    if not filled:
        return []
    return [
        problem(
            "unheaded_column",
            text.file,
            f"{len(filled)} filled {'cell stands' if len(filled) == 1 else 'cells stand'} "
            f"in column {place + 1}, which has no heading.",
            "Write a heading above them, or delete them.",
            row=int(text.rows[filled[0]]),
            value=column.cell(filled[0]),
        )
    ]
