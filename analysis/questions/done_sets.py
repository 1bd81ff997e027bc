"""The sets of a client as plain records, with what hurt on each side (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd

from analysis.client_settings import ClientSettings
from analysis.derive import derive_sets
from analysis.observations import answers
from analysis.results import AskedSide, WorkingSide
from analysis.training_log import TrainingLog


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneSet:
    """One set as it was done and felt; blanks are None.

    Attributes
    ----------
    position : int
        Place among all sets of the client, in order.
    session_key : int
        Number of the session among all sessions.
    scores : dict
        Pain by side of the body that was asked; the level ("at least") for a set stopped for pain without one.
    hurt : frozenset
        Sides at the level or more. For a set stopped for pain with lower scores, the sides that hurt most.
    at_least : bool
        Whether the scores are only lower bounds.
    """

    position: int
    session_key: int
    day: dt.date
    session: int
    set_number: int
    block: str | None
    kind: str
    superset: str | None
    exercise: str
    variant: str
    works: WorkingSide
    load_kg: float | None
    load_term_kg: float | None
    load_basis: str
    band: str | None
    reps: float | None
    target_reps: float | None
    hold_s: float | None
    lowering_s: float | None
    range_stop: str | None
    range_rank: float | None
    rom_pct: float | None
    rir: float | None
    rest_s: float | None
    place: float | None
    pain_before: int | None
    pain_feel: str | None
    compensation: str | None
    stopped_for: str | None
    response: str | None
    trial: bool
    painkiller: bool
    source_row: int | None
    scores: Mapping[AskedSide, int]
    hurt: frozenset[AskedSide]
    at_least: bool


TEXTS = ("block", "superset", "band", "range_stop", "pain_feel", "compensation", "stopped_for", "response")
NUMBERS = ("reps", "target_reps", "hold_s", "lowering_s", "range_rank", "rom_pct", "rir", "rest_s", "place")


def done_sets(
    log: TrainingLog, settings: ClientSettings, *, as_of: dt.date | None = None, level: int | None = None
) -> tuple[DoneSet, ...]:
    """Every set of a client, in order.

    Parameters
    ----------
    log : TrainingLog
    settings : ClientSettings
        Of the client meant.
    as_of : date, optional
        Last day that counts, inclusive; all days if None.
    level : int, optional
        Pain that counts; the client's own if None.

    Returns
    -------
    tuple of DoneSet
    """
    sets = derive_sets(log, settings.client, as_of=as_of)
    wanted = settings.pain_level if level is None else level
    scores: dict[tuple[int, int], dict[AskedSide, int]] = {}
    unscored: set[tuple[int, int]] = set()
    told = answers(sets, settings)
    columns = ("session_key", "set", "asked_side", "pain_low", "censored")
    for session, number, side, pain, censored in zip(*(told[name].tolist() for name in columns), strict=True):
        scores.setdefault((session, number), {})[side] = wanted if censored else pain
        if censored:
            unscored.add((session, number))
    cells = {
        name: _blank_as_none(sets[name])
        for name in (*TEXTS, *NUMBERS, "load_kg", "load_term_kg", "trial", "pain_before", "source_row")
    }
    names = (
        "session_key",
        "session",
        "set",
        "exercise",
        "variant",
        "works",
        "kind",
        "load_basis",
        "painkiller",
    )
    plain = {name: sets[name].tolist() for name in names}
    days = [day.date() for day in sets["date"]]
    made = []
    for row, (session, number) in enumerate(zip(plain["session_key"], plain["set"], strict=True)):
        mine = scores.get((session, number), {})
        basis = plain["load_basis"][row]
        made.append(
            DoneSet(
                position=row,
                session_key=session,
                day=days[row],
                session=int(plain["session"][row]),
                set_number=number,
                kind=plain["kind"][row],
                exercise=plain["exercise"][row],
                variant=plain["variant"][row],
                works=plain["works"][row],
                load_kg=_as_lifted(cells["load_kg"][row], basis),
                load_term_kg=cells["load_term_kg"][row],
                load_basis=basis,
                trial=bool(cells["trial"][row]),
                painkiller=bool(plain["painkiller"][row]),
                pain_before=_whole(cells["pain_before"][row]),
                source_row=_whole(cells["source_row"][row]),
                scores=mine,
                hurt=_hurt(mine, wanted, stopped=cells["stopped_for"][row] == "pain"),
                at_least=(session, number) in unscored,
                **{name: cells[name][row] for name in (*TEXTS, *NUMBERS)},
            )
        )
    return tuple(made)


def _blank_as_none(column: pd.Series) -> list[Any]:
    return column.astype(object).where(column.notna(), None).tolist()


def _whole(value: float | None) -> int | None:
    return None if value is None else int(value)


def _as_lifted(load_kg: float | None, basis: str) -> float | None:
    """Load in kilograms; with bodyweight alone, nothing was added."""
    if load_kg is None:
        return 0.0 if basis == "bodyweight" else None
    return float(load_kg)


def _hurt(scores: Mapping[AskedSide, int], level: int, *, stopped: bool) -> frozenset[AskedSide]:
    sides = frozenset(side for side, pain in scores.items() if pain >= level)
    if sides or not stopped or not scores:
        return sides
    worst = max(scores.values())
    return frozenset(side for side, pain in scores.items() if pain == worst)
