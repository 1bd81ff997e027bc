"""What follows from a log, worked out once for as long as the log lives (layer: derive)."""

from __future__ import annotations

import datetime as dt
from functools import wraps
from threading import Lock
from typing import Protocol, TypeVar, cast
from weakref import WeakKeyDictionary

import pandas as pd

from analysis.training_log import TrainingLog

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
MOST = 16
"""Results kept of one log; the oldest goes first. One review asks for fewer than ten."""

_Results = dict[tuple[object, ...], object]
_KEPT: WeakKeyDictionary[TrainingLog, _Results] = WeakKeyDictionary()
_LOCK = Lock()


class OfClient(Protocol[T_co]):
    """A function of a log, one of its clients, and the last day that counts."""

    def __call__(self, log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> T_co: ...


def kept(make: OfClient[T]) -> OfClient[T]:
    """The same function, which keeps its last results of each log; nothing edits a log, so they stay right.

    Parameters
    ----------
    make : callable
        Of a log, a client and the last day that counts. Frames are handed out as copies on write.

    Returns
    -------
    callable
    """

    @wraps(make)
    def of(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> T:
        key = (make, client, as_of)
        with _LOCK:
            results = _KEPT.setdefault(log, {})
            found = cast("T | None", results.get(key))
        if found is None:
            found = make(log, client, as_of=as_of)
            with _LOCK:
                while len(results) >= MOST:
                    del results[next(iter(results))]
                results[key] = found
        return _handed_out(found)

    return of


def _handed_out(found: T) -> T:
    return found.copy(deep=False) if isinstance(found, pd.DataFrame) else found
