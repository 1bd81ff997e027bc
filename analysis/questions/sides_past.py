"""Each side against its own first weeks, and against the other side's (layer: questions)."""

from __future__ import annotations

from collections import Counter

import pandas as pd

from analysis.results import Withheld
from analysis.results_sides import OwnPast, SideKey

STRETCH_DAYS = 28
"""First and last weeks that are compared, days each (a setting)."""
QUIET_DAYS = 2


def own_past(observed: pd.DataFrame, key: SideKey) -> OwnPast | Withheld:
    """Heaviest load quiet on two days in the first four weeks and in the last four, per side.

    Parameters
    ----------
    observed : DataFrame
        Rows of `analysis.questions.sides_pairs.comparable` of the exercise and variant.
    key : SideKey

    Returns
    -------
    OwnPast
    Withheld
        If the sets have no load, or the first and last weeks would overlap.

    References
    ----------
    .. [1] Wellsandt 2017, JOSPT: the other side's value before, not now, as the reference, because the other
       side loses too.
    """
    both = {
        "left": _line(observed, key.left.works, "left"),
        "right": _line(observed, key.right.works, "right"),
    }
    with_load = pd.concat(list(both.values()))
    if with_load.empty:
        return Withheld(
            reason="These sets have no load in kilograms.", remedy="Log the load to compare weeks."
        )
    first, last = with_load["date"].min(), with_load["date"].max()
    n_days = (last - first).days + 1
    if n_days < 2 * STRETCH_DAYS:
        return Withheld(
            reason=f"Done over {n_days} {'day' if n_days == 1 else 'days'}; the first and the last"
            f" {STRETCH_DAYS} days would overlap.",
            remedy=f"From {2 * STRETCH_DAYS} days on each side is set against its own first weeks.",
        )
    stretch = pd.Timedelta(days=STRETCH_DAYS)
    early = {side: quiet_twice_kg(rows[rows["date"] < first + stretch]) for side, rows in both.items()}
    late = {side: quiet_twice_kg(rows[rows["date"] > last - stretch]) for side, rows in both.items()}
    return OwnPast(
        days=STRETCH_DAYS,
        left_first_kg=early["left"],
        left_last_kg=late["left"],
        right_first_kg=early["right"],
        right_last_kg=late["right"],
        left_over_right_first_pct=_percent(late["left"], early["right"]),
        right_over_left_first_pct=_percent(late["right"], early["left"]),
    )


def quiet_twice_kg(rows: pd.DataFrame) -> float | None:
    """Heaviest load quiet on two days or more; None where there is none.

    Days and not sets are counted, and a day that hurt does not undo two that were quiet: a load done often
    would otherwise fall behind one done twice.

    Parameters
    ----------
    rows : DataFrame
        Observations with a load.

    Returns
    -------
    float or None
        kg.
    """
    hurt_that_day: dict[tuple[float, pd.Timestamp], bool] = {}
    loads = rows["load_term_kg"].round(6).tolist()
    for load, day, hurt in zip(loads, rows["date"].tolist(), rows["hurt"].tolist(), strict=True):
        hurt_that_day[load, day] = hurt_that_day.get((load, day), False) or hurt
    quiet_days = Counter(load for (load, _), hurt in hurt_that_day.items() if not hurt)
    return max((load for load, days in quiet_days.items() if days >= QUIET_DAYS), default=None)


def _line(observed: pd.DataFrame, works: str, side: str) -> pd.DataFrame:
    mine = (observed["works"] == works) & (observed["asked_side"] == side)
    return observed[mine & observed["load_term_kg"].notna()]


def _percent(now: float | None, before: float | None) -> float | None:
    return None if now is None or before is None else 100.0 * now / before
