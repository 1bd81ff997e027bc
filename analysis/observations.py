"""One row for each set and asked side of the body: what the pain model sees (layer: derive)."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from analysis.client_settings import ClientSettings, client_settings
from analysis.derive import PAIN_COLUMNS, derive_sets
from analysis.training_log import TrainingLog

SIDE_OF = {"pain_left": "left", "pain_right": "right", "pain_midline": "midline"}
WORST_PAIN = 10


def side_without_score(blank: pd.DataFrame, scored: pd.DataFrame, settings: ClientSettings) -> pd.Series:
    """Side of the body that sets without a score most likely speak of.

    Midline where the main painful place lies there. Otherwise the side that works; for two-sided work the side
    of the main painful place; where that is on both sides or not on file, the side that has hurt most in that
    exercise; midline where nothing tells.

    Parameters
    ----------
    blank, scored : DataFrame
        Sets without a score, and observations with one.
    settings : ClientSettings

    Returns
    -------
    Series
        Same index as `blank`.
    """
    if settings.site_side == "midline":
        return pd.Series("midline", index=blank.index, dtype="str")
    if settings.site_side in ("left", "right"):
        two_sided = pd.Series(settings.site_side, index=blank.index)
    else:
        means = scored.groupby(["exercise", "asked_side"])["pain_low"].mean().reset_index()
        worst = means.sort_values(["pain_low", "asked_side"], ascending=[False, True]).drop_duplicates(
            "exercise"
        )
        known = blank["exercise"].map(worst.set_index("exercise")["asked_side"]).astype("str")
        two_sided = known.fillna("midline")
    return blank["works"].where(blank["works"] != "both", two_sided)


def observations(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> pd.DataFrame:
    """Every answer about pain, one row for each set and side of the body that was asked.

    A set stopped for pain without a score is an answer as well: at least the client's level, on the side that
    works (see `side_without_score` for two-sided work). Days with a painkiller stay in, marked.

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
    return answers(derive_sets(log, client, as_of=as_of), client_settings(log, client, as_of=as_of))


def answers(sets: pd.DataFrame, settings: ClientSettings) -> pd.DataFrame:
    """The same of sets that are derived already.

    Parameters
    ----------
    sets : DataFrame
        `analysis.derive.derive_sets`.
    settings : ClientSettings
        Of the same client and day.

    Returns
    -------
    DataFrame
        As `observations`.
    """
    parts = [
        sets[sets[column].notna()].assign(
            asked_side=SIDE_OF[column],
            pain_low=sets[column].dropna().astype("int64"),
            pain_high=sets[column].dropna().astype("int64"),
            censored=False,
        )
        for column in PAIN_COLUMNS
        if column == PAIN_COLUMNS[0] or sets[column].notna().any()
    ]
    unscored = sets[list(PAIN_COLUMNS)].isna().all(axis=1) & (sets["stopped_for"] == "pain")
    stopped = sets[unscored]
    if len(stopped):
        scored = pd.concat(parts, ignore_index=True)
        parts.append(
            stopped.assign(
                asked_side=side_without_score(stopped, scored, settings),
                pain_low=settings.pain_level,
                pain_high=WORST_PAIN,
                censored=True,
            )
        )
    rows = pd.concat([part for part in parts if len(part)] or parts[:1], ignore_index=True)
    rows = rows.assign(hurt=rows["pain_low"] >= settings.pain_level)
    return rows.sort_values(["session_key", "set", "asked_side"], kind="stable", ignore_index=True)
