"""Lays the study's tables out for reading, as Markdown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from tests.simulation.study_tables import EVERY

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


FITS = Sheet(
    title="Fits",
    table="fits",
    columns=(
        ("world", text("world")),
        ("clients", count("clients")),
        ("seeds", lambda cell: f"{cell['first_seed']:.0f} to {cell['last_seed']:.0f}"),
        ("failures", count("failures")),
        ("converged", number("converged", 3)),
        ("draws, median", count("median_draws")),
        ("seconds, median", number("median_seconds")),
        ("sets asked, median", count("median_asked")),
        ("unasked", number("unasked_share")),
    ),
)
_COVERAGE: tuple[tuple[str, Words], ...] = (
    ("clients", count("clients")),
    ("95 % interval holds", with_limits("cov95")),
    ("80 % interval holds", with_limits("cov80")),
    ("lower 90 % limit right", with_limits("lower90")),
)
_ERRORS: tuple[tuple[str, Words], ...] = (
    ("80 % width", number("width80")),
    ("bias", with_limits("bias", sign=True)),
    ("RMSE", number("rmse")),
)
_LINE: tuple[tuple[str, Words], ...] = (("lines", count("lines")), *_COVERAGE, *_ERRORS)


def _line_sheet(kind: str, setting: str, chance: float, title: str) -> Sheet:
    return Sheet(
        title=title,
        table="lines",
        where={"kind": kind, "setting": setting, "chance": chance, "status": EVERY},
        columns=(
            ("world", text("world")),
            *_LINE,
            ("stated bounds right", number("printed_right", 3)),
            ("withheld or lower end only", number("open_share", 3)),
        ),
    )


def _status_sheet(kind: str, setting: str, title: str) -> Sheet:
    return Sheet(
        title=title,
        table="lines",
        where={"kind": kind, "setting": setting, "chance": 0.2},
        without={"status": EVERY},
        columns=(
            ("world", text("world")),
            ("status", text("status")),
            ("share", number("share")),
            *_LINE,
            ("stated bounds right", with_limits("printed_right")),
        ),
    )


def _chance_sheet(where: str) -> Sheet:
    return Sheet(
        title=f"Chance at {'the ' if where == 'last load' else ''}{where}, usual setting, base variant",
        table="chances",
        where={"kind": "base", "setting": "usual", "where": where, "status": EVERY},
        columns=(
            ("world", text("world")),
            ("lines", count("lines")),
            *_COVERAGE,
            ("upper 90 % limit right", with_limits("upper90")),
            ("true chance, mean", number("mean_truth", 3)),
            ("stated minus true, mean", number("mean_bias", 3, sign=True)),
            ("80 % width", number("width80")),
        ),
    )


def _chance_status_sheet(where: str) -> Sheet:
    return Sheet(
        title=f"Chance at {'the ' if where == 'last load' else ''}{where} by status of the line",
        table="chances",
        where={"kind": "base", "setting": "usual", "where": where},
        without={"status": EVERY},
        columns=(
            ("world", text("world")),
            ("status", text("status")),
            ("lines", count("lines")),
            *_COVERAGE,
            ("upper 90 % limit right", with_limits("upper90")),
            ("stated minus true, mean", number("mean_bias", 3, sign=True)),
        ),
    )


SHEETS = (
    FITS,
    _line_sheet(
        "base", "fixed", 0.2, "Line at 2 of 10, base variant, fixed setting: every exercise and side"
    ),
    _line_sheet(
        "base", "usual", 0.2, "Line at 2 of 10, base variant, usual setting: every exercise and side"
    ),
    _line_sheet("alternative", "usual", 0.2, "Line at 2 of 10, alternative variants, usual setting"),
    _line_sheet("base", "fixed", 0.5, "Line at even odds, base variant, fixed setting"),
    _line_sheet("base", "usual", 0.5, "Line at even odds, base variant, usual setting"),
    _line_sheet("alternative", "usual", 0.5, "Line at even odds, alternative variants, usual setting"),
    _status_sheet("base", "fixed", "Line at 2 of 10 by printed status, base variant, fixed setting"),
    _status_sheet("base", "usual", "Line at 2 of 10 by printed status, base variant, usual setting"),
    _status_sheet(
        "alternative", "usual", "Line at 2 of 10 by printed status, alternative variants, usual setting"
    ),
    _chance_sheet("last load"),
    _chance_sheet("one step up"),
    _chance_status_sheet("last load"),
    _chance_status_sheet("one step up"),
)
