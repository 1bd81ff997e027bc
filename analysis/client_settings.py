"""What is set for one client: unit, pain that counts, limits, bodyweight, main painful place (layer: derive)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pandas as pd

from analysis.schema import DEFAULT_PAIN_LEVEL
from analysis.training_log import TrainingLog


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientSettings:
    """Settings of a client, defaults filled in; None where nothing is on file.

    Attributes
    ----------
    client : str
    unit : str
        ``kg`` or ``lb``: how loads are shown; the unit of most sets where none is set.
    pain_level : int
        Pain that counts, 1 to 5; 2 where none is set.
    limit_during, limit_after, limit_next_morning : int or None
        Highest pain agreed on, 0 to 10.
    bodyweight_kg : float or None
    site_name, site_region, site_side : str or None
        The main painful place; `site_side` is left, right, both or midline as logged.
    """

    client: str
    unit: str
    pain_level: int
    limit_during: int | None
    limit_after: int | None
    limit_next_morning: int | None
    bodyweight_kg: float | None
    site_name: str | None
    site_region: str | None
    site_side: str | None


def client_settings(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> ClientSettings:
    """Settings of a client.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day whose sets tell the unit, inclusive; all days if None.

    Returns
    -------
    ClientSettings
    """
    row = _first(log.clients[log.clients["client"] == client])
    places = log.sites[log.sites["client"] == client]
    main = places[places["main"].fillna(False).astype(bool)]
    place = _first(main if len(main) else places)
    mine = log.sets["client"] == client
    if as_of is not None:
        mine &= log.sets["date"] <= pd.Timestamp(as_of)
    units = log.sets.loc[mine, "unit"].dropna()
    usual_unit = "lb" if (units == "lb").sum() > 0.5 * len(units) else "kg"
    level = _whole(row, "pain_level")
    return ClientSettings(
        client=client,
        unit=_text(row, "unit") or usual_unit,
        pain_level=DEFAULT_PAIN_LEVEL if level is None else level,
        limit_during=_whole(row, "limit_during"),
        limit_after=_whole(row, "limit_after"),
        limit_next_morning=_whole(row, "limit_next_morning"),
        bodyweight_kg=_number(row, "bodyweight_kg"),
        site_name=_text(place, "site"),
        site_region=_text(place, "region"),
        site_side=_text(place, "side"),
    )


def _first(frame: pd.DataFrame) -> pd.Series:
    return frame.iloc[0] if len(frame) else pd.Series(dtype="object")


def _number(row: pd.Series, name: str) -> float | None:
    value = row.get(name)
    return None if value is None or pd.isna(value) else float(value)


def _whole(row: pd.Series, name: str) -> int | None:
    value = _number(row, name)
    return None if value is None else int(value)


def _text(row: pd.Series, name: str) -> str | None:
    value = row.get(name)
    return None if value is None or pd.isna(value) else str(value)
