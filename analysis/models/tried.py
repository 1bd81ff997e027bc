"""What was tried and seen for each pain line, before any model (layer: models)."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.design_centres import RECENT_DAYS
from analysis.results import AskedSide, LineKey, Setting, Tried, TriedCondition, TriedLoad, WorkingSide

Floats = NDArray[np.float64]
Rows = NDArray[np.int64]

LINE_COLUMNS = ("exercise", "variant", "works", "asked_side")
SETTING_COLUMNS = {
    "lowering_s": "lowering_s",
    "pause_s": "pause_s",
    "rom_pct": "rom_pct",
    "reps": "planned_reps",
    "hold_s": "hold_s",
    "place": "place",
    "set_number": "set_number",
    "prepared": "prepared",
    "provoked": "provoked",
}
"""Field of a setting to its column of the observations."""


def tried_by_line(
    observed: pd.DataFrame, all_sets: pd.DataFrame, steps_kg: dict[str, float | None], unit: str
) -> dict[LineKey, Tried]:
    """Counts and loads of every exercise, variant, side that works and side that was asked.

    Parameters
    ----------
    observed : DataFrame
        Observations that enter the model.
    all_sets : DataFrame
        All sets of the client, asked or not (`derive_sets`).
    steps_kg : dict
        Smallest step of the equipment, per exercise, kg.
    unit : str
        The client's unit.

    Returns
    -------
    dict
        In order of first appearance.
    """
    n_sets = Counter(
        zip(*(all_sets[name].tolist() for name in ("exercise", "variant", "works")), strict=True)
    )
    columns = _columns(observed)
    rows_of: dict[tuple[str, str, str, str], list[int]] = {}
    names = zip(*(observed[name].tolist() for name in LINE_COLUMNS), strict=True)
    for row, line in enumerate(names):
        rows_of.setdefault(line, []).append(row)
    tried: dict[LineKey, Tried] = {}
    for (exercise, variant, works, side), rows in rows_of.items():
        key = LineKey(exercise=exercise, variant=variant, side=_side(side), works=_works(works))
        tried[key] = _tried(
            columns, np.array(rows), n_sets[exercise, variant, works], steps_kg.get(exercise), unit
        )
    return tried


def unasked_lines(
    all_sets: pd.DataFrame,
    tried: dict[LineKey, Tried],
    side_of: pd.Series,
    steps_kg: dict[str, float | None],
    unit: str,
) -> dict[LineKey, Tried]:
    """Exercises, variants and sides of work that no answer in the model speaks of.

    Parameters
    ----------
    all_sets : DataFrame
        Sets of the client, preparation and cool-down apart.
    tried : dict
        `tried_by_line` of the same client.
    side_of : Series
        Side of the body each set would be asked about.
    steps_kg : dict
        Smallest step of the equipment, per exercise, kg.
    unit : str
        The client's unit.

    Returns
    -------
    dict
        Counts of sets only; nothing was answered.
    """
    asked = {(key.exercise, key.variant, key.works) for key in tried}
    found: dict[LineKey, Tried] = {}
    rows = all_sets.assign(asked_side=side_of)
    for (exercise, variant, works), part in rows.groupby(["exercise", "variant", "works"], sort=False):
        if (exercise, variant, works) in asked:
            continue
        side = part["asked_side"].iloc[-1]
        key = LineKey(exercise=exercise, variant=variant, side=_side(side), works=_works(works))
        found[key] = Tried(
            n_sets=len(part),
            n_asked=0,
            n_painful=0,
            n_sessions=0,
            lightest_kg=None,
            heaviest_kg=None,
            last_load_kg=None,
            last_date=None,
            loads=(),
            load_step_kg=steps_kg.get(exercise),
            unit=unit,
            load_basis=str(part["load_basis"].iloc[-1]),
        )
    return found


def _side(side: str) -> AskedSide:
    return side  # type: ignore[return-value]


def _works(works: str) -> WorkingSide:
    return works  # type: ignore[return-value]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Columns:
    """Columns of the observations as arrays, so that a line costs little; blanks are NaN or None."""

    hurt: NDArray[np.bool_]
    pain_low: NDArray[np.int64]
    session: NDArray[np.int64]
    days_back: NDArray[np.int64]
    load_kg: Floats
    date: pd.Series
    load_basis: list[str | None]
    range_stop: list[str | None]
    setting: dict[str, Floats]


def _columns(observed: pd.DataFrame) -> _Columns:
    def texts(name: str) -> list[str | None]:
        return [None if pd.isna(text) else str(text) for text in observed[name].tolist()]

    return _Columns(
        hurt=observed["hurt"].to_numpy(bool),
        pain_low=observed["pain_low"].to_numpy(np.int64),
        session=observed["session_key"].to_numpy(np.int64),
        days_back=observed["days_back"].to_numpy(np.int64),
        load_kg=observed["load_term_kg"].to_numpy(float, na_value=np.nan),
        date=observed["date"],
        load_basis=texts("load_basis"),
        range_stop=texts("range_stop"),
        setting={
            name: observed[column].to_numpy(float, na_value=np.nan)
            for name, column in SETTING_COLUMNS.items()
        },
    )


def _tried(columns: _Columns, rows: Rows, n_sets: int, step_kg: float | None, unit: str) -> Tried:
    """What was tried in some rows, which are in canonical order."""
    hurt, pain_low, load_kg = columns.hurt[rows], columns.pain_low[rows], columns.load_kg[rows]
    has_load = np.isfinite(load_kg)
    recent = has_load & (columns.days_back[rows] < RECENT_DAYS)
    pool = load_kg[recent if recent.any() else has_load]
    loads, at = np.unique(load_kg[has_load].round(6), return_inverse=True)
    basis = [text for row in rows if (text := columns.load_basis[row]) is not None]
    last_day: dt.date = columns.date.iloc[rows[-1]].date()
    return Tried(
        n_sets=n_sets,
        n_asked=rows.size,
        n_painful=int(hurt.sum()),
        n_at_level=tuple(int((pain_low >= level).sum()) for level in range(1, 6)),
        n_sessions=len(set(columns.session[rows].tolist())),
        lightest_kg=float(pool.min()) if pool.size else None,
        heaviest_kg=float(pool.max()) if pool.size else None,
        loads_are_recent=bool(recent.any() or not has_load.any()),
        last_load_kg=float(load_kg[has_load][-1]) if pool.size else None,
        last_date=last_day,
        last_setting=_setting_of(columns, int(rows[-1])),
        loads=tuple(
            TriedLoad(load_kg=load, n_asked=n_asked, n_painful=int(n_painful))
            for load, n_asked, n_painful in zip(
                loads.tolist(),
                np.bincount(at, minlength=loads.size).tolist(),
                np.bincount(at, hurt[has_load], loads.size).tolist(),
                strict=True,
            )
        ),
        conditions=_conditions(columns, rows[~has_load]),
        load_step_kg=step_kg,
        unit=unit,
        load_basis=basis[-1] if basis else "total",
    )


def _setting_of(columns: _Columns, row: int) -> Setting:
    def number(name: str) -> float | None:
        value = float(columns.setting[name][row])
        return value if np.isfinite(value) else None

    return Setting(
        lowering_s=number("lowering_s"),
        pause_s=number("pause_s"),
        rom_pct=number("rom_pct"),
        range_stop=columns.range_stop[row],
        reps=number("reps"),
        hold_s=number("hold_s"),
        place=number("place"),
        set_number=number("set_number"),
        prepared=bool(columns.setting["prepared"][row]),
        provoked=bool(columns.setting["provoked"][row]),
    )


def _conditions(columns: _Columns, rows: Rows) -> tuple[TriedCondition, ...]:
    """Range stops and hold times of some rows, in order of first appearance."""
    seen: dict[tuple[str | None, float | None], list[bool]] = {}
    for row in rows.tolist():
        hold = float(columns.setting["hold_s"][row])
        condition = (columns.range_stop[row], hold if np.isfinite(hold) else None)
        seen.setdefault(condition, []).append(bool(columns.hurt[row]))
    return tuple(
        TriedCondition(range_stop=stop, hold_s=hold, n_asked=len(hurt), n_painful=sum(hurt))
        for (stop, hold), hurt in seen.items()
    )
