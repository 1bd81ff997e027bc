"""One row for each set and asked side of the body: what the pain model sees (layer: derive)."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd

from analysis.client_settings import ClientSettings, client_settings
from analysis.derive import derive_sets
from analysis.kept import kept
from analysis.training_log import TrainingLog

BY_SIDE = {"pain_left": "left", "pain_midline": "midline", "pain_right": "right"}
"""Column of a score to the side of the body it speaks of, by name of the side."""
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


@kept
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
    scores = np.column_stack([sets[column].to_numpy("float64", na_value=np.nan) for column in BY_SIDE])
    asked = np.isfinite(scores)
    row, place = np.nonzero(asked)  # by set, then by name of the side
    pain = scores[row, place].astype("int64")
    scored = sets.take(row).assign(
        asked_side=pd.array(np.array(list(BY_SIDE.values()))[place], dtype="str"),
        pain_low=pain,
        pain_high=pain,
        censored=False,
        hurt=pain >= settings.pain_level,
    )
    stopped = sets[~asked.any(axis=1) & (sets["stopped_for"] == "pain").to_numpy(bool)]
    if not len(stopped):
        return scored.reset_index(drop=True)
    unscored = stopped.assign(
        asked_side=side_without_score(stopped, scored, settings),
        pain_low=settings.pain_level,
        pain_high=WORST_PAIN,
        censored=True,
        hurt=True,
    )
    rows = pd.concat([scored, unscored]) if len(scored) else unscored
    return rows.sort_index(kind="stable", ignore_index=True)  # the sets stand in canonical order
