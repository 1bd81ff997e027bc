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
MOST_LANES = 4
RIGHT_END = 1.005


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
    """Labels of all events in lanes, filled from the latest, so that no text lies on another or on a rule.

    Words on a wide page, beginning at their rule or ending there; numbers on a phone and where words find no
    room. Words may end at their rule above earlier events, unless those then find no room themselves.
    """
    found = _placed(month, days, form, over_others=True)
    return found if all(one.shown for one in found) else _placed(month, days, form, over_others=False)


def _placed(month: Month, days: Panel, form: Form, *, over_others: bool) -> list[EventLabel]:
    found: list[EventLabel] = []
    spans: list[_Span] = []
    events = numbered_events(month)
    places = [days.at_day(day) for _, day, _ in events]
    for (number, day, words), place in zip(reversed(events), reversed(places), strict=True):
        texts = (str(number),) if form.narrow else (words, str(number))
        tries = [one for text in texts for one in _tries(text, place, places, form, over_others=over_others)]
        best = next((one for one in tries if _has_room(one, spans)), None)
        if best is not None:
            spans.append(best)
        found.append(
            EventLabel(
                number=number,
                day=day,
                words=words,
                shown=best.text if best else "",
                lane=best.lane if best else 0,
                align=best.align if best else "left",
            )
        )
    return found[::-1]


def _tries(text: str, place: float, places: list[float], form: Form, *, over_others: bool) -> list[_Span]:
    """Where a text could stand, best first: after its rule, then before it, one lane up where others pass below."""
    width = (LETTER_PX * len(text) + MARGIN_PX) / form.px
    is_over = any(place - width < other < place for other in places)
    before = () if is_over and not over_others else range(int(is_over), MOST_LANES)
    return [
        *(
            _Span(start=place, end=place + width, place=place, lane=lane, text=text, align="left")
            for lane in range(MOST_LANES)
        ),
        *(
            _Span(start=place - width, end=place, place=place, lane=lane, text=text, align="right")
            for lane in before
        ),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Span:
    """A text in its lane, as shares of the width, and its rule, which reaches up to that lane."""

    start: float
    end: float
    place: float
    lane: int
    text: str
    align: Literal["left", "right"]


def _has_room(one: _Span, others: list[_Span]) -> bool:
    """Whether a text stands within the chart, apart from other texts and off every rule, its own apart."""
    if one.start < 0 or one.end > RIGHT_END:
        return False
    return not any(
        (one.lane == other.lane and one.start < other.end and other.start < one.end)
        or (one.lane <= other.lane and one.start < other.place < one.end)
        or (other.lane <= one.lane and other.start < one.place < other.end)
        for other in others
    )
