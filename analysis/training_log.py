"""The log once it is read: one frame a file, typed, every column there (layer: log)."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd


@dataclass(frozen=True, slots=True, kw_only=True, eq=False, weakref_slot=True)
class TrainingLog:
    """All files of a log as typed frames; nothing edits them in place.

    A file that is missing is a frame without rows. Columns stand in schema order; ``sets`` has
    ``source_file`` and ``source_row`` (as a spreadsheet counts) after them. Types: text ``str`` with
    NaN for blank, dates ``datetime64[us]`` at midnight, whole numbers ``Int64``, numbers ``float64``,
    yes/no ``boolean``.

    Attributes
    ----------
    sets, clients, sites, pains, sessions, days : DataFrame
        One frame for each file of `analysis.schema.TABLES`, of the same name.
    tasks, events, exercises, variants, ranges, limits : DataFrame
        Likewise.
    """

    sets: pd.DataFrame
    clients: pd.DataFrame
    sites: pd.DataFrame
    pains: pd.DataFrame
    sessions: pd.DataFrame
    days: pd.DataFrame
    tasks: pd.DataFrame
    events: pd.DataFrame
    exercises: pd.DataFrame
    variants: pd.DataFrame
    ranges: pd.DataFrame
    limits: pd.DataFrame

    def frame(self, name: str) -> pd.DataFrame:
        """Frame of the file of that name, such as ``days``."""
        frame: pd.DataFrame = getattr(self, name)
        return frame
