"""The simulated month and year of `data/`, as a log of the project and as arrays for any engine."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from analysis.log import log_from_frames
from analysis.training_log import TrainingLog

DATA = Path(__file__).parent / "data"
CLIENT = "SIM-1"
FIRST_DAY = pd.Timestamp("2025-01-06")
COVARIATES = ("lload", "ecc", "rom", "order", "week")
"""Log load; then standardised: seconds of lowering, percent of the range, place in the session, week."""
FACTORS = ("session", "exercise", "exside")


def read_rows(name: str) -> pd.DataFrame:
    """Rows of `month` or `year`, with the covariates but the load standardised as z-names."""
    rows = pd.read_csv(DATA / f"{name}.csv")
    for column in COVARIATES[1:]:
        rows[f"z{column}"] = (rows[column] - rows[column].mean()) / rows[column].std()
    return rows


def fixed_names() -> list[str]:
    """Names of the fixed covariates in `read_rows`."""
    return [COVARIATES[0], *(f"z{name}" for name in COVARIATES[1:])]


def log_of(rows: pd.DataFrame) -> TrainingLog:
    """The same rows as a training log: one set a row, the side that works is the side that was asked."""
    left = rows["side"] == "L"
    score = rows["pain"].astype("Int64")
    number = rows["session"].str[1:].astype(int) - 1
    seconds = rows["ecc"].astype(int).astype(str)
    sets = pd.DataFrame(
        {
            "client": CLIENT,
            "date": FIRST_DAY + pd.to_timedelta(7 * (number // 3) + 2 * (number % 3), unit="D"),
            "set": rows["order"],
            "exercise": rows["exercise"],
            "side": np.where(left, "left", "right"),
            "load": rows["load"],
            "unit": "kg",
            "load_basis": "total",
            "reps": 8,
            "tempo": seconds + "-0-1-0",
            "rom_pct": rows["rom"],
            "pain_left": score.where(left),
            "pain_right": score.where(~left),
        }
    )
    return log_from_frames(sets=sets)
