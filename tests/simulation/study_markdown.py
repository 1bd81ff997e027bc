"""Lays the study's tables out for reading, as Markdown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

Words = Callable[[pd.Series], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One table to read: which cells of the long table, and which of their numbers.

    Attributes
    ----------
    title : str
    table : str
    where : mapping of str to object
        Values that a cell must have.
    without : mapping of str to object
        Values that it must not have.
    columns : sequence of (heading, words)
    """

    title: str
    table: str
    where: Mapping[str, object] = field(default_factory=dict)
    without: Mapping[str, object] = field(default_factory=dict)
    columns: Sequence[tuple[str, Words]]


def markdown(table: pd.DataFrame, *, heading: str, sheets: Sequence[Sheet]) -> str:
    """The sheets one below the other.

    Parameters
    ----------
    table : DataFrame
        Result of `study_tables.study_table`.
    heading : str
        What was run, when, on what.
    sheets : sequence of Sheet

    Returns
    -------
    str
        A sheet without any cell is left out.
    """
    blocks = [heading]
    for sheet in sheets:
        chosen = table["table"] == sheet.table
        for name, value in sheet.where.items():
            chosen &= (table[name] == value) if name in table else False
        for name, value in sheet.without.items():
            chosen &= table[name] != value
        if chosen.any():
            blocks.append(_sheet(sheet, table[chosen]))
    return "\n\n".join(blocks) + "\n"


def _sheet(sheet: Sheet, cells: pd.DataFrame) -> str:
    names = [name for name, _ in sheet.columns]
    lines = [f"## {sheet.title}", "", _row(names), _row(["---"] * len(names))]
    lines += [_row([words(cell) for _, words in sheet.columns]) for _, cell in cells.iterrows()]
    return "\n".join(lines)


def _row(texts: Sequence[str]) -> str:
    return "| " + " | ".join(texts) + " |"


def text(name: str) -> Words:
    """The value as it is."""
    return lambda cell: str(cell[name])


def count(name: str) -> Words:
    """A whole number."""
    return lambda cell: "" if pd.isna(cell[name]) else f"{cell[name]:,.0f}"


def number(name: str, digits: int = 2, *, sign: bool = False) -> Words:
    """A number with so many decimals."""
    return lambda cell: "" if pd.isna(cell[name]) else f"{cell[name]:{'+' if sign else ''}.{digits}f}"


def with_limits(name: str, digits: int = 3, *, sign: bool = False) -> Words:
    """A number with its bootstrap limits in brackets."""
    form = f"{'+' if sign else ''}.{digits}f"

    def words(cell: pd.Series) -> str:
        if pd.isna(cell[name]):
            return ""
        low, high = cell[f"{name}_low"], cell[f"{name}_high"]
        limits = "" if np.isnan(low) else f" ({low:{form}} to {high:{form}})"
        return f"{cell[name]:{form}}{limits}"

    return words
