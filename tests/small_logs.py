"""Typed logs from a few rows, for tests that do not go through files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from analysis.schema import TABLES, empty_frame
from analysis.training_log import TrainingLog

Rows = Sequence[Mapping[str, object]]


def typed(name: str, rows: Rows) -> pd.DataFrame:
    """Rows as a frame of that table; columns not given are blank."""
    empty = empty_frame(name)
    frame = pd.DataFrame(list(rows))
    if name == "sets":
        frame["source_row"] = range(2, len(frame) + 2)
    if "date" in frame:
        frame["date"] = pd.to_datetime(frame["date"])
    return frame.reindex(columns=empty.columns).astype(empty.dtypes.to_dict())


def small_log(sets: Rows, **tables: Rows) -> TrainingLog:
    """Log of some sets and whatever other tables are given."""
    frames = {name: typed(name, tables[name]) if name in tables else empty_frame(name) for name in TABLES}
    frames["sets"] = typed("sets", sets)
    return TrainingLog(**frames)


def squat(day: int, number: int, load: float, pain: int | None, **more: object) -> dict[str, object]:
    """One set of a one-legged exercise, `day` days after 2026-06-01."""
    date = pd.Timestamp("2026-06-01") + pd.Timedelta(days=day)
    plain = {
        "client": "T-01",
        "date": date,
        "session": 1,
        "set": number,
        "exercise": "step-down",
        "side": "left",
        "load": load,
        "unit": "kg",
        "reps": 8,
        "pain_left": pain,
    }
    return plain | more
