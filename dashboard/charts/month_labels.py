"""What stands in a month's chart of either month, and where the labels of events find room (layer: charts)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.questions.month import Month
from analysis.questions.month_course import MonthCourse
from analysis.results_month import Gap, SessionBurn, SessionPain
from dashboard.charts.panels import Form, Panel
from dashboard.wording.month import event_label
from dashboard.wording.numbers import short_day

LETTER_PX = 6.8
MARGIN_PX = 12
MOST_LANES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLabel:
    """One event: its number and words, and where they stand.

    Attributes
    ----------
    number : int
    day : date
    words : str
    shown : str
        The words where they find room, else the number; empty where not even that does.
    lane : int
        0 is the lowest.
    align : {"left", "right"}
        The text begins or ends at its rule.
    """

    number: int
    day: dt.date
    words: str
    shown: str
    lane: int
    align: Literal["left", "right"]


def courses(month: Month) -> tuple[tuple[MonthCourse | Month, bool], ...]:
    """The month before, where there is one, and this month; the flag says whether it is the one before."""
    before = () if month.before is None else ((month.before, True),)
    return (*before, (month, False))


def drawn_sessions(month: Month) -> list[tuple[SessionPain, bool]]:
    """Sessions of both months, oldest first, with the same flag."""
    return [(one, flag) for course, flag in courses(month) for one in course.sessions]


def drawn_burn(month: Month) -> list[tuple[SessionBurn, bool]]:
    """Burn of both months, oldest first, with the same flag."""
    return [(one, flag) for course, flag in courses(month) for one in course.burn]


def drawn_gaps(month: Month) -> list[Gap]:
    """Gaps of both months; one that touches both, or still lasts, once and in its full length."""
    found: dict[dt.date, Gap] = {}
    for course, _ in courses(month):
        found |= {gap.first: gap for gap in course.gaps}
    return list(found.values())


def first_drawn(month: Month) -> dt.date:
    """The day the chart begins: with the month before, or with the log where that begins within it."""
    if month.before is None:
        return month.first_day
    if month.beside.everything_before is not None:
        return month.beside.everything_before.first_day
    return month.before.mornings[0].day


def numbered_events(month: Month) -> list[tuple[int, dt.date, str]]:
    """Events of this month, and logged ones of the month before, oldest first: number, day, words."""
    events = [
        one
        for course, before in courses(month)
        for one in course.events
        if not before or (one.kind == "logged" and one.day >= first_drawn(month))
    ]
    return [(number, one.day, event_label(one, month.unit)) for number, one in enumerate(events, start=1)]


def event_numbers(month: Month) -> tuple[str, ...]:
    """The numbers that stand for events where there is no room for words, with what they mean."""
    return tuple(f"{number} {words} ({short_day(day)})" for number, day, words in numbered_events(month))


def event_labels(month: Month, days: Panel, form: Form) -> list[EventLabel]:
    """Labels of all events in lanes filled from the latest, so that no rule crosses an earlier label.

    Words on a wide page, beginning at the rule, or ending there where that finds room and crosses no other
    rule; numbers on a phone and where words do not fit.
    """
    taken = [1.0 + MARGIN_PX / form.px] * MOST_LANES
    found = []
    events = numbered_events(month)
    places = [days.at_day(day) for _, day, _ in events]
    for number, day, words in reversed(events):
        place = days.at_day(day)
        tries: list[tuple[str, Literal["left", "right"]]] = [(str(number), "left")]
        if not form.narrow:
            tries = [(words, "left"), (words, "right"), *tries]
        for shown, align in tries:
            width = (LETTER_PX * len(shown) + MARGIN_PX) / form.px
            start, end = (place, place + width) if align == "left" else (place - width, place)
            is_free = align == "left" or not any(start < other < place for other in places)
            lane = next(
                (lane for lane in range(MOST_LANES) if is_free and start >= 0 and end < taken[lane]), None
            )
            if lane is not None:
                taken[lane] = start
                break
        else:
            shown, lane, align = "", 0, "left"
        found.append(
            EventLabel(number=number, day=day, words=words, shown=shown, lane=lane or 0, align=align)
        )
    return found[::-1]
