"""Reads a setting written on the command line, such as lowering_s=2,place=9 (layer: app)."""

from __future__ import annotations

import math
from dataclasses import fields

from analysis.errors import OptionError
from analysis.results import Setting

YES_NO = {"yes": True, "no": False}
TEXT = {"range_stop"}
CHOICES = {"prepared", "provoked"}
NAMES = tuple(field.name for field in fields(Setting))


def setting_from_text(text: str) -> Setting:
    """Setting of ``name=value`` parts with commas between; names left out are the exercise's usual.

    Parameters
    ----------
    text : str
        Such as ``lowering_s=2,rom_pct=100,prepared=yes``.

    Returns
    -------
    Setting

    Raises
    ------
    OptionError
        If a name is unknown or given twice, or a value is not of its kind; the message says what to write.
    """
    values: dict[str, float | str | bool] = {}
    for part in text.split(","):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if name not in NAMES or not equals:
            raise OptionError(
                f"{part.strip()!r} is no setting; write name=value with one of: {', '.join(NAMES)}."
            )
        if name in values:
            raise OptionError(f"{name} is given twice; give it once.")
        values[name] = _value(name, value)
    return Setting(**values)  # type: ignore[arg-type]  # every value was made for the name it stands under


def _value(name: str, text: str) -> float | str | bool:
    if name in CHOICES:
        if text.lower() not in YES_NO:
            raise OptionError(f"{name} is {text!r}; write yes or no.")
        return YES_NO[text.lower()]
    if name in TEXT:
        if not text:
            raise OptionError(f"{name} is empty; write the name of a stop, as in the log.")
        return text
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number) or number < 0:
        raise OptionError(f"{name} is {text!r}; write a number of 0 or more, with a point for decimals.")
    return number
