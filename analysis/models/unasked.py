"""The other reading of blanks: an unasked set counted as 0 or 1 (layer: models)."""

from __future__ import annotations

import pandas as pd

from analysis.client_settings import ClientSettings
from analysis.derive import OUTSIDE_WORK
from analysis.observations import side_without_score


def unasked_as_quiet(observed: pd.DataFrame, sets: pd.DataFrame, settings: ClientSettings) -> pd.DataFrame:
    """Observations with the unasked sets of their lines added as "0 or 1".

    Only lines with at least one answer get any: blanks alone make no line.

    Parameters
    ----------
    observed : DataFrame
        `analysis.observations.observations`.
    sets : DataFrame
        `analysis.derive.derive_sets` of the same client and day.
    settings : ClientSettings

    Returns
    -------
    DataFrame
        In canonical order.
    """
    blank = sets[~sets["asked"] & ~sets["block"].isin(OUTSIDE_WORK)]
    added = blank.assign(
        asked_side=side_without_score(blank, observed, settings),
        pain_low=0,
        pain_high=1,
        censored=True,
        hurt=False,
    )
    line = ["exercise", "variant", "works", "asked_side"]
    answered = pd.MultiIndex.from_frame(observed[line])
    added = added[pd.MultiIndex.from_frame(added[line]).isin(answered)]
    both = pd.concat([observed, added[observed.columns]], ignore_index=True)
    return both.sort_values(["session_key", "set", "asked_side"], kind="stable", ignore_index=True)
