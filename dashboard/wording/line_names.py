"""How a pain line is called: exercise, variant, side that hurts, side that works (layer: wording)."""

from __future__ import annotations

from analysis.results import LineKey, PainLine, Setting
from dashboard.wording.numbers import half_up, ordinal

STANDARD = "standard"


def exercise_name(exercise: str, variant: str) -> str:
    """Exercise with its variant; the standard variant goes without saying."""
    return exercise if variant == STANDARD else f"{exercise}, {variant}"


def side_name(key: LineKey) -> str:
    """The side that hurts, and the side that works where it is another one: ``left, right works``."""
    if key.works in (key.side, "both"):
        return key.side
    if key.side == "midline":
        return f"midline, {key.works} works"
    return f"{key.side}, {key.works} works"


def line_name(key: LineKey) -> str:
    """Full name of a line, capital first: ``Step-down, left``."""
    name = f"{exercise_name(key.exercise, key.variant)}, {side_name(key)}"
    return name[:1].upper() + name[1:]


def setting_words(at: Setting) -> str:
    """The setting an answer stands for: ``8 reps, lowering 3 s, 90 % of full range, 6th set of the session``."""
    parts: list[str] = []
    if at.reps is not None:
        parts.append(f"{half_up(at.reps)} reps")
    if at.hold_s is not None:
        parts.append(f"a hold of {half_up(at.hold_s)} s")
    if at.lowering_s is not None:
        parts.append(f"lowering {_shortest(at.lowering_s)} s")
    if at.pause_s:
        parts.append(f"pauses {_shortest(at.pause_s)} s")
    if at.range_stop is not None:
        parts.append(f"down to {at.range_stop}")
    elif at.rom_pct is not None:
        parts.append("full range" if round(at.rom_pct) == 100 else f"{half_up(at.rom_pct)} % of full range")
    if at.place is not None:
        parts.append(f"{ordinal(max(1, int(half_up(at.place))))} set of the session")
    if at.prepared is not None:
        parts.append("preparation done" if at.prepared else "without preparation")
    if at.provoked:
        parts.append("already sore that day")
    return ", ".join(parts)


def done_otherwise(answer: PainLine) -> str:
    """In what the last set differed from the line's setting: ``lowering 6 s``; nothing where it did not."""
    last, at = answer.tried.last_setting, answer.at
    if last is None:
        return ""
    parts: list[str] = []
    if _apart(last.lowering_s, at.lowering_s, 0.5):
        parts.append(f"lowering {_shortest(last.lowering_s or 0.0)} s")
    if _apart(last.rom_pct, at.rom_pct, 5.0):
        stop = f"down to {last.range_stop}"
        parts.append(stop if last.range_stop else f"{half_up(last.rom_pct or 0.0)} % of full range")
    elif last.rom_pct is None and last.range_stop and at.range_stop and last.range_stop != at.range_stop:
        parts.append(f"down to {last.range_stop}")
    if _apart(last.hold_s, at.hold_s, 5.0):
        parts.append(f"a hold of {half_up(last.hold_s or 0.0)} s")
    return " and ".join(parts)


def _apart(one: float | None, other: float | None, least: float) -> bool:
    return one is not None and other is not None and abs(one - other) >= least


def _shortest(value: float) -> str:
    text = half_up(value, 1)
    return text.removesuffix(".0")
