"""Wine bitterness: 72 ratings of 1 to 5 by nine judges (Randall 1989, Biometrics 45:781-792)."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import numpy as np


class Wine(NamedTuple):
    """Ratings 1 to 5, (warm, contact) and judges 1 to 9."""

    rating: np.ndarray
    X: np.ndarray
    judge: np.ndarray


def wine() -> Wine:
    """The 72 rows of data.csv."""
    with (Path(__file__).parent / "data.csv").open() as file:
        rows = list(csv.DictReader(file))
    return Wine(
        np.array([int(row["rating"]) for row in rows]),
        np.array([[row["temp"] == "warm", row["contact"] == "yes"] for row in rows], dtype=float),
        np.array([int(row["judge"]) for row in rows]),
    )
