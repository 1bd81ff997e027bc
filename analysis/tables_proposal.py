"""Proposals as plain objects for JSON, never rounded (layer: tables)."""

from __future__ import annotations

from typing import Any

from analysis.results import Estimate, Setting
from analysis.results_proposal import OtherChange, Proposal


def proposal_json(one: Proposal) -> dict[str, Any]:
    """One proposal as a JSON object.

    Parameters
    ----------
    one : Proposal

    Returns
    -------
    dict
        Only str, int, float, bool, None, list and dict. ``hold_reason`` is the most binding reason, None where the
        load goes up; loads are kilograms of the model's load term.
    """
    chance = one.predicted if isinstance(one.predicted, Estimate) else None
    withheld = None if isinstance(one.predicted, Estimate) else one.predicted
    back, limit, seen = one.way_back, one.limit, one.condition
    return {
        "exercise": one.key.exercise,
        "variant": one.key.variant,
        "side": one.key.side,
        "works": one.key.works,
        "day": one.day.isoformat(),
        "may_hurt": one.may_hurt,
        "action": one.action,
        "load_kg": one.load_kg,
        "predicted_chance": chance.value if chance else None,
        "low": chance.low if chance else None,
        "high": chance.high if chance else None,
        "confidence_level": chance.confidence_level if chance else None,
        "reason": withheld.reason if withheld else None,
        "remedy": withheld.remedy if withheld else None,
        "hold_reason": one.holds[0].reason if one.holds else None,
        "holds": [{"code": hold.code, "reason": hold.reason, "remedy": hold.remedy} for hold in one.holds],
        "if_cleared_kg": one.if_cleared_kg,
        "last_kg": one.last_kg,
        "last_day": one.last_day.isoformat(),
        "quiet_kg": one.quiet_kg,
        "step_kg": one.step_kg,
        "step_share": one.step_share,
        "first_reps": one.first_reps,
        "acsm_low_kg": one.acsm_kg[0] if one.acsm_kg else None,
        "acsm_high_kg": one.acsm_kg[1] if one.acsm_kg else None,
        "two_for_two": one.two_for_two,
        "other_changes": [_change_json(change) for change in one.other_changes],
        "way_back": None
        if back is None
        else {
            "kind": back.kind,
            "since": back.since.isoformat(),
            "advice": back.advice,
            "last_quiet_kg": back.last_quiet_kg,
            "quiet_since_kg": back.quiet_since_kg,
            "n_quiet": back.n_quiet,
            "n_needed": back.n_needed,
        },
        "limit": None
        if limit is None
        else {
            "max_load_kg": limit.max_load_kg,
            "max_range_stop": limit.max_range_stop,
            "leave_out": limit.leave_out,
            "by": limit.by,
        },
        "condition": None
        if seen is None
        else {"label": seen.label, "n_asked": seen.n_asked, "n_painful": seen.n_painful},
        "at": None if one.at is None else _setting_json(one.at),
    }


def _change_json(change: OtherChange) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "variant": change.variant,
        "load_kg": change.load_kg,
        "at": _setting_json(change.at),
        "predicted_chance": change.predicted_chance,
        "low": change.low,
        "high": change.high,
        "time_under_tension_s": change.time_under_tension_s,
        "volume_kg": change.volume_kg,
        "tension_share": change.tension_share,
        "volume_share": change.volume_share,
    }


def _setting_json(at: Setting) -> dict[str, Any]:
    values = {
        "lowering_s": at.lowering_s,
        "pause_s": at.pause_s,
        "rom_pct": at.rom_pct,
        "range_stop": at.range_stop,
        "reps": at.reps,
        "hold_s": at.hold_s,
        "place": at.place,
        "set_number": at.set_number,
        "provoked": at.provoked,
    }
    return {name: value for name, value in values.items() if value is not None}
