"""A month beside the month before: rows of the tables, and the cautions that bite (layer: wording)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from analysis.questions.month import Month
from analysis.results import Withheld
from analysis.results_month import (
    CompensationCounts,
    FeltCounts,
    Gap,
    LoadAndPain,
    MedianOf,
    MonthFigures,
    MorningCounts,
)
from analysis.results_trend import SameSet
from dashboard.wording.line_names import line_name
from dashboard.wording.month import (
    before_name,
    hurt_words,
    pain_state,
    points_words,
    range_words,
)
from dashboard.wording.numbers import counted, half_up, load_words, month_words, percent, short_day

NOT_LOGGED = "not logged"
SAME_SHARE = 0.005
Row = tuple[str, ...]


def month_columns(month: Month, figures: MonthFigures, before: MonthFigures | None) -> Row:
    """Headings of a table: blank, this month with its days, the month before with its days."""
    this = f"{month_words(month.month).split()[0]}, {_days(figures.first_day, figures.last_day)}"
    if before is None:
        return ("", this)
    return ("", this, f"{before_name(month)}, {_days(before.first_day, before.last_day)}")


def line_rows(month: Month) -> tuple[Row, ...]:
    """Every number of the line drawn, this month and the month before; without a set there, this month only."""
    beside = month.beside
    if beside.line is None:
        return ()
    unit = month.unit
    rows = [
        *_counts(beside.line, beside.line_before),
        _row("Hurt", lambda one: hurt_words(one.asked, unit, short=True), beside.line, beside.line_before),
        _row("Quiet", lambda one: _quiet(one, unit), beside.line, beside.line_before),
    ]
    if any(one is not None and one.asked.loads is not None for one in (beside.line, beside.line_before)):
        rows += [
            _row("Load of a set, median", lambda one: _loads(one, unit), beside.line, beside.line_before),
            _row(
                "Heaviest load quiet on two days",
                lambda one: _load(one, unit),
                beside.line,
                beside.line_before,
            ),
        ]
    if isinstance(beside.same_load, SameSet):
        same = beside.same_load
        rows.append(
            (
                f"Mean pain at {load_words(same.load_kg, unit)}",
                f"{points_words(same.now)} ({counted(same.n_days_now, 'day')})",
                f"{points_words(same.then)} ({counted(same.n_days_then, 'day')})",
            )
        )
    return (*rows, *_work_rows(beside.line, beside.line_before))


def everything_rows(month: Month) -> tuple[Row, ...]:
    """Every number of all exercises together, this month and the month before."""
    beside = month.beside
    now, before = beside.everything, beside.everything_before
    if now is None:
        return ()
    rows = [
        *_counts(now, before),
        _row("Hurt", lambda one: _hurt_of_all(one), now, before),
    ]
    if not isinstance(beside.loads, Withheld):
        moved = beside.loads
        rows.append(
            (
                f"Loads against {before_name(month)}",
                f"{_moved(moved.change)}, median of {moved.n_up + moved.n_same + moved.n_down}: up {moved.n_up},"
                f" same {moved.n_same}, down {moved.n_down}",
                "",
            )
        )
    pair = before is not None
    rows.append(
        ("Mornings", *(_mornings(one) for one in (beside.mornings, beside.mornings_before)[: 1 + pair]))
    )
    rows.append(
        (
            "10 days without a session, or away",
            *(_gaps(one) for one in (month.gaps, beside.gaps_before)[: 1 + pair]),
        )
    )
    return (*rows, *_work_rows(now, before))


def each_line_rows(month: Month) -> tuple[Row, ...]:
    """Every line asked in either month: what hurt and at what load."""
    return tuple(
        (
            line_name(one.key),
            *(
                "not asked" if asked is None else hurt_words(asked, month.unit, short=True)
                for asked in (one.now, one.before)
            ),
        )
        for one in month.beside.lines
    )


def nothing_before(month: Month) -> str | None:
    """What is missing from the month before; None where it can stand beside this one."""
    beside = month.beside
    if beside.everything_before is None:
        return f"Nothing was logged in {month_words(beside.month_before)}, so this month stands alone."
    if month.key is not None and beside.line_before is None:
        return f"{line_name(month.key)} was not done in {before_name(month)}."
    return None


def month_cautions(month: Month) -> tuple[str, ...]:
    """What may mislead in this comparison, only where it does."""
    beside = month.beside
    moved = beside.load_and_pain
    name = before_name(month)
    found = []
    if beside.before_was_worst:
        found.append(
            f"{name} was the line's worst month so far; after such a month part of a fall comes by itself."
        )
    if isinstance(moved, LoadAndPain) and moved.load_moved == "down" and moved.pain_now < moved.pain_before:
        told = beside.line.n_chosen_for_pain if beside.line is not None else 0
        because = f", in {counted(told, 'set')} because of pain" if told else ""
        found.append(f"The load was lower as well{because}: less pain at less load is not yet progress.")
    if beside.changed_together and not (isinstance(moved, LoadAndPain) and pain_state(moved) == "even"):
        *first, last = beside.changed_together
        kinds = f"{', '.join(first)} and {last}"
        found.append(
            f"{kinds[:1].upper()}{kinds[1:]} changed in the same month; which of them pain followed cannot be told."
        )
    return tuple(found)


def _row(
    label: str, told: Callable[[MonthFigures], str], now: MonthFigures, before: MonthFigures | None
) -> Row:
    return (label, told(now)) if before is None else (label, told(now), told(before))


def _counts(now: MonthFigures, before: MonthFigures | None) -> list[Row]:
    return [
        _row("Sessions", lambda one: str(one.n_sessions), now, before),
        _row("Sets asked about pain", _asked, now, before),
    ]


def _work_rows(now: MonthFigures, before: MonthFigures | None) -> list[Row]:
    """Burn, effort on each scale that was used, where it was felt, compensation."""
    told = [one for one in (now, before) if one is not None]
    rows = [_row("Burn in the muscle, median", lambda one: _median(one.burn, one), now, before)]
    if any(one.rir for one in told) or not any(one.rpe for one in told):
        rows.append(_row("Reps in reserve, median", lambda one: _median(one.rir, one), now, before))
    if any(one.rpe for one in told):
        rows.append(_row("RPE, 1 to 10, median", lambda one: _median(one.rpe, one), now, before))
    return [
        *rows,
        _row("Work felt in", lambda one: felt_words(one.felt), now, before),
        _row("Compensation", lambda one: compensation_words(one.compensation), now, before),
    ]


def _days(first: dt.date, last: dt.date) -> str:
    return f"{first.day} to {last.day}" if first != last else str(first.day)


def _asked(one: MonthFigures) -> str:
    share = "" if one.share_asked is None else f" ({percent(one.share_asked)})"
    return f"{one.asked.n_asked} of {one.n_sets}{share}"


def _quiet(one: MonthFigures, unit: str) -> str:
    asked = one.asked
    if not asked.n_asked:
        return "not asked"
    at = ", no load" if asked.quiet_loads is None else f", at {range_words(asked.quiet_loads, unit)}"
    return f"{asked.n_asked - asked.n_painful} of {asked.n_asked}{at}"


def _loads(one: MonthFigures, unit: str) -> str:
    loads = one.asked.loads
    return "no load" if loads is None else load_words(loads.median_kg, unit)


def _load(one: MonthFigures, unit: str) -> str:
    return "none" if one.quiet_twice_kg is None else load_words(one.quiet_twice_kg, unit)


def _hurt_of_all(one: MonthFigures) -> str:
    if not one.asked.n_asked:
        return "not asked"
    return f"{one.asked.n_painful} of {one.asked.n_asked}, worst {one.asked.worst}"


def _moved(change: float) -> str:
    if abs(change) < SAME_SHARE:
        return "unchanged"
    return f"{'up' if change > 0 else 'down'} {half_up(100.0 * abs(change))} %"


def _mornings(counts: MorningCounts) -> str:
    if counts.n_logged == 0:
        return NOT_LOGGED
    if counts.n_known == 0:
        return f"{counts.n_logged} logged, usual not known"
    flares = "no flare" if counts.n_flares == 0 else counted(counts.n_flares, "flare")
    return f"{counts.n_up} of {counts.n_known} up, {flares}"


def _gaps(found: tuple[Gap, ...]) -> str:
    if not found:
        return "none"
    return "; ".join(
        f"{counted(gap.n_days, 'day')}, {short_day(gap.first)} to {short_day(gap.last)}"
        f"{', away' if gap.away else ''}"
        for gap in found
    )


def _median(found: MedianOf | None, one: MonthFigures) -> str:
    if found is None:
        return NOT_LOGGED
    return f"{points_words(found.median)} ({found.n_logged} of {counted(one.n_sets, 'set')})"


def felt_words(counts: FeltCounts) -> str:
    """``target 34 of 40, elsewhere 6, not logged 100``; a blank is never a place."""
    told = counts.target + counts.elsewhere
    if told == 0:
        return NOT_LOGGED
    blank = f", not logged {counts.not_logged}" if counts.not_logged else ""
    return f"target {counts.target} of {told}, elsewhere {counts.elsewhere}{blank}"


def compensation_words(counts: CompensationCounts) -> str:
    """``none 34, slight 5, clear 1, not logged 100``; a blank is never none."""
    if counts.none + counts.slight + counts.clear == 0:
        return NOT_LOGGED
    blank = f", not logged {counts.not_logged}" if counts.not_logged else ""
    return f"none {counts.none}, slight {counts.slight}, clear {counts.clear}{blank}"
