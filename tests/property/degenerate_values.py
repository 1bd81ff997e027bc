"""Loads, pain scores and covariates of degenerate logs (layer: tests)."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pandas as pd


def load_values(rng: np.random.Generator, kind: str, n: int) -> np.ndarray:
    """Loads of `n` sets in whatever unit; `kind` is one of the axis ``loads``."""
    match kind:
        case "one load":
            return np.full(n, 20.0)
        case "two loads":
            return rng.choice([10.0, 12.0], n)
        case "0.5 to 500":
            return np.round(np.exp(rng.uniform(np.log(0.5), np.log(500.0), n)), 2)
        case "0.5 only":
            return np.full(n, 0.5)
        case "500 only":
            return np.full(n, 500.0)
        case "almost equal":
            return 20.0 + rng.choice([0.0, 1e-7, 1e-4], n)
        case "tiny and huge":
            return rng.choice([0.01, 1000.0], n)
        case "with zeros":
            return rng.choice([0.0, 0.0, 8.0, 10.0], n)
        case "rising for ever":
            return np.round(np.linspace(0.5, 500.0, n), 2)
        case "each its own":
            return 5.0 + 0.25 * np.arange(n)
        case _:
            return rng.choice([6.0, 8.0, 10.0, 12.0, 14.0], n)


def basis_columns(
    rng: np.random.Generator, kinds: Mapping[str, str], frame: pd.DataFrame, loads: np.ndarray
) -> dict[str, list[object]]:
    """Columns ``load``, ``load_basis``, ``band`` and ``unit``; one basis for an exercise and variant."""
    n = len(frame)
    per_set = {
        "none said": ["blank"] * n,
        "bodyweight": ["bodyweight"] * n,
        "assisted": ["assisted"] * n,
        "bands": ["band"] * n,
        "unloaded": ["unloaded"] * n,
        "half blank": list(rng.choice(["blank", "unloaded"], n)),
    }.get(kinds["bases"], ["total"] * n)
    if kinds["bases"] == "mixed by exercise":
        names = list(dict.fromkeys(zip(frame["exercise"], frame["variant"], strict=True)))
        drawn = rng.choice(
            ["total", "per hand", "stack", "bodyweight", "assisted", "band", "unloaded"], len(names)
        )
        of_name = dict(zip(names, drawn, strict=True))
        per_set = [of_name[pair] for pair in zip(frame["exercise"], frame["variant"], strict=True)]
    load: list[object] = []
    basis: list[object] = []
    for one, value in zip(per_set, loads, strict=True):
        added = value if rng.random() < 0.5 else None
        load.append({"band": None, "unloaded": None, "bodyweight": added, "assisted": -value}.get(one, value))
        basis.append({"blank": None, "unloaded": None, "assisted": "bodyweight"}.get(one, one))
    unit: list[object] = {
        "kg": ["kg"] * n,
        "lb": ["lb"] * n,
        "mixed": list(rng.choice(["kg", "lb"], n)),
    }.get(kinds["units"], [None] * n)
    band = ["green" if one == "band" else None for one in basis]
    return {"load": load, "load_basis": basis, "band": band, "unit": unit}


def pain_columns(
    rng: np.random.Generator, kinds: Mapping[str, str], frame: pd.DataFrame
) -> dict[str, list[object]]:
    """Columns ``pain_left``, ``pain_right``, ``pain_midline`` and ``stopped_for``."""
    n = len(frame)
    score = _scores(rng, kinds["scores"], frame)
    columns: dict[str, list[object]] = {
        name: [None] * n for name in ("pain_left", "pain_right", "pain_midline", "stopped_for")
    }
    kind = kinds["asked"]
    only = int(rng.integers(0, n))
    for i, works in enumerate(frame["side"]):
        stopped = kind == "stopped for pain, no score" or (
            kind == "some stopped, no score" and rng.random() < 0.3
        )
        if stopped:
            columns["stopped_for"][i] = "pain"
        elif (
            (kind == "all but one blank" and i != only)
            or kind == "never"
            or (kind == "half" and rng.random() < 0.5)
            or (kind == "blank when quiet" and score[i] < 2 and rng.random() < 0.8)
        ):
            continue
        else:
            for place in _places(kind, str(works)):
                columns[f"pain_{place}"][i] = int(score[i])
    if kind in ("both sides", "three places"):
        columns["pain_right"] = [int(s) for s in rng.permutation(score)]
    return columns


def _places(kind: str, works: str) -> tuple[str, ...]:
    match kind:
        case "both sides":
            return ("left", "right")
        case "three places":
            return ("left", "right", "midline")
        case "midline":
            return ("midline",)
        case "the other side":
            return ({"left": "right", "right": "left", "both": "left"}[works],)
        case _:
            return ("midline" if works == "both" else works,)


def _scores(rng: np.random.Generator, kind: str, frame: pd.DataFrame) -> np.ndarray:
    n = len(frame)
    load = pd.to_numeric(pd.Series(frame["load"], dtype="object")).fillna(0.0).to_numpy(float)
    heavy = load > np.median(load)
    match kind:
        case "all 10":
            return np.full(n, 10)
        case "all 0":
            return np.zeros(n, dtype=int)
        case "0 and 10":
            return rng.choice([0, 10], n)
        case "any":
            return rng.integers(0, 11, n)
        case "hurts above":
            return np.where(heavy, 6, 0)
        case "hurts below":
            return np.where(heavy, 0, 6)
        case "all at 1":
            return np.ones(n, dtype=int)
        case "rising":
            return np.round(np.linspace(0, 10, n)).astype(int)
        case "only the last hurt":
            return np.where(np.arange(n) == n - 1, 10, 0)
        case _:
            return rng.choice([0, 1, 2, 4], n, p=[0.7, 0.15, 0.1, 0.05])


def done_columns(rng: np.random.Generator, kind: str, n: int) -> dict[str, list[object]]:
    """Columns ``reps``, ``hold_s`` and ``target_reps``, as far as they are filled."""
    holds: list[object] = list(rng.choice([0.0, 10.0, 30.0, 45.0, 3600.0], n))
    reps: list[object] = list(rng.integers(5, 13, n))
    match kind:
        case "holds only":
            return {"hold_s": holds}
        case "reps and holds":
            return {"reps": reps, "hold_s": [h if i % 2 else None for i, h in enumerate(holds)]}
        case "zero reps":
            return {"reps": [0] * n}
        case "extreme counts":
            return {"reps": list(rng.choice([0, 1, 1000], n)), "target_reps": list(rng.choice([0, 1000], n))}
        case "reps planned":
            return {"reps": reps, "target_reps": [8 if i % 3 else None for i in range(n)]}
        case _:
            return {"reps": reps}


def covariate_columns(rng: np.random.Generator, kind: str, n: int) -> dict[str, list[object]]:
    """Tempo, range and what else may be written about a set."""

    def some(values: list[object]) -> list[object]:
        return [values[i] for i in rng.integers(0, len(values), n)]

    tempo, stops = (
        some(["2-0-1-0", "4-1-X-0", None]),
        some(["box 45 cm", "box 30 cm", "full", "unlisted", None]),
    )
    range_pct = some([60.0, 80.0, 100.0, None])
    match kind:
        case "tempo":
            return {"tempo": tempo}
        case "extreme tempo":
            return {"tempo": some(["0-0-0-0", "99-99-99-99", "2-0-X-0"])}
        case "measured range":
            return {"rom_pct": range_pct}
        case "extreme range":
            return {"rom_pct": some([0.0, 150.0])}
        case "named stops":
            return {"range_stop": stops}
        case "everything":
            more = {"rpe": some([1.0, 7.5, 10.0]), "rest_s": some([0.0, 7200.0]), "burn": some([0, 10, None])}
            kind_of = some(["warm-up", "working", "drop"])
            return {"tempo": tempo, "rom_pct": range_pct, "range_stop": stops, "kind": kind_of} | more
        case _:
            return {}
