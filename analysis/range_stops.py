"""Order and percent of the named stops of each exercise, from ranges.csv (layer: derive)."""

from __future__ import annotations

import pandas as pd


def stop_ranks(ranges: pd.DataFrame) -> dict[str, dict[str, float]]:
    """Order of each named stop of each exercise, 0 for the shortest range.

    Parameters
    ----------
    ranges : DataFrame
        The log's ``ranges``.

    Returns
    -------
    dict
        Exercise to stop to rank, stops in their order.
    """
    ranks: dict[str, dict[str, float]] = {}
    ordered = ranges.sort_values("order", kind="stable")
    for exercise, stop in zip(ordered["exercise"].tolist(), ordered["range_stop"].tolist(), strict=True):
        of_exercise = ranks.setdefault(exercise, {})
        of_exercise.setdefault(stop, float(len(of_exercise)))
    return ranks


def stop_percents(ranges: pd.DataFrame) -> dict[str, dict[str, float]]:
    """Percent of the full range of each named stop that has one.

    Parameters
    ----------
    ranges : DataFrame
        The log's ``ranges``.

    Returns
    -------
    dict
        Exercise to stop to percent.
    """
    percents: dict[str, dict[str, float]] = {}
    known = ranges[ranges["rom_pct"].notna()]
    columns = (known[name].tolist() for name in ("exercise", "range_stop", "rom_pct"))
    for exercise, stop, percent in zip(*columns, strict=True):
        percents.setdefault(exercise, {})[stop] = float(percent)
    return percents
