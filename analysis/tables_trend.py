"""What moved over time as plain objects for JSON, never rounded (layer: tables)."""

from __future__ import annotations

import dataclasses
from typing import Any

from analysis.results import LineKey, Withheld
from analysis.results_trend import LineChange, TrendReview


def changes_json(found: TrendReview) -> list[dict[str, Any]]:
    """Every line now against its first session and against 28 days ago, stated or withheld.

    Parameters
    ----------
    found : TrendReview

    Returns
    -------
    list of dict
    """
    return [
        _change_json(row.key, change, since)
        for row in found.changes
        for since, change in (("first session", row.since_first), ("28 days ago", row.since_28_days))
    ]


def trend_json(found: TrendReview) -> dict[str, Any]:
    """Pain at one fixed set week by week, and the facts then and now.

    Parameters
    ----------
    found : TrendReview

    Returns
    -------
    dict
        Dates are not texts yet; `analysis.tables.plain` makes them so.
    """
    trend = None if isinstance(found.trend, Withheld) else found.trend
    why = found.trend if isinstance(found.trend, Withheld) else None
    return {
        "per_week_log_odds": trend.per_week_log_odds if trend else None,
        "low": trend.low if trend else None,
        "high": trend.high if trend else None,
        "confidence_level": trend.confidence_level if trend else None,
        "probability_falling": trend.probability_falling if trend else None,
        "exercise": trend.key.exercise if trend else None,
        "variant": trend.key.variant if trend else None,
        "side": trend.key.side if trend else None,
        "works": trend.key.works if trend else None,
        "load_kg": trend.load_kg if trend else None,
        "begins_at_its_worst": trend.begins_at_its_worst if trend else None,
        "weeks": [dataclasses.asdict(week) for week in trend.weeks] if trend else [],
        "reason": why.reason if why else None,
        "remedy": why.remedy if why else None,
        "facts": {
            "lines": [dataclasses.asdict(line) for line in found.lines],
            "mornings": dataclasses.asdict(found.mornings),
            "tasks": [dataclasses.asdict(task) for task in found.tasks],
            "tests": [dataclasses.asdict(series) for series in found.tests],
            "rating_std_error": found.rating_std_error,
            "rating_std_error_source": found.rating_std_error_source,
        },
    }


def _change_json(key: LineKey, answer: LineChange | Withheld, since: str) -> dict[str, Any]:
    change = answer if isinstance(answer, LineChange) else None
    why = answer if isinstance(answer, Withheld) else None
    return {
        "exercise": key.exercise,
        "variant": key.variant,
        "side": key.side,
        "works": key.works,
        "since": since,
        "from": change.start.isoformat() if change else None,
        "to": change.end.isoformat() if change else None,
        "log2_change": change.log2_change if change else None,
        "low": change.low if change else None,
        "high": change.high if change else None,
        "confidence_level": change.confidence_level if change else None,
        "low95": change.low95 if change else None,
        "high95": change.high95 if change else None,
        "probability_up": change.probability_up if change else None,
        "from_kg": change.from_kg if change else None,
        "to_kg": change.to_kg if change else None,
        "claim": change.claim if change else None,
        "reason": why.reason if why else None,
        "remedy": why.remedy if why else None,
    }
