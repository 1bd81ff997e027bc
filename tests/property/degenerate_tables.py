"""The files beside ``sets.csv`` of degenerate logs (layer: tests)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
import pandas as pd

TABLE_AXES: Mapping[str, tuple[str, ...]] = {
    "settings": (
        *("level 2", "no clients file", "level 1", "level 3", "level 4", "level 5", "all blank"),
        *("light body", "heavy body", "lb and a body"),
    ),
    "painkillers": ("none", "every day", "half of the days", "file without sets' days"),
    "arrival": ("none", "always 10", "any", "some blank"),
    "steps": ("none", "0.01", "100", "2.5 lb"),
    "ranges": ("none", "in order", "with percents", "one stop", "percent of 0"),
    "order": ("none", "easiest first", "names never used"),
    "sites": ("none", "left", "right", "both", "midline", "side unknown"),
    "mornings": ("none", "all 10", "any", "after the last set"),
    "events": ("none", "some", "before everything"),
}

Frames = dict[str, pd.DataFrame]


def side_tables(
    rng: np.random.Generator, kinds: Mapping[str, str], sets: pd.DataFrame, clients: tuple[str, ...]
) -> Frames:
    """Frames of the other files, by name; files without rows are left out."""
    days = sorted(set(sets.loc[sets["client"] == clients[0], "date"]))
    made = {
        "clients": _clients(kinds, clients),
        "days": _days(rng, kinds, days, clients[0]),
        "sessions": _sessions(rng, kinds["arrival"], sets[sets["client"] == clients[0]]),
        "exercises": _exercises(kinds["steps"], sets),
        "ranges": _ranges(kinds["ranges"], sets),
        "variants": _variants(kinds["order"], sets),
        "sites": _sites(kinds["sites"], clients[0]),
        "events": _events(kinds["events"], days, clients[0]),
    }
    return {name: frame for name, frame in made.items() if len(frame)}


def _clients(kinds: Mapping[str, str], clients: tuple[str, ...]) -> pd.DataFrame:
    kind = kinds["settings"]
    if kind == "no clients file" and kinds["clients"] != "one without sets":
        return pd.DataFrame()
    row: dict[str, object] = {
        "light body": {"bodyweight_kg": 20.0},
        "heavy body": {"bodyweight_kg": 400.0, "pain_level": 1},
        "lb and a body": {"bodyweight_kg": 70.0, "unit": "lb"},
    }.get(kind, {})
    if kind.startswith("level"):
        row = {"pain_level": int(kind[-1]), "bodyweight_kg": 70.0}
    return pd.DataFrame([{"client": client, **row} for client in clients])


def _days(
    rng: np.random.Generator, kinds: Mapping[str, str], days: list[dt.date], client: str
) -> pd.DataFrame:
    rows: dict[dt.date, dict[str, object]] = {}
    for i, day in enumerate(days):
        taken = kinds["painkillers"] == "every day" or (kinds["painkillers"] == "half of the days" and i % 2)
        if taken:
            rows.setdefault(day, {})["painkiller"] = True
        if kinds["mornings"] in ("all 10", "any"):
            score = 10 if kinds["mornings"] == "all 10" else int(rng.integers(0, 11))
            rows.setdefault(day, {})["pain_morning"] = score
    after = days[-1] + dt.timedelta(days=1)
    if kinds["painkillers"] == "file without sets' days":
        rows.setdefault(after, {})["painkiller"] = False
    if kinds["mornings"] == "after the last set":
        for back in range(30):
            day = after + dt.timedelta(days=back)
            rows.setdefault(day, {})["pain_morning"] = 0 if back < 20 else 10
    return pd.DataFrame([{"client": client, "date": day, **row} for day, row in sorted(rows.items())])


def _sessions(rng: np.random.Generator, kind: str, sets: pd.DataFrame) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    rows = sets[["client", "date", "session"]].drop_duplicates(ignore_index=True)
    score = [10 if kind == "always 10" else int(rng.integers(0, 11)) for _ in range(len(rows))]
    if kind == "some blank":
        return rows.assign(pain_on_arrival=[s if rng.random() < 0.5 else None for s in score])
    return rows.assign(pain_on_arrival=score)


def _exercises(kind: str, sets: pd.DataFrame) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    step = float(kind.split()[0])
    names = list(dict.fromkeys(sets["exercise"]))
    return pd.DataFrame({"exercise": names, "load_step": step, "unit": "lb" if kind.endswith("lb") else "kg"})


def _ranges(kind: str, sets: pd.DataFrame) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    stops = ["full"] if kind == "one stop" else ["box 45 cm", "box 30 cm", "full"]
    percent = {"with percents": [50.0, 75.0, None], "percent of 0": [0.0, 0.0, 0.0]}.get(kind, [None] * 3)
    rows = [
        {"exercise": exercise, "order": i + 1, "range_stop": stop, "rom_pct": percent[i]}
        for exercise in dict.fromkeys(sets["exercise"])
        for i, stop in enumerate(stops)
    ]
    return pd.DataFrame(rows)


def _variants(kind: str, sets: pd.DataFrame) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    names = (
        ["never done"] if kind == "names never used" else ["supported", "standard", "variant 1", "variant 0"]
    )
    rows = [
        {"exercise": exercise, "order": i + 1, "variant": variant}
        for exercise in dict.fromkeys(sets["exercise"])
        for i, variant in enumerate(names)
    ]
    return pd.DataFrame(rows)


def _sites(kind: str, client: str) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    side = None if kind == "side unknown" else kind
    return pd.DataFrame([{"client": client, "site": "front", "region": "knee", "side": side, "main": True}])


def _events(kind: str, days: list[dt.date], client: str) -> pd.DataFrame:
    if kind == "none":
        return pd.DataFrame()
    day = days[0] - dt.timedelta(days=40) if kind == "before everything" else days[-1]
    return pd.DataFrame([{"client": client, "date": day, "event": "flare"}] * 2)
