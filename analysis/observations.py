"""One row for each set and asked side of the body: what the pain model sees (layer: derive)."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from analysis.client_settings import ClientSettings, client_settings
from analysis.derive import PAIN_COLUMNS, derive_sets
from analysis.training_log import TrainingLog

SIDE_OF = {"pain_left": "left", "pain_right": "right", "pain_midline": "midline"}
WORST_PAIN = 10


def main_side(settings: ClientSettings) -> str:
    """Side of the main painful place as it is asked: left, right, or midline for anything else."""
    return settings.site_side if settings.site_side in ("left", "right") else "midline"


def observations(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> pd.DataFrame:
    """Every answer about pain, one row for each set and side of the body that was asked.

    A set stopped for pain without a score is an answer as well: at least the client's level, on the side that
    works. Days with a painkiller stay in, marked.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; all days if None.

    Returns
    -------
    DataFrame
        Columns of `derive_sets`, and ``asked_side``, ``pain_low``, ``pain_high`` (equal for a score),
        ``censored``, ``hurt`` (at the client's level or more).
    """
    settings = client_settings(log, client)
    sets = derive_sets(log, client, as_of=as_of)
    parts = [
        sets[sets[column].notna()].assign(
            asked_side=SIDE_OF[column],
            pain_low=sets[column].dropna().astype("int64"),
            pain_high=sets[column].dropna().astype("int64"),
            censored=False,
        )
        for column in PAIN_COLUMNS
    ]
    unscored = sets[list(PAIN_COLUMNS)].isna().all(axis=1) & (sets["stopped_for"] == "pain")
    stopped = sets[unscored]
    parts.append(
        stopped.assign(
            asked_side=stopped["works"].where(stopped["works"] != "both", main_side(settings)),
            pain_low=settings.pain_level,
            pain_high=WORST_PAIN,
            censored=True,
        )
    )
    rows = pd.concat([part for part in parts if len(part)] or parts[:1], ignore_index=True)
    rows = rows.assign(hurt=rows["pain_low"] >= settings.pain_level)
    return rows.sort_values(["session_key", "set", "asked_side"], kind="stable", ignore_index=True)
