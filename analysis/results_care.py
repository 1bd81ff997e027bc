"""What was logged lately that asks for care before the next plan (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

CareKind = Literal[
    "giving way",
    "catching",
    "sharp",
    "high in a set",
    "high after",
    "high next morning",
    "night pain",
    "swelling",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class CareEntry:
    """One kind of entry of one day; nothing is scored.

    Attributes
    ----------
    day : date
    kind : str
    exercise, side : str or None
        Of the set, where it is one; `side` is the side that hurt most, the one that works where nothing was scored.
    pain : int or None
        The worst score of that day and exercise, where a score is what asks for care.
    limit : int or None
        The limit it passed; None where none is on file.
    n_sets : int
        Sets of that day and exercise with such an entry; 0 for entries of a day.
    """

    day: dt.date
    kind: CareKind
    exercise: str | None = None
    side: str | None = None
    pain: int | None = None
    limit: int | None = None
    n_sets: int = 0
