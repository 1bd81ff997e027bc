"""Random tiny and degenerate logs, each made of its seed alone (layer: tests).

A log is drawn along many axes (how many sets, which loads, which scores, which days ...). Every axis has one plain
kind and several odd ones, and each is drawn by itself, so that kinds meet: 40 exercises of one set, all pain 10,
in pounds. Each log keeps the rules of files, which a test shows by reading some of them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.schema import TABLES, empty_frame
from analysis.training_log import TrainingLog
from tests.property.degenerate_tables import TABLE_AXES, side_tables
from tests.property.degenerate_values import (
    basis_columns,
    covariate_columns,
    done_columns,
    load_values,
    pain_columns,
)

CLIENT, OTHER_CLIENT = "T-01", "T-02"
PLAIN_SHARE = 0.6
"""How often an axis stays plain, so that odd kinds also meet plain ones."""
FIRST_DAY, LAST_DAY = dt.date(2026, 1, 5), dt.date(2099, 12, 31)
"""First day of most logs, and the last day a log may have."""

AXES: Mapping[str, tuple[str, ...]] = {
    "size": ("13 to 40", "one", "2 to 5", "6 to 12", "41 to 120"),
    "names": ("one exercise", "a few exercises", "40 exercises of one set", "long names", "one name cased"),
    "variants": ("standard", "two", "each tried once", "many, some again"),
    "loads": (
        *("five loads", "one load", "two loads", "0.5 to 500", "0.5 only", "500 only", "almost equal"),
        *("tiny and huge", "with zeros", "rising for ever", "each its own"),
    ),
    "bases": (
        "total",
        "none said",
        "bodyweight",
        "assisted",
        "bands",
        "unloaded",
        "mixed by exercise",
        "half blank",
    ),
    "units": ("kg", "lb", "mixed", "blank"),
    "scores": (
        *(
            "mostly 0",
            "all 10",
            "all 0",
            "0 and 10",
            "any",
            "hurts above",
            "hurts below",
            "all at 1",
            "rising",
        ),
        *("only the last hurt",),
    ),
    "asked": (
        *("always", "all but one blank", "never", "half", "both sides", "three places", "the other side"),
        *("midline", "stopped for pain, no score", "some stopped, no score", "blank when quiet"),
    ),
    "sides": ("left and right", "left", "right", "both", "any"),
    "days": (
        *(
            "three a week",
            "one day",
            "two sessions a day",
            "years apart",
            "one a week",
            "every day",
            "first and last",
        ),
        *("50 sessions a day", "a gap of 12 weeks"),
    ),
    "done": ("reps", "holds only", "reps and holds", "zero reps", "extreme counts", "reps planned"),
    "covariates": (
        "none",
        "tempo",
        "extreme tempo",
        "measured range",
        "extreme range",
        "named stops",
        "everything",
    ),
    "blocks": ("none said", "all preparation", "all cool-down", "any", "preparation first"),
    "copies": ("none", "all rows alike", "two kinds of rows"),
    "clients": ("one", "two", "one without sets"),
    "as_of": ("none", "before the first set", "in the middle", "last day", "long after", "first day"),
    **TABLE_AXES,
}

EMPTY = {name: empty_frame(name) for name in TABLES}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DegenerateLog:
    """A log with how it was made.

    Attributes
    ----------
    seed : int
    kinds : dict
        Axis to kind.
    frames : dict
        The files as they would be written, untyped.
    log : TrainingLog
    clients : tuple of str
        Everybody the log has anything about.
    as_of : date or None
    """

    seed: int
    kinds: dict[str, str]
    frames: dict[str, pd.DataFrame]
    log: TrainingLog
    clients: tuple[str, ...]
    as_of: dt.date | None


def drawn_kinds(rng: np.random.Generator) -> dict[str, str]:
    """One kind of every axis, the plain one more often."""
    return {
        axis: choices[0] if rng.random() < PLAIN_SHARE else str(rng.choice(choices[1:]))
        for axis, choices in AXES.items()
    }


def generator(seed: int) -> np.random.Generator:
    """Random numbers of one seed; the kinds are drawn first."""
    return np.random.default_rng([7, seed])


def degenerate_log(seed: int) -> DegenerateLog:
    """The log of one seed."""
    rng = generator(seed)
    kinds = drawn_kinds(rng)
    sets = _sets(rng, kinds, CLIENT)
    if kinds["clients"] == "two":
        sets = pd.concat([sets, _sets(rng, kinds | {"size": "2 to 5"}, OTHER_CLIENT)], ignore_index=True)
    clients = (CLIENT,) if kinds["clients"] == "one" else (CLIENT, OTHER_CLIENT)
    frames = {"sets": sets, **side_tables(rng, kinds, sets, clients)}
    return DegenerateLog(
        seed=seed,
        kinds=kinds,
        frames=frames,
        log=TrainingLog(**{name: _typed(name, frames.get(name)) for name in TABLES}),
        clients=clients,
        as_of=_as_of(kinds["as_of"], sets),
    )


def _typed(name: str, frame: pd.DataFrame | None) -> pd.DataFrame:
    """Frame of a file as reading it would make it."""
    empty = EMPTY[name]
    if frame is None:
        return empty
    typed = frame.reindex(columns=empty.columns)
    if name == "sets":
        typed = typed.assign(
            kind=typed["kind"].astype("str").fillna("working"),
            source_file="sets.csv",
            source_row=range(2, len(typed) + 2),
        )
    return typed.astype(empty.dtypes.to_dict())


def _as_of(kind: str, sets: pd.DataFrame) -> dt.date | None:
    first, last = min(sets["date"]), max(sets["date"])
    return {
        "none": None,
        "before the first set": first - dt.timedelta(days=3),
        "in the middle": first + (last - first) / 2,
        "last day": last,
        "long after": min(last + dt.timedelta(days=4000), LAST_DAY),
        "first day": first,
    }[kind]


def _sets(rng: np.random.Generator, kinds: Mapping[str, str], client: str) -> pd.DataFrame:
    n = _size(rng, kinds)
    columns: dict[str, object] = {"client": client}
    columns["exercise"] = _names(rng, kinds["names"], n)
    columns["variant"] = _variants(rng, kinds["variants"], n)
    columns["side"] = _sides(rng, kinds["sides"], n)
    columns |= _when(rng, kinds["days"], n)
    columns |= done_columns(rng, kinds["done"], n) | covariate_columns(rng, kinds["covariates"], n)
    columns["block"] = {
        "all preparation": ["preparation"] * n,
        "all cool-down": ["cool-down"] * n,
        "any": list(rng.choice(["preparation", "ramp-up", "main", "accessory", "cool-down"], n)),
        "preparation first": ["preparation" if i % 5 == 0 else "main" for i in range(n)],
    }.get(kinds["blocks"], [None] * n)
    frame = pd.DataFrame(columns)
    loads = load_values(rng, kinds["loads"], n)
    frame = frame.assign(**basis_columns(rng, kinds, frame, loads))
    frame = frame.assign(**pain_columns(rng, kinds, frame))
    if kinds["copies"] != "none":
        alike = rng.integers(0, min(n, 1 if kinds["copies"] == "all rows alike" else 2), n)
        frame = frame.iloc[alike].reset_index(drop=True)
    frame = frame.sort_values(["date", "session"], kind="stable", ignore_index=True)
    return frame.assign(set=frame.groupby(["date", "session"]).cumcount() + 1)


def _size(rng: np.random.Generator, kinds: Mapping[str, str]) -> int:
    if kinds["names"] == "40 exercises of one set":
        return 40
    low, high = {"one": (1, 1), "2 to 5": (2, 5), "6 to 12": (6, 12), "41 to 120": (41, 120)}.get(
        kinds["size"], (13, 40)
    )
    return int(rng.integers(low, high + 1))


def _names(rng: np.random.Generator, kind: str, n: int) -> list[str]:
    which = rng.integers(0, 3, n)
    match kind:
        case "one exercise":
            return ["drill"] * n
        case "40 exercises of one set":
            return [f"drill {i}" for i in range(n)]
        case "long names":
            return [f"{'hinge on a slope ' * 4}{'abc'[i]}" for i in which]
        case "one name cased":
            return [("drill", "Drill", "DRILL")[i] for i in which]
        case _:
            return [f"drill {i}" for i in which]


def _variants(rng: np.random.Generator, kind: str, n: int) -> list[str | None]:
    match kind:
        case "two":
            return [None if rng.random() < 0.6 else "supported" for _ in range(n)]
        case "each tried once":
            return [f"variant {i}" for i in range(n)]
        case "many, some again":
            return [f"variant {i}" for i in rng.integers(0, max(n // 2, 1), n)]
        case _:
            return [None] * n


def _sides(rng: np.random.Generator, kind: str, n: int) -> list[str]:
    if kind == "left and right":
        return [("left", "right")[i % 2] for i in range(n)]
    return list(rng.choice(["left", "right", "both"], n)) if kind == "any" else [kind] * n


def _when(rng: np.random.Generator, kind: str, n: int) -> dict[str, list[object]]:
    """Day and session of each set, oldest first; about four sets a session where days are plain."""
    block = np.arange(n) // 4
    session = np.ones(n, dtype=int)
    match kind:
        case "one day":
            day = np.zeros(n, dtype=int)
        case "two sessions a day":
            day, session = block // 2, 1 + block % 2
        case "years apart":
            day = np.sort(rng.integers(-16_000, 26_000, n))
        case "one a week":
            day = 7 * np.arange(n)
        case "every day":
            day = np.arange(n)
        case "first and last":
            day = np.where(np.arange(n) < n / 2, 0, 365)
        case "50 sessions a day":
            day, session = np.arange(n) // 50, 1 + np.arange(n) % 50
        case "a gap of 12 weeks":
            day = 2 * block + np.where(np.arange(n) < n - 2, 0, 84)
        case _:
            day = 7 * (block // 3) + 2 * (block % 3)
    return {"date": [FIRST_DAY + dt.timedelta(days=int(d)) for d in day], "session": session.tolist()}
