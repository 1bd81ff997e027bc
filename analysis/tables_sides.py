"""Left against right as plain objects for JSON, never rounded (layer: tables)."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any

from analysis.results import PainLine, Withheld
from analysis.results_sides import LoadAtEqualPain, SideRow


def sides_json(rows: Sequence[SideRow]) -> list[dict[str, Any]]:
    """Every comparison of two sides, stated or withheld.

    Parameters
    ----------
    rows : sequence of SideRow

    Returns
    -------
    list of dict
        Numbers that are not stated are None; then ``reason`` and ``remedy`` say why.
    """
    return [_side_json(row) for row in rows]


def _side_json(row: SideRow) -> dict[str, Any]:
    load = row.load if isinstance(row.load, LoadAtEqualPain) else None
    why = row.load if isinstance(row.load, Withheld) else None
    return {
        "exercise": row.key.exercise,
        "variant": row.key.variant,
        "works": row.key.works,
        "log2_left_over_right": load.log2_left_over_right if load else None,
        "low": load.low if load else None,
        "high": load.high if load else None,
        "confidence_level": load.confidence_level if load else None,
        "low95": load.low95 if load else None,
        "high95": load.high95 if load else None,
        "probability_left_lower": load.probability_left_lower if load else None,
        "left": _line(load.left) if load else None,
        "right": _line(load.right) if load else None,
        "reps": dataclasses.asdict(row.reps),
        "pain": dataclasses.asdict(row.pain),
        "own_past": dataclasses.asdict(row.past),
        "reason": why.reason if why else None,
        "remedy": why.remedy if why else None,
    }


def _line(line: PainLine) -> dict[str, Any]:
    return {
        "status": line.status,
        "load_kg": line.load_kg,
        "low_kg": line.low_kg,
        "high_kg": line.high_kg,
        "heaviest_kg": line.tried.heaviest_kg,
    }
