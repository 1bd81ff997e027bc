"""Loads, counts and dates in words: units, decimals that follow the interval, equipment steps (layer: wording)."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable

from analysis.schema import KG_PER_LB

_ORDINALS = {1: "st", 2: "nd", 3: "rd"}
_NEARLY = 1e-6


def in_unit(load_kg: float, unit: str) -> float:
    """Load in the client's own unit, ``kg`` or ``lb``."""
    return load_kg / KG_PER_LB if unit == "lb" else load_kg


def decimals_for(width: float) -> int:
    """Decimals a number deserves when its interval is this wide, in the unit shown.

    Two units and wider: whole numbers. Narrower: one decimal; under a fifth of a unit, two.
    """
    if width >= 2:
        return 0
    return 1 if width >= 0.2 else 2


def half_up(value: float, decimals: int = 0) -> str:
    """Number rounded half away from zero, as people round, with the decimals asked for."""
    scale = 10**decimals
    rounded = math.floor(abs(value) * scale + 0.5 + 1e-9) / scale
    text = f"{rounded:.{decimals}f}"
    return f"-{text}" if value < 0 and rounded > 0 else text


def plain_load(load_kg: float, unit: str) -> str:
    """A load that was really lifted, without unit: shortest form, such as ``12`` or ``12.5``."""
    value = in_unit(load_kg, unit)
    text = half_up(value, 1 if unit == "lb" else 2)
    return text.rstrip("0").rstrip(".") if "." in text else text


def load_words(load_kg: float, unit: str) -> str:
    """A load that was really lifted, with its unit: ``12.5 kg``."""
    return f"{plain_load(load_kg, unit)} {unit}"


def estimate_words(load_kg: float, low_kg: float | None, high_kg: float | None, unit: str) -> str:
    """An estimated load with its interval: ``14 kg (13 to 16)``; an end that is not stated reads ``open``."""
    value = in_unit(load_kg, unit)
    ends = [in_unit(end, unit) for end in (low_kg, high_kg) if end is not None]
    width = max([*ends, value]) - min([*ends, value]) if ends else value * 0.2
    places = decimals_for(width)
    number = f"{half_up(value, places)} {unit}"
    if low_kg is None and high_kg is None:
        return number
    low = "open" if low_kg is None else half_up(in_unit(low_kg, unit), places)
    high = "open" if high_kg is None else half_up(in_unit(high_kg, unit), places)
    return f"{number} ({low} to {high})"


AT_THE_LOAD = 0.1
"""Within a tenth of a step a line is said to lie at a load rather than between two."""


def equipment_below(load_kg: float, tried_kg: Iterable[float], step_kg: float | None) -> float:
    """Heaviest load of the equipment that is not above `load_kg`.

    The equipment is known by the loads tried and the steps between them. Where no step is known, only
    the loads tried count; below the lightest of them the number itself is returned.
    """
    tried = sorted(tried_kg)
    below = [load for load in tried if load <= load_kg + _NEARLY]
    if step_kg is None or step_kg <= 0:
        return below[-1] if below else load_kg
    if not tried:
        return math.floor(load_kg / step_kg + _NEARLY) * step_kg
    anchor = below[-1] if below else tried[0]
    return max(anchor + math.floor((load_kg - anchor) / step_kg + _NEARLY) * step_kg, 0.0)


def equipment_above(load_kg: float, tried_kg: Iterable[float], step_kg: float | None) -> float | None:
    """Lightest load of the equipment above `load_kg`; None where neither a step nor a load tried tells."""
    tried = sorted(tried_kg)
    above = [load for load in tried if load > load_kg + _NEARLY]
    if step_kg is None or step_kg <= 0:
        return above[0] if above else None
    step_up = equipment_below(load_kg, tried, step_kg) + step_kg
    return min([step_up, *above])


def between_words(
    load_kg: float, tried_kg: Iterable[float], step_kg: float | None, unit: str, basis: str
) -> str | None:
    """Where a load falls on the equipment: ``between the 12s and the 14s``; None where it cannot be told."""
    tried = tuple(tried_kg)
    low = equipment_below(load_kg, tried, step_kg)
    high = equipment_above(load_kg, tried, step_kg)
    if (
        high is None
        or low > load_kg + _NEARLY
        or (not any(load <= load_kg + _NEARLY for load in tried) and step_kg is None)
    ):
        return None
    at = min((low, high), key=lambda load: abs(load - load_kg))
    is_there = abs(at - load_kg) <= AT_THE_LOAD * (high - low)
    if basis == "per hand":
        if is_there:
            return f"at the {plain_load(at, unit)}s"
        return f"between the {plain_load(low, unit)}s and the {plain_load(high, unit)}s"
    if is_there:
        return f"at {load_words(at, unit)}"
    return f"between {plain_load(low, unit)} and {load_words(high, unit)}"


def counted_as(basis: str) -> str:
    """What a load in kilograms counts, to follow the number: `` in each hand``, `` with bodyweight``, or nothing."""
    return {"per hand": " in each hand", "bodyweight": " with bodyweight", "stack": " on the stack"}.get(
        basis, ""
    )


def of_ten(chance: float) -> str:
    """A chance as a whole count of 10 sets; ``fewer than 1`` rather than 0, ``nearly all`` rather than 10."""
    count = int(half_up(chance * 10))
    if count == 0:
        return "fewer than 1"
    return "nearly all" if count == 10 and chance < 1 else str(count)


def of_ten_range(low: float, high: float) -> str:
    """The interval of a chance as whole counts of 10 sets, rounded outwards: ``1 to 4``."""
    return f"{math.floor(low * 10 + _NEARLY)} to {math.ceil(high * 10 - _NEARLY)}"


def day_words(day: dt.date) -> str:
    """A date as people write it, without leading zero: ``28 Sep 2026``."""
    return f"{day.day} {day:%b %Y}"


def short_day(day: dt.date) -> str:
    """A date without its year: ``28 Sep``."""
    return f"{day.day} {day:%b}"


def month_words(month: str) -> str:
    """``September 2026`` for ``2026-09``."""
    return f"{dt.date.fromisoformat(f'{month}-01'):%B %Y}"


def ordinal(number: int) -> str:
    """``1st``, ``2nd``, ``11th``, ``23rd``."""
    ending = "th" if 10 <= number % 100 <= 20 else _ORDINALS.get(number % 10, "th")
    return f"{number}{ending}"


def counted(number: int, singular: str, plural: str | None = None) -> str:
    """``1 set``, ``2 sets``, ``540 sets``; thousands with a comma."""
    noun = singular if number == 1 else (plural or f"{singular}s")
    return f"{number:,} {noun}"


def percent(share: float) -> str:
    """A share in whole percent; small ones that are not none read ``under 1 %``."""
    if 0 < share < 0.005:
        return "under 1 %"
    return f"{half_up(share * 100)} %"
