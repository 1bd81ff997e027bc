"""What was tried and seen for each pain line, before any model (layer: models)."""

from __future__ import annotations

import datetime as dt

import pandas as pd

from analysis.design_centres import RECENT_DAYS
from analysis.results import AskedSide, LineKey, Setting, Tried, TriedCondition, TriedLoad, WorkingSide


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
    n_sets = all_sets.groupby(["exercise", "variant", "works"]).size().to_dict()
    tried: dict[LineKey, Tried] = {}
    columns = ["exercise", "variant", "works", "asked_side"]
    for (exercise, variant, works, side), part in observed.groupby(columns, sort=False):
        key = LineKey(exercise=exercise, variant=variant, side=_side(side), works=_works(works))
        tried[key] = _tried(part, int(n_sets[exercise, variant, works]), steps_kg.get(exercise), unit)
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


def _tried(part: pd.DataFrame, n_sets: int, step_kg: float | None, unit: str) -> Tried:
    loaded = part[part["load_term_kg"].notna()]
    recent = loaded[loaded["days_back"] < RECENT_DAYS]
    pool = recent if len(recent) else loaded
    loads = loaded.assign(load=loaded["load_term_kg"].round(6)).groupby("load")["hurt"].agg(["size", "sum"])
    last = part.iloc[-1]
    last_day: dt.date = last["date"].date()
    basis = part["load_basis"].dropna()
    return Tried(
        n_sets=n_sets,
        n_asked=len(part),
        n_painful=int(part["hurt"].sum()),
        n_at_level=tuple(int((part["pain_low"] >= level).sum()) for level in range(1, 6)),
        n_sessions=int(part["session_key"].nunique()),
        lightest_kg=float(pool["load_term_kg"].min()) if len(pool) else None,
        heaviest_kg=float(pool["load_term_kg"].max()) if len(pool) else None,
        last_load_kg=float(loaded["load_term_kg"].iloc[-1]) if len(loaded) else None,
        last_date=last_day,
        last_setting=_setting_of(last),
        loads=tuple(
            TriedLoad(load_kg=float(load), n_asked=int(row["size"]), n_painful=int(row["sum"]))
            for load, row in loads.iterrows()
        ),
        conditions=_conditions(part[part["load_term_kg"].isna()]),
        load_step_kg=step_kg,
        unit=unit,
        load_basis=str(basis.iloc[-1]) if len(basis) else "total",
    )


def _setting_of(row: pd.Series) -> Setting:
    def number(name: str) -> float | None:
        return None if pd.isna(row[name]) else float(row[name])

    return Setting(
        lowering_s=number("lowering_s"),
        pause_s=number("pause_s"),
        rom_pct=number("rom_pct"),
        range_stop=None if pd.isna(row["range_stop"]) else str(row["range_stop"]),
        reps=number("planned_reps"),
        hold_s=number("hold_s"),
        place=number("place"),
        set_number=number("set_number"),
        prepared=bool(row["prepared"]),
        provoked=bool(row["provoked"]),
    )


def _conditions(part: pd.DataFrame) -> tuple[TriedCondition, ...]:
    counts = part.groupby(["range_stop", "hold_s"], sort=False, dropna=False)["hurt"].agg(["size", "sum"])
    return tuple(
        TriedCondition(
            range_stop=None if pd.isna(stop) else str(stop),
            hold_s=None if pd.isna(hold) else float(hold),
            n_asked=int(row["size"]),
            n_painful=int(row["sum"]),
        )
        for (stop, hold), row in counts.iterrows()
    )
