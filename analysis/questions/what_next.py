"""What was done after the sets that hurt, and what pain did on the next ones and next morning (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.client_settings import client_settings
from analysis.derive import last_logged_day
from analysis.errors import OptionError
from analysis.questions.shares import share_of
from analysis.questions.what_next_sets import painful_sets
from analysis.results import AskedSide, WorkingSide
from analysis.results_what_next import Deed, DeedCount, PainfulSet, WhatNext
from analysis.training_log import TrainingLog

LARGEST_LEVEL = 5
Scope = tuple[str, AskedSide, WorkingSide]


def what_next(
    log: TrainingLog, client: str, *, as_of: dt.date | None = None, level: int | None = None
) -> tuple[WhatNext, ...]:
    """What happened after every set that hurt: of all exercises first, then of each exercise and side.

    A set hurts at the level or more, or when pain ended it. Each side of the body that hurt is one event. What
    was done is the logged response; where none was logged it is read from the sets that followed. Nothing here
    says that what was done made the difference: a set picked because it hurt is mostly followed by a better one.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; the last logged day if None.
    level : int, optional
        Pain that counts, 1 to 5; the client's own if None.

    Returns
    -------
    tuple of WhatNext
        The first for all; the others by exercise, side that hurts and side that works, most events first.

    Raises
    ------
    OptionError
        If the client has no records or the level is not a whole number from 1 to 5.
    """
    if level is not None and (isinstance(level, bool) or level not in range(1, LARGEST_LEVEL + 1)):
        raise OptionError(f"level is {level!r}; choose a whole number from 1 to {LARGEST_LEVEL}.")
    until = as_of if as_of is not None else last_logged_day(log, client)
    settings = client_settings(log, client, as_of=until)
    events = painful_sets(log, settings, as_of=until, level=level)
    by_scope: dict[Scope, list[PainfulSet]] = {}
    for one in events:
        by_scope.setdefault((one.key.exercise, one.key.side, one.key.works), []).append(one)
    scopes = sorted(by_scope, key=lambda scope: (-len(by_scope[scope]), scope))

    def of(mine: Sequence[PainfulSet], scope: Scope | tuple[None, None, None]) -> WhatNext:
        total, deeds = deed_counts(mine)
        return WhatNext(
            client=client,
            as_of=until,
            pain_level=settings.pain_level if level is None else level,
            unit=settings.unit,
            exercise=scope[0],
            side=scope[1],
            works=scope[2],
            events=tuple(mine),
            total=total,
            deeds=deeds,
        )

    return (of(events, (None, None, None)), *(of(by_scope[scope], scope) for scope in scopes))


def deed_counts(events: Sequence[PainfulSet]) -> tuple[DeedCount, tuple[DeedCount, ...]]:
    """Counts of all events together, and for each thing done; painkiller days left out.

    Parameters
    ----------
    events : sequence of PainfulSet

    Returns
    -------
    DeedCount
        All together.
    tuple of DeedCount
        The most frequent first, ``last set`` at the end.
    """
    counted = [one for one in events if not one.painkiller]
    by_deed: dict[Deed, list[PainfulSet]] = {}
    for one in counted:
        by_deed.setdefault(one.deed, []).append(one)
    order = sorted(by_deed, key=lambda deed: (deed == "last set", -len(by_deed[deed]), deed))
    return _count(None, counted), tuple(_count(deed, by_deed[deed]) for deed in order)


def _count(deed: Deed | None, events: Sequence[PainfulSet]) -> DeedCount:
    asked = [one for one in events if one.following and one.following[0].hurt is not None]
    quiet = sum(not one.following[0].hurt for one in asked)
    sessions = len({(one.day, one.session) for one in asked})
    mornings = {one.day: one.morning_up for one in events if one.morning_up is not None}
    up = sum(mornings.values())
    next_sets, next_mornings = "next sets were asked about pain", "next mornings with a known usual"
    shares = [
        (
            share_of(quiet, len(asked), what=next_sets, n_sessions=sessions, confidence_level=level),
            share_of(up, len(mornings), what=next_mornings, n_sessions=len(mornings), confidence_level=level),
        )
        for level in (0.8, 0.95)
    ]
    return DeedCount(
        deed=deed,
        n_events=len(events),
        n_told=sum(one.told for one in events),
        n_asked_next=len(asked),
        n_quiet_next=quiet,
        quiet_next=shares[0][0],
        quiet_next_95=shares[1][0],
        n_mornings=len(mornings),
        n_mornings_up=up,
        morning_up=shares[0][1],
        morning_up_95=shares[1][1],
    )
