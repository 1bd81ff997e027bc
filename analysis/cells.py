"""From the text of one cell to its value, or to what is wrong with it (layer: log)."""

from __future__ import annotations

import calendar
import datetime as dt
import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from analysis.schema import Column, Kind

Value = str | float | int | bool | dt.date
DateOrder = Literal["day_first", "unknown"]

FIRST_DAY = dt.date(1980, 1, 1)
LAST_DAY = dt.date(2099, 12, 31)

_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)", re.ASCII)
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]00:00(?::00(?:\.0+)?)?)?", re.ASCII)
_DAY_MONTH = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})(?:[ T]00:00(?::00(?:\.0+)?)?)?", re.ASCII)
_TEMPO_JOINED = re.compile(r"(\d)(\d)([\dX])(\d)", re.ASCII)
_TEMPO_PARTED = re.compile(r"(\d{1,2})([-/])(\d{1,2})\2(\d{1,2}|X)\2(\d{1,2})", re.ASCII)
_YES_NO = {
    "yes": True,
    "y": True,
    "true": True,
    "1": True,
    "no": False,
    "n": False,
    "false": False,
    "0": False,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """What is wrong with a cell and how to mend it, before the place is known."""

    code: str
    what: str
    mend: str


def is_blank(cell: str) -> bool:
    """Whether a cell holds nothing but white space."""
    return not cell or cell.isspace()


def near(word: str, words: Iterable[str]) -> str:
    """Sentence that offers the closest word, or nothing; starts with a space when there is one."""
    close = difflib.get_close_matches(word, list(words), n=1, cutoff=0.6)
    return f" Did you mean {close[0]}?" if close else ""


def date_order(cells: Iterable[str]) -> DateOrder:
    """What the dates of a file say about their own order.

    Parameters
    ----------
    cells : iterable of str
        Cells of all date columns of the file.

    Returns
    -------
    {"day_first", "unknown"}
        ``day_first`` when some date can only be read day first and none only month first.
    """
    day_first = month_first = False
    for cell in cells:
        match = _DAY_MONTH.fullmatch(cell.strip())
        if match is None or match[2] == ".":
            continue
        first, second = int(match[1]), int(match[3])
        day_first |= first > 12 >= second
        month_first |= second > 12 >= first
    return "day_first" if day_first and not month_first else "unknown"


def parse_cell(column: Column, cell: str, order: DateOrder) -> Value | Flaw | None:
    """Value of a cell, what is wrong with it, or None when it is blank.

    Parameters
    ----------
    column : Column
        What the cell is meant to hold.
    cell : str
        The cell as written.
    order : {"day_first", "unknown"}
        What the file says about its dates, see `date_order`.

    Returns
    -------
    str, float, int, bool, date, Flaw or None
        The value, of the type that the column's kind says.
    """
    written = cell.strip()
    if not written:
        return None
    if column.kind == "date":
        return _date(written, order)
    return _PARSERS[column.kind](column, written)


def _code(column: Column, written: str) -> Value | Flaw:
    if re.fullmatch(column.pattern or ".*", written) is None:
        return Flaw(
            code="not_a_code",
            what=f"{_quoted(written)} cannot stand here.",
            mend=f"Write {column.pattern_words}.",
        )
    return written.upper() if column.name == "superset" else written


def _text(column: Column, written: str) -> Value | Flaw:
    return _checked_text(column, " ".join(written.split()))


def _note(column: Column, written: str) -> Value | Flaw:
    return _checked_text(column, written.replace("\r\n", "\n").replace("\r", "\n"))


def _checked_text(column: Column, written: str) -> Value | Flaw:
    if not written.isascii():
        written = unicodedata.normalize("NFC", written)
    if not written.isprintable():
        for character in written:
            if unicodedata.category(character) in ("Cc", "Cs") and character not in "\n\t":
                return Flaw(
                    code="control_character",
                    what=f"the text holds the character U+{ord(character):04X}, which cannot be shown.",
                    mend="Delete it and type the text again.",
                )
    if column.max_length is not None and len(written) > column.max_length:
        return Flaw(
            code="text_too_long",
            what=f"the text has {len(written)} characters.",
            mend=f"Shorten it to {column.max_length} or fewer.",
        )
    return written


def _number(column: Column, written: str) -> Value | Flaw:
    plain = written.replace("\N{MINUS SIGN}", "-")
    if _NUMBER.fullmatch(plain) is None:
        return Flaw(
            code="not_a_number",
            what=f"{_quoted(written)} is not a number.",
            mend=_number_hint(column, written),
        )
    value = float(plain.replace(",", ".")) + 0.0
    if (column.low is not None and value < column.low) or (column.high is not None and value > column.high):
        return Flaw(
            code="out_of_range",
            what=f"{written} is outside {column.low:g} to {column.high:g}.",
            mend=_range_hint(column),
        )
    return value


def _whole(column: Column, written: str) -> Value | Flaw:
    value = _number(column, written)
    if isinstance(value, float):
        if value != int(value):
            return Flaw(
                code="not_whole",
                what=f"{written} is not a whole number.",
                mend="Write the whole number that comes closest, or leave the cell blank.",
            )
        return int(value)
    return value


def _number_hint(column: Column, written: str) -> str:
    if re.fullmatch(r"\d+(?:[.,]\d+)?\s*(?:kgs?|lbs?|s|secs?|min|cm|reps?|%)\.?", written.casefold()):
        return "Write the number alone, without its unit."
    if re.fullmatch(r"\d{1,3}(?:[,. ']\d{3})+(?:[.,]\d+)?", written):
        return "Write it without marks between thousands."
    if re.fullmatch(r"\d+\s*[-–/]\s*\d+", written):
        return "Write one number, not a range of numbers."
    example = "8" if column.kind == "whole" else "12.5"
    return f"Write digits only, such as {example}, or leave the cell blank if it is not known."


def _range_hint(column: Column) -> str:
    if (column.unit, column.low, column.high) == ("0-10", 0, 10):
        return "Use the 0-10 scale, or leave the cell blank if it was not asked."
    unit = f" {column.unit}" if column.unit else ""
    return f"Write a number from {column.low:g} to {column.high:g}{unit}, or leave the cell blank."


def _date(written: str, order: DateOrder) -> Value | Flaw:
    iso, day_month = _ISO.fullmatch(written), _DAY_MONTH.fullmatch(written)
    if iso is not None:
        parts = int(iso[1]), int(iso[2]), int(iso[3])
    elif day_month is not None:
        day, month = int(day_month[1]), int(day_month[3])
        either = day_month[2] != "." and day <= 12 and month <= 12 and day != month
        if either and order == "unknown":
            return Flaw(
                code="ambiguous_date",
                what=(
                    f"{_quoted(written)} could be {day} {calendar.month_name[month]} "
                    f"or {month} {calendar.month_name[day]}."
                ),
                mend="Write dates year first, such as 2026-03-25.",
            )
        parts = int(day_month[4]), month, day
    else:
        return Flaw(
            code="not_a_date",
            what=f"{_quoted(written)} is not a date.",
            mend="Write the date year first, such as 2026-03-25.",
        )
    try:
        value = dt.date(*parts)
    except ValueError:
        return Flaw(
            code="not_a_date",
            what=f"{_quoted(written)} is not a day of the calendar.",
            mend="Write the date year first, such as 2026-03-25.",
        )
    if not FIRST_DAY <= value <= LAST_DAY:
        return Flaw(
            code="out_of_range",
            what=f"{_quoted(written)} is outside {FIRST_DAY} to {LAST_DAY}.",
            mend="Correct the year.",
        )
    return value


def _yes_no(column: Column, written: str) -> Value | Flaw:
    value = _YES_NO.get(written.casefold())
    if value is None:
        return Flaw(
            code="not_yes_no",
            what=f"{_quoted(written)} is neither yes nor no.",
            mend="Write yes or no, or leave the cell blank if it is not known.",
        )
    return value


def _choice(column: Column, written: str) -> Value | Flaw:
    wanted = _folded(written)
    for word in column.choices:
        if _folded(word) == wanted:
            return word
    return Flaw(
        code="not_a_choice",
        what=f"{_quoted(written)} is not on the list of this column.",
        mend=f"Write one of: {', '.join(column.choices)}.{near(written.casefold(), column.choices)}",
    )


def _folded(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word.strip().casefold())


def _tempo(column: Column, written: str) -> Value | Flaw:
    upper = re.sub(r"\s*[-–/]\s*", "-", written.upper())
    joined, parted = _TEMPO_JOINED.fullmatch(upper), _TEMPO_PARTED.fullmatch(upper)
    if joined is not None:
        parts = joined.groups()
    elif parted is not None:
        parts = (parted[1], parted[3], parted[4], parted[5])
    else:
        return Flaw(
            code="not_a_tempo",
            what=f"{_quoted(written)} is not a tempo.",
            mend=(
                "Write seconds of lowering, pause, lifting and pause, such as 4-1-1-0; "
                "X may stand for lifting as fast as possible, as in 3-1-X-0."
            ),
        )
    return "-".join(part if part == "X" else str(int(part)) for part in parts)


def _quoted(written: str) -> str:
    shown = written if len(written) <= 60 else f"{written[:57]}..."
    return f"'{shown}'"


_PARSERS: Mapping[Kind, Callable[[Column, str], Value | Flaw]] = MappingProxyType(
    {
        "code": _code,
        "text": _text,
        "note": _note,
        "number": _number,
        "whole": _whole,
        "yes_no": _yes_no,
        "choice": _choice,
        "tempo": _tempo,
    }
)
