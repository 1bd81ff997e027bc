"""What is set for one client: unit, pain that counts, limits, bodyweight, main painful place (layer: derive)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.kept import kept
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


@kept
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
    row = _row(log.clients, (log.clients["client"] == client).to_numpy(bool))
    its_places = (log.sites["client"] == client).to_numpy(bool)
    main = its_places & log.sites["main"].fillna(False).to_numpy(bool)
    place = _row(log.sites, main if main.any() else its_places)
    return ClientSettings(
        client=client,
        unit=_text(row, "unit") or _usual_unit(log, client, as_of),
        pain_level=_whole(row, "pain_level") or DEFAULT_PAIN_LEVEL,
        limit_during=_whole(row, "limit_during"),
        limit_after=_whole(row, "limit_after"),
        limit_next_morning=_whole(row, "limit_next_morning"),
        bodyweight_kg=_number(row, "bodyweight_kg"),
        site_name=_text(place, "site"),
        site_region=_text(place, "region"),
        site_side=_text(place, "side"),
    )


def _usual_unit(log: TrainingLog, client: str, as_of: dt.date | None) -> str:
    """Unit of more than half of the sets that have one; kg otherwise."""
    mine = (log.sets["client"] == client).to_numpy(bool)
    if as_of is not None:
        mine = mine & (log.sets["date"] <= pd.Timestamp(as_of)).to_numpy(bool)
    units = [unit for unit in log.sets["unit"][mine].tolist() if not pd.isna(unit)]
    return "lb" if units.count("lb") > 0.5 * len(units) else "kg"


def _row(frame: pd.DataFrame, which: NDArray[np.bool_]) -> dict[str, object]:
    """First of some rows by column; empty where there is none."""
    if not which.any():
        return {}
    at = int(which.argmax())
    return {name: frame[name].iloc[at] for name in frame.columns}


def _number(row: dict[str, object], name: str) -> float | None:
    value = row.get(name)
    return None if pd.isna(value) else float(value)  # type: ignore[arg-type]


def _whole(row: dict[str, object], name: str) -> int | None:
    value = _number(row, name)
    return None if value is None else int(value)


def _text(row: dict[str, object], name: str) -> str | None:
    value = row.get(name)
    return None if pd.isna(value) else str(value)
