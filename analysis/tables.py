"""Answers as plain objects for JSON, never rounded (layer: tables)."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math
from typing import Any

from analysis.models.pain_fit import ENGINE, MODEL_VERSION
from analysis.questions.review import Review
from analysis.results import ChanceAtLoad, LineRow, PainLine, Problem, Remark, Setting, Withheld
from analysis.results_what_next import WhatNext
from analysis.tables_effects import effects_json, leading_json
from analysis.tables_proposal import proposal_json
from analysis.tables_sides import sides_json
from analysis.tables_trend import changes_json, trend_json

SCHEMA = 1


def review_json(review: Review) -> dict[str, Any]:
    """The review as one JSON object.

    Parameters
    ----------
    review : Review

    Returns
    -------
    dict
        Only str, int, float, bool, None, list and dict; parts without an answer yet are empty.
    """
    fit = review.fit
    return {
        "schema": SCHEMA,
        "client": review.client,
        "as_of": review.as_of.isoformat(),
        "n_sets": fit.n_sets,
        "n_asked": fit.n_asked,
        "n_sessions": fit.n_sessions,
        "pain_level": fit.level,
        "share_of_zeros": fit.share_of_zeros,
        "unasked_share": fit.unasked_share,
        "pain_line": [line_json(row) for row in (*review.lines, *review.unasked_lines)],
        "pain_line_if_blanks_quiet": [line_json(row) for row in review.lines_if_blanks_quiet],
        "pain_line_change": changes_json(review.trend),
        "effects": effects_json(review.effects),
        "brings_it_on": plain(leading_json(review.effects)),
        "sides": sides_json(review.sides),
        "trend": plain(trend_json(review.trend)),
        "what_next": [_what_next_json(one) for one in review.what_next],
        "harder": [plain(row) for row in review.harder],
        "month": plain(review.month),
        "proposal": [proposal_json(one) for one in review.proposals],
        "care": [plain(one) for one in review.care],
        "fit": {
            "engine": ENGINE,
            "model_version": MODEL_VERSION,
            "converged": fit.convergence.converged,
            "seconds": fit.convergence.seconds,
            "n_draws": fit.convergence.n_draws,
            "findings": [plain(finding) for finding in fit.findings],
        },
    }


def line_json(row: LineRow) -> dict[str, Any]:
    """One pain line, stated or withheld, as a JSON object.

    Parameters
    ----------
    row : LineRow

    Returns
    -------
    dict
    """
    key, tried = row.key, row.tried
    line = row.answer if isinstance(row.answer, PainLine) else None
    withheld = row.answer if isinstance(row.answer, Withheld) else None
    reasons = line or withheld
    return {
        "exercise": key.exercise,
        "variant": key.variant,
        "side": key.side,
        "works": key.works,
        "chance": row.chance,
        "status": line.status if line else "withheld",
        "load_kg": line.load_kg if line else None,
        "low_kg": line.low_kg if line else None,
        "high_kg": line.high_kg if line else None,
        "confidence_level": line.confidence_level if line else None,
        "low95_kg": line.low95_kg if line else None,
        "high95_kg": line.high95_kg if line else None,
        "last": _chance_json(line.last) if line else None,
        "one_step_up": _chance_json(line.one_step_up) if line else None,
        "n_sets": tried.n_sets,
        "n_asked": tried.n_asked,
        "n_painful": tried.n_painful,
        "lightest_kg": tried.lightest_kg,
        "heaviest_kg": tried.heaviest_kg,
        "probability_above_heaviest": line.probability_above_heaviest if line else None,
        "at": _setting_json(line.at) if line else None,
        "conditions": [plain(condition) for condition in line.conditions] if line else [],
        "reason": reasons.reason if reasons else None,
        "remedy": reasons.remedy if reasons else None,
    }


def check_json(n_rows: int, problems: tuple[Problem, ...], remarks: tuple[Remark, ...]) -> dict[str, Any]:
    """What a check found, as one JSON object.

    Parameters
    ----------
    n_rows : int
    problems : tuple of Problem
    remarks : tuple of Remark

    Returns
    -------
    dict
    """
    return {
        "schema": SCHEMA,
        "n_rows": n_rows,
        "problems": [plain(problem) for problem in problems],
        "remarks": [plain(remark) for remark in remarks],
    }


def _chance_json(chance: ChanceAtLoad | None) -> dict[str, float] | None:
    return None if chance is None else plain(chance)


def _what_next_json(one: WhatNext) -> dict[str, Any]:
    """Counts of one exercise and side with its sets; those of all together have the counts only."""
    return plain(one if one.exercise is not None else dataclasses.replace(one, events=()))


def _setting_json(setting: Setting) -> dict[str, Any]:
    """The setting used; blanks that this exercise never logged are left out."""
    return {name: value for name, value in plain(setting).items() if value is not None}


def plain(value: Any) -> Any:
    """A record as JSON types: dates as ISO text, numbers that are not finite as None.

    Parameters
    ----------
    value : object
        A record of this package, or what one holds.

    Returns
    -------
    object
    """
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if isinstance(value, dict):
        return {str(name): plain(item) for name, item in value.items()}
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value
