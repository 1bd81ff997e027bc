"""From observations to the arrays of the pain model, and the memory needed to predict with it (layer: design)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.design_centres import load_centres
from analysis.design_terms import SIDE_CODE, TERMS
from analysis.range_stops import stop_percents, stop_ranks
from analysis.results import LineKey

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

UNLOADED = "(no load)"
"""Stands for the variant of sets without a load in an exercise and variant that also has loads."""
OWN_SCALE = ("reps", "hold_s", "range_rank")
"""Covariates measured against the exercise's own usual or furthest value: never logged means no such scale."""
USUAL_OF = {
    "lowering_s": "lowering_s",
    "pause_s": "pause_s",
    "rom_pct": "rom_pct",
    "range_rank": "range_rank",
    "reps": "planned_reps",
    "hold_s": "hold_s",
    "place": "place",
    "set_number": "set_number",
}
"""Term to the column whose median per exercise is its usual value."""
MIDDLE_OF_WEEK = 3.0 / 7.0
"""The block -1 holds days 1 to 7 before the last session; their middle is day 4."""
LONGEST_TREND_WEEKS = 260.0
"""A straight trend over more than five years would carry lines out of all bounds: older answers count as five years
old in the trend, and the walk over weeks carries them."""
SIDE_COLUMNS = ("exercise", "works", "asked_side")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Design:
    """Arrays of the model with the memory of how they were made.

    Attributes
    ----------
    low, high : ndarray of int, shape (n,)
        Lowest and highest category an answer allows, 0 .. 5 (5 means 5 or more).
    X : ndarray, shape (n, n_terms)
        Columns of `design_terms.TERMS`, in that order.
    ell : ndarray, shape (n,)
        Octaves of load from the centre; 0 without a load term.
    exercise, exercise_side, variant, session, week : ndarray of int, shape (n,)
        Level of each row; -1 in `variant` for the base variant, -1 in `week` for the day of the last session.
    week_time : ndarray, shape (n,)
        Weeks before the last session, zero or negative.
    exercises, exercise_sides, variants, weeks : tuple
        Names of the levels; `weeks` are blocks of seven days before the day of the
        last session, all negative: -1 is the seven days before it.
    n_sessions : int
    centre_log2_kg : dict
        Centre of the load of each exercise and variant, log2 kg.
    usual : dict
        For each exercise, the raw usual value of each term, NaN where it was never logged.
    furthest_rank : dict
        For each exercise whose range is logged by stop only, the order of its furthest stop.
    range_ranks : dict
        For each exercise, order of each named stop.
    stop_rom_pct : dict
        For each exercise, percent of the full range of each named stop that has one.
    weeks_of_data : float
        From the first to the last session.
    """

    low: Ints
    high: Ints
    X: Floats
    ell: Floats
    exercise: Ints
    exercise_side: Ints
    variant: Ints
    session: Ints
    week: Ints
    week_time: Floats
    exercises: tuple[str, ...]
    exercise_sides: tuple[tuple[str, str, str], ...]
    variants: tuple[tuple[str, str], ...]
    weeks: tuple[int, ...]
    n_sessions: int
    centre_log2_kg: dict[tuple[str, str], float]
    usual: dict[str, dict[str, float]]
    furthest_rank: dict[str, float]
    range_ranks: dict[str, dict[str, float]]
    stop_rom_pct: dict[str, dict[str, float]]
    weeks_of_data: float

    def side_index(self, key: LineKey) -> int:
        """Level of the exercise, the side that works and the side that hurts."""
        return self.exercise_sides.index((key.exercise, key.works, key.side))

    def variant_index(self, key: LineKey) -> int | None:
        """Level of a variant's own offset, None for the base variant."""
        pair = (key.exercise, key.variant)
        return self.variants.index(pair) if pair in self.variants else None


def week_middle(week: int) -> float:
    """Middle of a block of seven days, in weeks before the day of the last session: -4/7 for -1, 0 for 0."""
    return week + MIDDLE_OF_WEEK if week else 0.0


def trend_weeks(weeks: Floats | float) -> Floats:
    """Weeks before the last session, zero or negative, as the straight trend counts them."""
    return np.maximum(weeks, -LONGEST_TREND_WEEKS)


def build_design(observed: pd.DataFrame, *, variants: pd.DataFrame, ranges: pd.DataFrame) -> Design:
    """Arrays and memory of the pain model for one client.

    Parameters
    ----------
    observed : DataFrame
        Rows of `analysis.observations.observations` that enter the model, in canonical order.
    variants, ranges : DataFrame
        The log's order of variants and of range stops.

    Returns
    -------
    Design
    """
    exercises = _levels(observed["exercise"])
    sides = _levels(list(zip(*(observed[c] for c in SIDE_COLUMNS), strict=True)))
    base, centres = load_centres(observed, variants)
    kind = _variant_kind(observed, base)
    variant_levels = _levels([k for k in kind if k is not None])
    load_kg = observed["load_term_kg"].to_numpy(float)
    centre = np.array(
        [centres.get((e, v), 0.0) for e, v in zip(observed["exercise"], observed["variant"], strict=True)]
    )
    has_load = np.isfinite(load_kg)
    ell = np.where(has_load, np.log2(np.where(has_load, load_kg, 1.0)) - centre, 0.0)
    week = observed["week"].to_numpy(np.int64)
    weeks = tuple(sorted({int(w) for w in week if w < 0}))
    week_at = {w: i for i, w in enumerate(weeks)}
    usual, furthest = _usual_values(observed)
    days_back = observed["days_back"].to_numpy(float)
    return Design(
        low=np.minimum(observed["pain_low"].to_numpy(np.int64), 5),
        high=np.minimum(observed["pain_high"].to_numpy(np.int64), 5),
        X=_covariates(observed, usual, furthest),
        ell=ell,
        exercise=_codes(observed["exercise"], exercises),
        exercise_side=_codes(list(zip(*(observed[c] for c in SIDE_COLUMNS), strict=True)), sides),
        variant=np.array([-1 if k is None else variant_levels.index(k) for k in kind], dtype=np.int64),
        session=_codes(observed["session_key"], _levels(observed["session_key"])),
        week=np.array([week_at.get(int(w), -1) for w in week], dtype=np.int64),
        week_time=-days_back / 7.0,
        exercises=tuple(exercises),
        exercise_sides=tuple(sides),
        variants=tuple(variant_levels),
        weeks=weeks,
        n_sessions=int(observed["session_key"].nunique()),
        centre_log2_kg=centres,
        usual=usual,
        furthest_rank=furthest,
        range_ranks=stop_ranks(ranges),
        stop_rom_pct=stop_percents(ranges),
        weeks_of_data=float(days_back.max(initial=0.0)) / 7.0,
    )


def _levels(values) -> list:  # type: ignore[no-untyped-def,type-arg]
    """Distinct values in order of first appearance, so that names do not matter."""
    return list(dict.fromkeys(values))


def _codes(values, levels) -> Ints:  # type: ignore[no-untyped-def]
    at = {level: i for i, level in enumerate(levels)}
    return np.array([at[value] for value in values], dtype=np.int64)


def _variant_kind(observed: pd.DataFrame, base: dict[str, str]) -> list[tuple[str, str] | None]:
    """Which own offset each row has: none for the base variant with a load as usual."""
    loaded = observed["load_term_kg"].notna()
    pairs = list(zip(observed["exercise"], observed["variant"], strict=True))
    with_loads = {pair for pair, has in zip(pairs, loaded, strict=True) if has}
    kinds: list[tuple[str, str] | None] = []
    for (exercise, variant), has in zip(pairs, loaded, strict=True):
        if not has and (exercise, variant) in with_loads:
            kinds.append((exercise, f"{variant} {UNLOADED}"))
        elif variant != base[exercise]:
            kinds.append((exercise, variant))
        else:
            kinds.append(None)
    return kinds


def _usual_values(observed: pd.DataFrame) -> tuple[dict[str, dict[str, float]], dict[str, float]]:
    """Median of each covariate per exercise, NaN where an exercise never logged it; and its furthest stop."""
    columns = {name: observed[column].to_numpy(float, na_value=np.nan) for name, column in USUAL_OF.items()}
    names = observed["exercise"].to_numpy(object)
    session = observed["session_key"].to_numpy()
    prepared_in = set(session[observed["prepared"].to_numpy(bool)].tolist())
    prepared = len(prepared_in) / max(len(set(session.tolist())), 1)
    usual: dict[str, dict[str, float]] = {}
    furthest: dict[str, float] = {}
    for exercise in _levels(names.tolist()):
        rows = names == exercise
        usual[exercise] = {name: _median(column[rows]) for name, column in columns.items()}
        usual[exercise] |= {"prepared": prepared, "provoked": 0.0, "pain_on_arrival": 0.0}
        ranks = columns["range_rank"][rows]
        if np.isfinite(ranks).any() and not np.isfinite(columns["rom_pct"][rows]).any():
            furthest[exercise] = float(np.nanmax(ranks))
    return usual, furthest


def _median(values: Floats) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if known.size else float("nan")


def _covariates(
    observed: pd.DataFrame, usual: dict[str, dict[str, float]], furthest: dict[str, float]
) -> Floats:
    """The matrix X: blanks are the exercise's usual, so that an unlogged value tells nothing.

    Where an exercise never logged a covariate at all, its column stays at the reference.
    """
    exercises = list(usual)
    code = _codes(observed["exercise"].tolist(), exercises)
    reference = {term.name: term.reference for term in TERMS}

    def typical(name: str) -> Floats:
        return np.array([usual[e][name] for e in exercises], dtype=float)[code]

    def filled(column: str, name: str) -> Floats:
        value = observed[column].to_numpy(float, na_value=np.nan)
        known = np.where(np.isfinite(value), value, typical(name))
        return np.where(np.isfinite(known), known, np.nan if name in OWN_SCALE else reference[name])

    def doublings(column: str, name: str) -> Floats:
        value = np.maximum(filled(column, name), 1.0)
        return np.nan_to_num(np.log2(value / np.maximum(typical(name), 1.0)), nan=0.0)

    arrival = observed["pain_on_arrival"].to_numpy(float, na_value=np.nan)
    told: dict[int, float] = {}
    for session, value in zip(observed["session_key"].tolist(), arrival.tolist(), strict=True):
        if np.isfinite(value):
            told.setdefault(session, value)
    known = np.array(list(told.values()))
    centre = float(known.mean()) if known.size else 0.0
    rank = filled("range_rank", "range_rank") - np.array([furthest.get(e, np.nan) for e in exercises])[code]
    raw = {
        "lowering_s": filled("lowering_s", "lowering_s"),
        "pause_s": filled("pause_s", "pause_s"),
        "rom_pct": filled("rom_pct", "rom_pct"),
        "range_rank": np.nan_to_num(rank, nan=0.0),
        "reps": doublings("planned_reps", "reps"),
        "hold_s": doublings("hold_s", "hold_s"),
        "place": filled("place", "place"),
        "set_number": filled("set_number", "set_number"),
        "prepared": observed["prepared"].to_numpy(float),
        "provoked": observed["provoked"].to_numpy(float),
        "pain_on_arrival": np.where(np.isfinite(arrival), arrival - centre, 0.0),
        "side": np.array([SIDE_CODE[side] for side in observed["asked_side"].tolist()]),
    }
    return np.column_stack([(raw[term.name] - term.reference) / term.scale for term in TERMS])
