"""The cells of one column, every different cell kept once (layer: log)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
from numpy.typing import NDArray

_CHUNK = 2000
"""Lines turned into columns at a time; small enough to stay in the processor's cache."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CellColumn:
    """Cells of a column.

    Attributes
    ----------
    distinct : tuple of str
        Every different cell once, in order of appearance.
    codes : ndarray of int, shape (n_rows,)
        Which of them each row has.
    """

    distinct: tuple[str, ...]
    codes: NDArray[np.int64]

    def cell(self, line: int) -> str:
        """Cell of a line, counted from 0."""
        return self.distinct[self.codes[line]]


class _Codes(dict[str, int]):
    """Gives every new cell the next number."""

    def __missing__(self, cell: str) -> int:
        code = len(self)
        self[cell] = code
        return code


def cell_column(cells: Sequence[str]) -> CellColumn:
    """Column of the given cells."""
    return cell_columns(([cell] for cell in cells), 1)[0]


def cell_columns(lines: Iterable[Sequence[str]], width: int) -> tuple[CellColumn, ...]:
    """Columns of lines that all have the same number of cells.

    Parameters
    ----------
    lines : iterable of sequence of str
        Read once, a few at a time.
    width : int
        Cells of a line.

    Returns
    -------
    tuple of CellColumn
    """
    numbers = [_Codes() for _ in range(width)]
    parts: list[list[NDArray[np.int64]]] = [[] for _ in range(width)]
    source = iter(lines)
    while chunk := list(islice(source, _CHUNK)):
        for number, part, cells in zip(numbers, parts, zip(*chunk, strict=True), strict=True):
            part.append(np.fromiter(map(number.__getitem__, cells), dtype=np.int64, count=len(chunk)))
    return tuple(
        CellColumn(
            distinct=tuple(number),
            codes=np.concatenate(part) if part else np.zeros(0, dtype=np.int64),
        )
        for number, part in zip(numbers, parts, strict=True)
    )
