"""What must hold of every answer about a degenerate log (layer: tests).

Nothing is caught here: an exception or a warning of any question reaches the caller.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import warnings
from collections.abc import Iterator
from itertools import islice, pairwise

import numpy as np

from analysis.design import Design
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.observations import observations
from analysis.questions.chance_of_pain import chance_of_pain
from analysis.questions.line_history import chance_curve, line_history
from analysis.questions.month import Month, month_summary
from analysis.questions.mornings import mornings
from analysis.questions.pain_line import pain_line
from analysis.questions.review import Review, review
from analysis.questions.sets_of_line import sets_of_line
from analysis.results import Estimate, LineKey, LineRow, PainLine, Tried, Withheld
from analysis.tables import review_json
from tests.property.degenerate import DegenerateLog

EXTREME_KG = (0.5, 500.0)
CHANCES, LEVELS = (0.01, 0.2, 0.5, 0.99), (1, 2, 5)
ROUNDING = 1e-9
FEWEST_ASKED, FEWEST_LOADS, FEWEST_FOR_UPPER_END = 6, 2, 12
"""The rules of a pain line, written down here once more."""


def check_degenerate(
    made: DegenerateLog, options: PainOptions, *, n_lines: int, n_clients: int = 2
) -> dict[str, int]:
    """Put every public question to the log; `AssertionError` where an answer is not sound.

    Parameters
    ----------
    made : DegenerateLog
    options : PainOptions
    n_lines : int
        So many lines are put to the questions about one line as well, and so many further months are asked for;
        with any, the counts are taken once more from the log.
    n_clients : int, default 2
        So many of the log's clients are asked about.

    Returns
    -------
    dict
        How many answers of each kind there were, and ``not converged`` fits.
    """
    counts: dict[str, int] = {}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for client in made.clients[:n_clients]:
            told = review(made.log, client=client, as_of=made.as_of, options=options)
            _check_json(told)
            _check_finite(told)
            for row in (*told.lines, *told.unasked_lines, *told.lines_if_blanks_quiet):
                kind = row.answer.status if isinstance(row.answer, PainLine) else "withheld"
                counts[kind] = counts.get(kind, 0) + 1
                _check_row(row)
            if n_lines:
                _check_counts(made, told)
            for key in islice(told.fit.tried, n_lines):
                _check_line(made, told.fit, key)
            _check_mornings_and_months(made, told, n_lines)
            counts["not converged"] = counts.get("not converged", 0) + (not told.fit.convergence.converged)
    return counts


def _check_json(told: Review) -> None:
    assert json.loads(json.dumps(review_json(told), allow_nan=False))["client"] == told.client


def _check_finite(record: object) -> None:
    """No number of a record is infinite or NaN; the memory of the design apart, where NaN means never logged."""
    for place, value in _numbers(record, type(record).__name__):
        assert np.isfinite(value).all(), f"{place} is {value}"


def _numbers(value: object, place: str) -> Iterator[tuple[str, np.ndarray | float]]:
    if isinstance(value, Design):
        for name in ("X", "ell", "week_time", "weeks_of_data"):
            yield f"{place}.{name}", getattr(value, name)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from _numbers(getattr(value, field.name), f"{place}.{field.name}")
    elif isinstance(value, dict):
        for name, one in value.items():
            yield from _numbers(one, f"{place}[{name}]")
    elif isinstance(value, tuple | list):
        for i, one in enumerate(value):
            yield from _numbers(one, f"{place}[{i}]")
    elif isinstance(value, float) or (isinstance(value, np.ndarray) and value.dtype.kind == "f"):
        yield place, value


def _check_row(row: LineRow) -> None:
    n_loads = len(row.tried.loads)
    too_little = row.tried.n_asked < FEWEST_ASKED or 0 < n_loads < FEWEST_LOADS
    assert isinstance(row.answer, Withheld) == too_little, (row.key, row.tried)
    if isinstance(row.answer, Withheld):
        assert row.answer.reason
        assert row.answer.remedy
        return
    line, tried = row.answer, row.tried
    stated = [line.low95_kg, line.low_kg, line.load_kg, line.high_kg, line.high95_kg]
    known = [value for value in stated if value is not None]
    assert all(value > 0 for value in known), stated
    if line.confidence_level <= 0.95:
        assert all(one <= two * (1 + ROUNDING) for one, two in pairwise(known)), stated
    _check_status(line, tried)
    for chance in (line.last, line.one_step_up, *line.conditions):
        if chance is not None:
            assert 0 <= chance.low <= chance.high <= 1
            assert chance.low <= chance.chance <= chance.high, chance
    if line.last is not None and line.one_step_up is not None:
        assert 0 < line.last.load_kg < line.one_step_up.load_kg
        assert line.last.chance <= line.one_step_up.chance + ROUNDING
    assert line.probability_above_heaviest is None or 0 <= line.probability_above_heaviest <= 1


def _check_status(line: PainLine, tried: Tried) -> None:
    """Each status states its own bounds and no others, and says why it states no more."""
    states_low = line.status in ("reached", "lower_only", "above_tried")
    assert (line.low_kg is not None) == states_low
    assert (line.low95_kg is not None) == states_low
    assert (line.high_kg is not None) == (line.status in ("reached", "below_tried"))
    assert (line.load_kg is not None) == (line.status == "reached")
    assert (line.last is None) == (line.status == "no_load")
    assert (line.reason is None) == (line.status == "reached")
    if line.status == "above_tried":
        assert tried.heaviest_kg is not None
        assert line.low_kg is not None
        assert line.low_kg <= tried.heaviest_kg
    if line.status == "reached":
        assert sum(load.n_asked for load in tried.loads) >= FEWEST_FOR_UPPER_END
        assert tried.n_painful > 0


def _check_counts(made: DegenerateLog, told: Review) -> None:
    """The counts by which the rules withhold are those of the log itself."""
    seen = observations(made.log, told.client, as_of=made.as_of)
    seen = seen[~seen["painkiller"]]
    lines = seen.groupby(["exercise", "variant", "asked_side", "works"])
    assert len(told.lines) == 2 * lines.ngroups
    parts = dict(iter(lines))
    for row in told.lines:
        part = parts[row.key.exercise, row.key.variant, row.key.side, row.key.works]
        assert len(row.tried.loads) == part["load_term_kg"].dropna().round(6).nunique()
        assert row.tried.n_asked == len(part)
        assert row.tried.n_painful == part["hurt"].sum()


def _check_line(made: DegenerateLog, fit: PainFit, key: LineKey) -> None:
    which = {"exercise": key.exercise, "variant": key.variant, "side": key.side, "works": key.works}
    for level in LEVELS:
        for chance in CHANCES:
            answer = pain_line(fit, **which, level=level, chance=chance)
            _check_row(LineRow(key=key, chance=chance, tried=_tried_of(fit, key, answer), answer=answer))
    for level in LEVELS:
        found = [chance_of_pain(fit, **which, load_kg=load, level=level) for load in EXTREME_KG]
        for one in found:
            _check_finite(one)
            if isinstance(one, Estimate):
                assert 0 <= one.low <= one.value <= one.high <= 1, one
        if isinstance(found[0], Estimate) and isinstance(found[1], Estimate):
            assert found[0].value <= found[1].value + ROUNDING
    for week in line_history(fit, key):
        _check_finite(week)
        assert 0 < week.low_kg <= week.load_kg <= week.high_kg
    curve = chance_curve(fit, key, EXTREME_KG)
    _check_finite(curve)
    assert all(0 <= point.low <= point.chance <= point.high <= 1 for point in curve)
    shown = sets_of_line(made.log, fit.client, key, as_of=made.as_of)
    _check_finite(shown)
    assert len(shown) >= fit.tried[key].n_asked


def _tried_of(fit: PainFit, key: LineKey, answer: PainLine | Withheld) -> Tried:
    return answer.tried if isinstance(answer, PainLine) else fit.tried[key]


def _check_mornings_and_months(made: DegenerateLog, told: Review, n_months: int) -> None:
    _check_finite(mornings(made.log, told.client, as_of=made.as_of))
    months = told.month.months
    before = (f"{told.as_of - dt.timedelta(days=40):%Y-%m}",)
    _check_month(told.month)
    for month in dict.fromkeys(islice((*months[:1], *before, *months[1:]), n_months)):
        _check_month(month_summary(made.log, told.client, month=month, as_of=made.as_of))


def _check_month(shown: Month) -> None:
    _check_finite(shown)
    assert shown.n_painful <= shown.n_asked <= shown.n_sets
    assert all(shown.first_day <= session.day <= shown.last_day for session in shown.sessions)
    assert all(gap.first <= gap.last for gap in shown.gaps)
