"""Writes played sessions down as a log, the way a coach would have logged them (layer: simulate)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
import pandas as pd

from analysis.schema import DTYPES, TABLES, empty_frame
from analysis.simulated_person import Person
from analysis.simulated_worlds import session_day
from analysis.training_log import TrainingLog

FIRST_DAY = dt.date(2026, 1, 5)
REPS = 8
PREPARATION_DRILL = "ankle rocks"
PREPARATION_REPS = 10


def typed_frame(table: str, columns: Mapping[str, object], n_rows: int) -> pd.DataFrame:
    """Frame of a file of a log from some of its columns; the others are blank.

    Parameters
    ----------
    table : str
        Name of the file, such as ``sets``.
    columns : mapping of str to array or scalar
        Values by heading.
    n_rows : int
        Number of rows, also when every value is a scalar.

    Returns
    -------
    DataFrame
        All columns in schema order and of their type.
    """
    unknown = set(columns) - set(TABLES[table].column_names)
    if unknown:
        raise KeyError(f"{table} has no column {', '.join(sorted(unknown))}")
    index = pd.RangeIndex(n_rows)
    series = {}
    for column in TABLES[table].columns:
        value = columns.get(column.name, pd.NA if DTYPES[column.kind] in ("Int64", "boolean") else None)
        series[column.name] = pd.Series(value, index=index, dtype=DTYPES[column.kind])
    frame = pd.DataFrame(series)
    if table == "sets":
        frame["source_file"] = pd.Series("sets.csv", index=index, dtype="str")
        frame["source_row"] = np.arange(2, n_rows + 2, dtype="int64")
    return frame


def sets_frame(
    played: pd.DataFrame,
    person: Person,
    *,
    client: str,
    first_day: dt.date = FIRST_DAY,
    days: tuple[int, ...] | None = None,
) -> pd.DataFrame:
    """The file sets.csv of played sessions.

    A session with preparation begins with one unloaded drill that nobody is asked about; a two-sided set is
    asked in the midline, a one-sided set on the side that works.

    Parameters
    ----------
    played : DataFrame
        Result of `analysis.simulated_sessions.play_sessions`, or some sessions of it.
    person : Person
        Whose sessions they are.
    client : str
        Pseudonym.
    first_day : date
        Day of session 0.
    days : tuple of int, optional
        Day of each session counted from that one; three a week if None.

    Returns
    -------
    DataFrame
        Frame of sets, typed as in a log.
    """
    exercises = person.exercises
    names = np.array([exercise.name for exercise in exercises], dtype=object)
    alternatives = np.array([exercise.alternative for exercise in exercises], dtype=object)
    works = np.array(
        [[s.works for s in e.sides] + ["none"] * (2 - len(e.sides)) for e in exercises], dtype=object
    )
    asked = np.array(
        [[s.asked for s in e.sides] + ["none"] * (2 - len(e.sides)) for e in exercises], dtype=object
    )

    first_of_prepared = np.flatnonzero((played["prepared"] == 1) & (played["place"] == 1))
    source = np.insert(np.arange(len(played)), first_of_prepared, first_of_prepared)
    drill = np.zeros(len(source), dtype=bool)
    drill[first_of_prepared + np.arange(len(first_of_prepared))] = True

    row = {name: played[name].to_numpy()[source] for name in played.columns}
    n_sessions = int(row["session_index"].max()) + 1
    day_of = [session_day(session) for session in range(n_sessions)] if days is None else days
    day = np.array(day_of)[row["session_index"]]
    asked_side = asked[row["exercise_index"], row["side_index"]]
    bases = np.array([exercise.load_basis for exercise in exercises], dtype=object)
    blank = np.array(None, dtype=object)
    columns: dict[str, object] = {
        "client": client,
        "date": np.datetime64(first_day) + day.astype("timedelta64[D]"),
        "session": 1,
        "set": np.where(drill, 1, row["place"] + row["prepared"]),
        "block": np.where(drill, "preparation", "main"),
        "kind": np.where(drill, "warm-up", "working"),
        "exercise": np.where(drill, PREPARATION_DRILL, names[row["exercise_index"]]),
        "variant": np.where(drill | (row["alternative"] == 0), blank, alternatives[row["exercise_index"]]),
        "side": np.where(drill, "both", works[row["exercise_index"], row["side_index"]]),
        "load": np.where(drill, np.nan, row["load_kg"]),
        "unit": np.where(drill, blank, "kg"),
        "load_basis": np.where(drill, blank, bases[row["exercise_index"]]),
        "reps": np.where(drill, PREPARATION_REPS, REPS),
        "tempo": np.where(drill, blank, np.char.mod("%d-0-1-0", row["lowering_s"]).astype(object)),
        "rom_pct": np.where(drill, np.nan, row["rom_pct"]),
        "logged_by": "coach",
    }
    for side in ("left", "right", "midline"):
        is_asked = (asked_side == side) & ~drill
        columns[f"pain_{side}"] = pd.array(np.where(is_asked, row["score"], np.nan), dtype="Int64")
    return typed_frame("sets", columns, len(source))


def without_some_zeros(rng: np.random.Generator, sets: pd.DataFrame, asked_share: float) -> pd.DataFrame:
    """Sets of which a 0 was asked about only with that probability; the others are blank."""
    sides = ["pain_left", "pain_right", "pain_midline"]
    unasked = (rng.random(len(sets)) >= asked_share) & (sets[sides].max(axis=1) == 0).to_numpy(
        bool, na_value=False
    )
    kept = sets.copy()
    kept.loc[unasked, sides] = pd.NA
    return kept


def simulated_log(sets: pd.DataFrame, person: Person, *, client: str) -> TrainingLog:
    """The whole log of a simulated client: sets, the client, the painful place, exercises and variants."""
    exercises = person.exercises
    frames = {name: empty_frame(name) for name in TABLES}
    frames["sets"] = sets
    frames["clients"] = typed_frame("clients", {"client": client, "unit": "kg", "pain_level": 2}, 1)
    frames["sites"] = typed_frame(
        "sites", {"client": client, "site": "main site", "region": "other", "main": True}, 1
    )
    frames["exercises"] = typed_frame(
        "exercises",
        {
            "exercise": [exercise.name for exercise in exercises],
            "aim": "strength",
            "load_step": [exercise.step_kg for exercise in exercises],
            "unit": "kg",
            "load_basis": [exercise.load_basis for exercise in exercises],
        },
        len(exercises),
    )
    variants = [
        (e.name, k, variant) for e in exercises for k, variant in ((1, "standard"), (2, e.alternative))
    ]
    names, orders, kinds = zip(*variants, strict=True)
    frames["variants"] = typed_frame(
        "variants", {"exercise": list(names), "order": list(orders), "variant": list(kinds)}, len(variants)
    )
    return TrainingLog(**frames)
