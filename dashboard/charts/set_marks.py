"""Which mark stands where for the sets of a pain line: side by side, one a day, or one a fortnight (layer: charts)."""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from analysis.questions.sets_of_line import SeenSet
from dashboard.wording.numbers import in_unit, load_words, short_day

SIDE_BY_SIDE_PX = 8.5
ROOM_PX = {False: 14.0, True: 9.0}
MOST_ON_A_PHONE = 20
CROWDED_SESSION_PX = 5.2
CROWDED_MARK_PX = 6.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One mark of the left panel; `order` counts the marks that share a day and load, `of` how many there are."""

    day: dt.date
    load: float
    hurt: bool
    score: int | None
    order: int
    of: int
    area: float
    n_sets: int
    n_painful: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedSets:
    """Marks of one form and whether scores stand beside them."""

    marks: tuple[Mark, ...]
    merged: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    day: dt.date
    load: float
    pain: int
    hurt: bool
    words: str


def marks_for(sets: Sequence[SeenSet], *, unit: str, panel_px: float, narrow: bool) -> MarkedSets:
    """Marks for the asked sets, as many as the panel has room for.

    Parameters
    ----------
    sets : sequence of SeenSet
        Asked sets, oldest first; those without a load are left out.
    unit : str
        ``kg`` or ``lb``, the unit of the axis.
    panel_px : float
        Width of the panel in pixels of the screen.
    narrow : bool
        Whether the page is a phone's.
    """
    shown = [
        _Shown(
            day=one.day,
            load=round(in_unit(one.load_kg, unit), 2),
            pain=one.pain,
            hurt=one.hurt,
            words=_set_words(one, one.load_kg, unit),
        )
        for one in sets
        if one.load_kg is not None
    ]
    if not shown:
        return MarkedSets(marks=(), merged=False)
    days = sorted({one.day for one in shown})
    if panel_px / len(days) < CROWDED_SESSION_PX:
        return MarkedSets(marks=_by_weeks(shown, days, panel_px), merged=True)
    busiest = max(Counter(one.load for one in shown).values())
    one_a_day = busiest * ROOM_PX[narrow] > panel_px or (narrow and len(shown) > MOST_ON_A_PHONE)
    return MarkedSets(marks=_by_day(shown, worst_only=one_a_day), merged=False)


def _set_words(one: SeenSet, load_kg: float, unit: str) -> str:
    pain = f"pain at least {one.pain}, stopped" if one.at_least else f"pain {one.pain}"
    reps = "" if one.reps is None else f", {one.reps} reps"
    pill = ", painkiller that day" if one.painkiller else ""
    return f"{short_day(one.day)}: {load_words(load_kg, unit)}{reps}, {pain}{pill}"


def _by_day(sets: Sequence[_Shown], *, worst_only: bool) -> tuple[Mark, ...]:
    groups: dict[tuple[dt.date, float], list[_Shown]] = defaultdict(list)
    for one in sets:
        groups[(one.day, one.load)].append(one)
    marks: list[Mark] = []
    for (day, load), members in groups.items():
        worst = max(members, key=lambda one: (one.hurt, one.pain))
        painful = sum(one.hurt for one in members)
        shown = [worst] if worst_only else members
        last_hurt = max((order for order, one in enumerate(shown) if one.hurt), default=-1)
        for order, one in enumerate(shown):
            marks.append(
                Mark(
                    day=day,
                    load=load,
                    hurt=one.hurt,
                    score=worst.pain if order == last_hurt else None,
                    order=order,
                    of=len(shown),
                    area=1.0,
                    n_sets=len(members) if worst_only else 1,
                    n_painful=painful if worst_only else int(one.hurt),
                    words=f"{painful} of {len(members)} hurt, worst {worst.pain}"
                    if worst_only
                    else one.words,
                )
            )
    return tuple(marks)


def _by_weeks(sets: Sequence[_Shown], days: Sequence[dt.date], panel_px: float) -> tuple[Mark, ...]:
    last, span = days[-1], (days[-1] - days[0]).days + 1
    weeks = next(
        (number for number in (1, 2, 4) if panel_px / math.ceil(span / (7 * number)) >= CROWDED_MARK_PX), 4
    )
    groups: dict[tuple[int, float], list[_Shown]] = defaultdict(list)
    for one in sets:
        groups[((last - one.day).days // (7 * weeks), one.load)].append(one)
    most = max(sum(one.hurt for one in members) for members in groups.values())
    marks = []
    for (block, load), members in groups.items():
        painful = sum(one.hurt for one in members)
        middle = last - dt.timedelta(days=min(block * 7 * weeks + 7 * weeks // 2, (last - days[0]).days))
        worst = max(one.pain for one in members)
        marks.append(
            Mark(
                day=middle if block else max(middle, members[-1].day),
                load=load,
                hurt=painful > 0,
                score=None,
                order=0,
                of=1,
                area=painful / most if painful else 0.35,
                n_sets=len(members),
                n_painful=painful,
                words=f"{painful} of {len(members)} hurt, worst {worst}",
            )
        )
    return tuple(marks)
