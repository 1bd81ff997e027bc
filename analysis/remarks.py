"""Doubtful values that are read all the same: loads, pain, tempo, dates, effort (layer: log)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping

import numpy as np
import pandas as pd

from analysis.log_codes import remark
from analysis.name_remarks import doubtful_names
from analysis.results import Remark
from analysis.schema import KG_PER_LB, STANDARD_VARIANT
from analysis.typed_table import TypedTable

LOAD_JUMP = 3.0
"""Times the usual load from which a load is doubtful."""
LOADS_FOR_USUAL = 5
"""Loads of an exercise and variant needed to speak of a usual one."""
COPIED_SETS = 12
"""Sets on end with the same score above 0 from which the score looks copied down."""
LONGEST_REP_S = 60
LONE_DAYS = 365

_PAIN = ["pain_left", "pain_right", "pain_midline"]


def doubts(tables: Mapping[str, TypedTable], *, today: dt.date) -> list[Remark]:
    """Everything doubtful in a log.

    Parameters
    ----------
    tables : mapping of str to TypedTable
        The tables that are there, by name.
    today : date
        Day after which a date is doubtful.

    Returns
    -------
    list of Remark
    """
    remarks: list[Remark] = []
    if "sets" in tables and not tables["sets"].problems and tables["sets"].frame.empty:
        remarks.append(
            remark(
                "no_sets",
                tables["sets"].file,
                "there are headings but no sets yet.",
                "Write one row for each set.",
            )
        )
    if "sets" in tables and not tables["sets"].frame.empty:
        sets = tables["sets"]
        remarks += [
            *_load_jumps(sets),
            *_changed_bases(sets),
            *_copied_pain(sets),
            *_tempos(sets),
            *_lone_dates(sets),
            *_efforts(sets),
            *_painless_stops(sets),
        ]
    for typed in tables.values():
        remarks += _future_dates(typed, today)
    return [*remarks, *doubtful_names(tables)]


def _at(typed: TypedTable, code: str, line: int, column: str, what: str, mend: str) -> Remark:
    value = typed.frame[column].loc[line]
    shown = f"{value:%Y-%m-%d}" if isinstance(value, pd.Timestamp) else str(value)
    if isinstance(value, float):
        shown = f"{value:g}"
    row = int(typed.rows[line])
    return remark(code, typed.file, what, mend, row=row, column=column, value=shown)


def _load_jumps(sets: TypedTable) -> Iterator[Remark]:
    frame = sets.frame
    kg = frame["load"].where(frame["unit"] != "lb", frame["load"] * KG_PER_LB).where(lambda load: load > 0)
    by = [frame["client"], frame["exercise"], frame["variant"].fillna(STANDARD_VARIANT)]
    groups = kg.groupby(by, sort=False)
    usual, count = groups.transform("median"), groups.transform("count")
    for line in frame.index[(kg >= LOAD_JUMP * usual) & (count >= LOADS_FOR_USUAL)]:
        yield _at(
            sets,
            "load_jump",
            line,
            "load",
            f"the load {frame['load'].loc[line]:g} is {kg.loc[line] / usual.loc[line]:.1f} times what is "
            "usual for this exercise and variant.",
            "Check the digits and the unit.",
        )


def _changed_bases(sets: TypedTable) -> Iterator[Remark]:
    frame = sets.frame[["client", "exercise", "variant", "load_basis"]]
    frame = frame.assign(variant=frame["variant"].fillna(STANDARD_VARIANT)).dropna()
    first = frame.drop_duplicates(["client", "exercise", "load_basis"])
    changed = first[first.duplicated(["client", "exercise"])]
    for line in changed.index:
        row = changed.loc[line]
        before = first[(first["client"] == row["client"]) & (first["exercise"] == row["exercise"])].iloc[0]
        if before["variant"] == row["variant"]:
            continue  # within one variant this is a problem, not a doubt
        yield _at(
            sets,
            "basis_changed",
            line,
            "load_basis",
            f"{row['exercise']} is counted as '{row['load_basis']}' in the variant {row['variant']} and as "
            f"'{before['load_basis']}' in {before['variant']}.",
            "Leave it if that is so; loads of the two variants are not compared.",
        )


def _copied_pain(sets: TypedTable) -> Iterator[Remark]:
    frame = sets.frame.dropna(subset=["client", "date", "session", "set"])
    for column in _PAIN:
        asked = frame[frame[column].notna()].sort_values(["client", "date", "session", "set"], kind="stable")
        if asked.empty:
            continue
        score = asked[column].astype("int64")
        client = asked["client"]
        run = ((score != score.shift()) | (client != client.shift())).cumsum()
        length = run.groupby(run).transform("size")
        first = ~run.duplicated()
        for line in asked.index[first & (score > 0) & (length >= COPIED_SETS)]:
            yield _at(
                sets,
                "pain_copied",
                line,
                column,
                f"{length.loc[line]} sets on end have the score {score.loc[line]}, from this row on.",
                "Check that the score was asked each time and not copied down; blank means not asked.",
            )


def _tempos(sets: TypedTable) -> Iterator[Remark]:
    tempo = sets.frame["tempo"]
    for written in tempo.dropna().unique():
        seconds = sum(int(part) for part in written.split("-") if part != "X")
        if seconds <= LONGEST_REP_S and (seconds > 0 or "X" in written):
            continue
        for line in sets.frame.index[tempo == written]:
            yield _at(
                sets,
                "tempo_doubtful",
                line,
                "tempo",
                f"one repetition at {written} would take {seconds} seconds.",
                "Check the digits: lowering, pause, lifting, pause. A hold goes into hold_s.",
            )


def _lone_dates(sets: TypedTable) -> Iterator[Remark]:
    """A single day far from all other days of its client: most often a wrong year."""
    days = sets.frame[["client", "date"]].dropna().drop_duplicates().sort_values(["client", "date"])
    by_client = days.groupby("client", sort=False)["date"]
    before = (days["date"] - by_client.shift()).dt.days
    after = (by_client.shift(-1) - days["date"]).dt.days
    alone = (before.isna() | (before > LONE_DAYS)) & (after.isna() | (after > LONE_DAYS))
    several = by_client.transform("size") > 2
    for line in days.index[alone & several]:
        yield _at(
            sets,
            "lone_date",
            line,
            "date",
            f"{days['date'].loc[line]:%Y-%m-%d} is more than a year away from every other day of the client.",
            "Check the year.",
        )


def _future_dates(typed: TypedTable, today: dt.date) -> Iterator[Remark]:
    """The first row of each client and day that lies ahead."""
    if "date" not in typed.frame:
        return
    date = typed.frame["date"]
    future = typed.frame.loc[date > pd.Timestamp(today), ["client", "date"]]
    for line in future.drop_duplicates().index:
        yield _at(
            typed,
            "future_date",
            line,
            "date",
            f"{date.loc[line]:%Y-%m-%d} lies in the future.",
            "Check the day and the year.",
        )


def _efforts(sets: TypedTable) -> Iterator[Remark]:
    """RPE and RIR that disagree by more than one repetition.

    From RPE 7 up, RIR is 10 - RPE; below it, three or more repetitions are left (Zourdos et al. 2016,
    J Strength Cond Res 30:267-275; the rows below 9 from memory).
    """
    frame = sets.frame
    near_failure = frame["rpe"] >= 7
    apart = np.where(near_failure, (10 - frame["rpe"] - frame["rir"]).abs() > 1, frame["rir"] < 2)
    both = frame["rpe"].notna() & frame["rir"].notna()
    for line in frame.index[both & apart]:
        yield _at(
            sets,
            "effort_disagrees",
            line,
            "rir",
            f"RPE {frame['rpe'].loc[line]:g} and {frame['rir'].loc[line]:g} repetitions in reserve "
            "do not fit together.",
            "Keep the one that was asked; the repetitions in reserve are used.",
        )


def _painless_stops(sets: TypedTable) -> Iterator[Remark]:
    frame = sets.frame
    worst = frame[_PAIN].max(axis=1)
    for line in frame.index[(frame["stopped_for"] == "pain") & (worst == 0).fillna(False)]:
        yield _at(
            sets,
            "stopped_without_pain",
            line,
            "stopped_for",
            "the set stopped for pain, but its pain is 0.",
            "Write the pain that stopped it, or another reason; a score that was not asked stays blank.",
        )
