"""What brings pain on as plain objects for JSON, never rounded (layer: tables)."""

from __future__ import annotations

import dataclasses
from typing import Any

from analysis.models.linear_companion import LinearCompanion
from analysis.questions.brings_it_on import ClientEffects
from analysis.results import Estimate, LineKey, Withheld
from analysis.results_effects import Effect, EffectSize


def effects_json(found: ClientEffects | Withheld) -> list[dict[str, Any]]:
    """One object for each effect, known or not.

    Parameters
    ----------
    found : ClientEffects or Withheld

    Returns
    -------
    list of dict
        Empty where nothing was asked.
    """
    return [] if isinstance(found, Withheld) else [_effect_json(one) for one in found.effects]


def _effect_json(effect: Effect) -> dict[str, Any]:
    size = effect.answer if isinstance(effect.answer, EffectSize) else None
    unknown = effect.answer if isinstance(effect.answer, Withheld) else None
    return {
        "term": effect.term,
        "per": effect.per,
        **_key_json(effect.key),
        "before": effect.before,
        "after": effect.after,
        "at_load_kg": effect.load_kg,
        "log_odds": size.log_odds.value if size else None,
        "low": size.log_odds.low if size else None,
        "high": size.log_odds.high if size else None,
        "points": size.points.value if size else None,
        "points_low": size.points.low if size else None,
        "points_high": size.points.high if size else None,
        "points_low95": size.points_low95 if size else None,
        "points_high95": size.points_high95 if size else None,
        "confidence_level": size.points.confidence_level if size else None,
        "chance_before": _chance_json(size.chance_before) if size else None,
        "chance_after": _chance_json(size.chance_after) if size else None,
        "probability_direction": size.probability_direction if size else None,
        "shown": size is not None,
        "reason": unknown.reason if unknown else None,
        "remedy": unknown.remedy if unknown else None,
        "note": effect.note,
    }


def _key_json(key: LineKey) -> dict[str, str]:
    return {"exercise": key.exercise, "variant": key.variant, "side": key.side, "works": key.works}


def _chance_json(chance: Estimate) -> dict[str, float]:
    return {"chance": chance.value, "low": chance.low, "high": chance.high}


def leading_json(found: ClientEffects | Withheld) -> dict[str, Any] | None:
    """What else is said at the leading line: loads by range, the test, counts; and the linear companion.

    Parameters
    ----------
    found : ClientEffects or Withheld

    Returns
    -------
    dict or None
        None where nothing was asked. Answers that are withheld are objects with ``reason`` and ``remedy``.
    """
    if isinstance(found, Withheld):
        return None
    leading = found.leading
    return {
        **_key_json(leading.key),
        "load_by_range": _record(leading.grid),
        "range_test": {"plan": _record(leading.test.plan), "result": _record(leading.test.result)},
        "compensation": _record(leading.compensation),
        "rest": _record(leading.rest),
        "described": [_record(one) for one in leading.described],
        "load_chosen": _record(leading.choice),
        "linear_companion": _companion_json(found.companion),
    }


def _companion_json(companion: LinearCompanion | Withheld) -> dict[str, Any]:
    if isinstance(companion, Withheld):
        return _record(companion)
    return {
        "within": _record(companion.within),
        "between": _record(companion.between),
        "share_of_zeros": companion.share_of_zeros,
        "n_sets": companion.n_sets,
        "findings": [_record(one) for one in companion.findings],
    }


def _record(record: Any) -> dict[str, Any]:
    """A record of plain values as a dictionary; `key` is left out, it stands beside."""
    named = dataclasses.asdict(record)
    named.pop("key", None)
    return named
