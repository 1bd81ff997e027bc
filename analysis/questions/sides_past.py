"""Each side against its own first weeks, and against the other side's (layer: questions)."""

from __future__ import annotations

import pandas as pd

from analysis.questions.quiet_loads import quiet_twice_kg
from analysis.results import Withheld
from analysis.results_sides import OwnPast, SideKey

STRETCH_DAYS = 28
"""First and last weeks that are compared, days each (a setting)."""


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


def _line(observed: pd.DataFrame, works: str, side: str) -> pd.DataFrame:
    mine = (observed["works"] == works) & (observed["asked_side"] == side)
    return observed[mine & observed["load_term_kg"].notna()]


def _percent(now: float | None, before: float | None) -> float | None:
    return None if now is None or before is None else 100.0 * now / before
