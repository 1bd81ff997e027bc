"""Records of what was done after a set that hurt, and what pain did next (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import AskedSide, Estimate, LineKey, Withheld, WorkingSide

Deed = Literal[
    "same",
    "lighter",
    "heavier",
    "other band",
    "shorter range",
    "longer range",
    "other range",
    "slower",
    "faster",
    "fewer reps",
    "more reps",
    "hold",
    "shorter hold",
    "longer hold",
    "easier variant",
    "harder variant",
    "other variant",
    "other side",
    "unloaded work",
    "waited",
    "several",
    "left it",
    "last set",
]
"""What was done after a set that hurt.

``several`` is more than one change at once; ``other side`` and ``unloaded work`` are away to it and back;
``last set`` means that no set of that exercise and side followed and nothing tells whether one was meant to.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowingSet:
    """A later set of the same exercise and working side.

    Attributes
    ----------
    day : date
    set_number : int
        As logged in ``set``.
    variant : str
    load_kg : float or None
        As lifted.
    pain : int or None
        On the side that had hurt; None when it was not asked. "At least" the level where `at_least`.
    at_least : bool
    hurt : bool or None
        At the level or more, or stopped for pain; None when nothing is known.
    pain_before : int or None
        Asked right before this set.
    changes : tuple of Deed
        Against the set that had hurt, in a fixed order; empty when nothing differs as far as it was logged.
    source_row : int or None
        Row of ``sets.csv`` as a spreadsheet counts.
    """

    day: dt.date
    set_number: int
    variant: str
    load_kg: float | None
    pain: int | None
    at_least: bool
    hurt: bool | None
    pain_before: int | None
    changes: tuple[Deed, ...]
    source_row: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PainfulSet:
    """One set that hurt one side of the body, and what came after it.

    Attributes
    ----------
    key : LineKey
    day : date
    session, set_number : int
    load_kg : float or None
        As lifted.
    load_basis : str
    pain : int
        "At least" the level where `at_least`.
    at_least : bool
    stopped_for_pain : bool
    painkiller : bool
        Taken that day: shown, but left out of the counts.
    deed : Deed
    told : bool
        Whether `deed` is the logged response; otherwise it was worked out from the sets.
    changes : tuple of Deed
        Everything that differed, from the sets alone.
    n_between : int
        Sets of other work between this one and the next of the same exercise and side.
    following : tuple of FollowingSet
        The later sets of the same exercise and side in that session, in order.
    next_time : FollowingSet or None
        The first set of that exercise and side in a later session.
    n_later_asked, n_later_painful : int
        Sets of any exercise later in the session: those asked on any side, and those that hurt.
    morning_pain : int or None
        Pain next morning; None when not logged.
    morning_usual : float or None
        Median of the mornings before; None while too few are logged.
    morning_up : bool or None
        At least 2 above usual; None when one of the two is not known.
    source_row : int or None
    """

    key: LineKey
    day: dt.date
    session: int
    set_number: int
    load_kg: float | None
    load_basis: str
    pain: int
    at_least: bool
    stopped_for_pain: bool
    painkiller: bool
    deed: Deed
    told: bool
    changes: tuple[Deed, ...]
    n_between: int
    following: tuple[FollowingSet, ...]
    next_time: FollowingSet | None
    n_later_asked: int
    n_later_painful: int
    morning_pain: int | None
    morning_usual: float | None
    morning_up: bool | None
    source_row: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedCount:
    """How often something was done, and how the next set and the next morning were; painkiller days left out.

    Attributes
    ----------
    deed : Deed or None
        None for all of them together.
    n_events, n_told : int
        Sets that hurt; those whose deed was logged.
    n_asked_next, n_quiet_next : int
        Those followed by a set that was asked; those after which it was quiet.
    quiet_next, quiet_next_95 : Estimate or Withheld
        Share of quiet next sets with its 80 % and its 95 % interval.
    n_mornings, n_mornings_up : int
        Days with a known next morning and usual, each counted once; those that were up.
    morning_up, morning_up_95 : Estimate or Withheld
        Share of days whose next morning was up.
    """

    deed: Deed | None
    n_events: int
    n_told: int
    n_asked_next: int
    n_quiet_next: int
    quiet_next: Estimate | Withheld
    quiet_next_95: Estimate | Withheld
    n_mornings: int
    n_mornings_up: int
    morning_up: Estimate | Withheld
    morning_up_95: Estimate | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatNext:
    """What was done after the sets that hurt: of one exercise and side, or of all.

    Attributes
    ----------
    client : str
    as_of : date
    pain_level : int
    unit : str
    exercise : str or None
        None for all exercises; then `side` and `works` are None as well.
    side : AskedSide or None
        The side that hurts.
    works : WorkingSide or None
    events : tuple of PainfulSet
        Oldest first.
    total : DeedCount
        Whatever was done.
    deeds : tuple of DeedCount
        The most frequent first, ``last set`` at the end.
    """

    client: str
    as_of: dt.date
    pain_level: int
    unit: str
    exercise: str | None
    side: AskedSide | None
    works: WorkingSide | None
    events: tuple[PainfulSet, ...]
    total: DeedCount
    deeds: tuple[DeedCount, ...]
