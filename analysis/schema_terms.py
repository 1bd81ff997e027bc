"""The words a log is described with: what a column and a table are (layer: schema)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["code", "text", "note", "date", "whole", "number", "yes_no", "choice", "tempo"]

NAME_LENGTH = 80
NOTE_LENGTH = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of one file of a log.

    Attributes
    ----------
    name : str
        Heading in the file and name of the column in the frame.
    kind : {"code", "text", "note", "date", "whole", "number", "yes_no", "choice", "tempo"}
        What a cell holds. A note may run over several lines; a text may not.
    meaning : str
        What the column says, one sentence.
    unit : str or None
        Unit of a number, such as ``s`` or ``%``.
    low, high : float or None
        Allowed range, both ends included.
    choices : tuple of str
        Allowed words of a choice, in their natural order.
    required : bool
        Whether the column has to be there and every cell filled.
    default : str or None
        What a blank cell is read as; None means a blank stays unknown.
    max_length : int or None
        Longest text, in characters.
    pattern : str or None
        Regular expression a code has to match in full.
    pattern_words : str or None
        The same rule in words.
    """

    name: str
    kind: Kind
    meaning: str
    unit: str | None = None
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    required: bool = False
    default: str | None = None
    max_length: int | None = None
    pattern: str | None = None
    pattern_words: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One file of a log: a CSV file of that name, or a sheet of that name.

    Attributes
    ----------
    name : str
        Name without ending, such as ``sets``.
    meaning : str
        What one row is, one sentence.
    columns : tuple of Column
        All columns, in the order they are written.
    key : tuple of str
        Columns that together may occur once only; empty when rows may repeat.
    sort : tuple of str
        Columns the canonical form is sorted by (remaining columns break ties).
    one_of : tuple of str
        Columns of which each row has to fill at least one.
    """

    name: str
    meaning: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    sort: tuple[str, ...] = ()
    one_of: tuple[str, ...] = ()

    @property
    def file(self) -> str:
        """Name of the CSV file."""
        return f"{self.name}.csv"

    @property
    def column_names(self) -> tuple[str, ...]:
        """Names of all columns, in the order they are written."""
        return tuple(column.name for column in self.columns)

    def column(self, name: str) -> Column:
        """Column of that name; KeyError when there is none."""
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(name)


def text(name: str, meaning: str, *, required: bool = False, max_length: int = NAME_LENGTH) -> Column:
    """Text of one line."""
    return Column(name=name, kind="text", meaning=meaning, required=required, max_length=max_length)


def note(name: str, meaning: str) -> Column:
    """Text that may run over several lines."""
    return Column(name=name, kind="note", meaning=meaning, max_length=NOTE_LENGTH)


def day(name: str, meaning: str, *, required: bool = False) -> Column:
    """A calendar day."""
    return Column(name=name, kind="date", meaning=meaning, required=required)


def whole(
    name: str,
    meaning: str,
    low: float,
    high: float,
    *,
    unit: str | None = None,
    required: bool = False,
    default: str | None = None,
) -> Column:
    """A whole number within a range."""
    return Column(
        name=name,
        kind="whole",
        meaning=meaning,
        unit=unit,
        low=low,
        high=high,
        required=required,
        default=default,
    )


def number(
    name: str, meaning: str, low: float, high: float, *, unit: str | None = None, required: bool = False
) -> Column:
    """A number within a range, decimals allowed."""
    return Column(name=name, kind="number", meaning=meaning, unit=unit, low=low, high=high, required=required)


def score(name: str, meaning: str, *, required: bool = False) -> Column:
    """A whole score from 0 to 10."""
    return whole(name, meaning, 0, 10, unit="0-10", required=required)


def choice(
    name: str, meaning: str, *choices: str, required: bool = False, default: str | None = None
) -> Column:
    """One word of a list."""
    return Column(
        name=name, kind="choice", meaning=meaning, choices=choices, required=required, default=default
    )


def yes_no(name: str, meaning: str, *, required: bool = False) -> Column:
    """Yes, no, or blank for unknown."""
    return Column(name=name, kind="yes_no", meaning=meaning, required=required)


CLIENT = Column(
    name="client",
    kind="code",
    meaning="Pseudonym of the client; never a real name.",
    required=True,
    pattern=r"[A-Za-z0-9._-]{1,32}",
    pattern_words="1 to 32 letters, digits, points, dashes or underscores, without spaces",
)
UNIT = choice("unit", "Unit the load was entered in; blank is the client's own, then kg.", "kg", "lb")
LOAD_BASIS = choice(
    "load_basis",
    "What the load counts: all of it, one hand's, the pin of a stack, added to the body, or a band.",
    "total",
    "per hand",
    "stack",
    "bodyweight",
    "band",
)
SESSION = whole("session", "Number of the session on that day, from 1.", 1, 50, default="1")
