"""The heaviest load that was quiet on two days: one meaning wherever it is told (layer: questions)."""

from __future__ import annotations

from collections import Counter

import pandas as pd

QUIET_DAYS = 2


def quiet_twice_kg(rows: pd.DataFrame) -> float | None:
    """Heaviest load quiet on two days or more; None where there is none.

    Days and not sets are counted, and a day that hurt does not undo two that were quiet: a load done often
    would otherwise fall behind one done twice.

    Parameters
    ----------
    rows : DataFrame
        Observations of one line; those without a load do not count.

    Returns
    -------
    float or None
        kg.
    """
    loaded = rows[rows["load_term_kg"].notna()]
    hurt_that_day: dict[tuple[float, pd.Timestamp], bool] = {}
    loads = loaded["load_term_kg"].round(6).tolist()
    for load, day, hurt in zip(loads, loaded["date"].tolist(), loaded["hurt"].tolist(), strict=True):
        hurt_that_day[load, day] = hurt_that_day.get((load, day), False) or hurt
    quiet_days = Counter(load for (load, _), hurt in hurt_that_day.items() if not hurt)
    return max((load for load, days in quiet_days.items() if days >= QUIET_DAYS), default=None)
