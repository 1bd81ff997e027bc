"""Which pain line a caller means, checked against what was logged (layer: questions)."""

from __future__ import annotations

from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit
from analysis.results import LineKey

LARGEST_LEVEL = 5


def find_line(fit: PainFit, *, exercise: str, variant: str, side: str, works: str | None = None) -> LineKey:
    """The line of an exercise, variant, side that hurts and side that works.

    Parameters
    ----------
    fit : PainFit
    exercise, variant, side : str
    works : str, optional
        Side that works; None is the side that hurts where it worked alone, otherwise both.

    Returns
    -------
    LineKey

    Raises
    ------
    OptionError
        If nothing like it was asked; the message lists what was.
    """
    found = [key for key in fit.tried if (key.exercise, key.variant, key.side) == (exercise, variant, side)]
    wanted = (works,) if works is not None else (side, "both", "left", "right")
    for choice in wanted:
        for key in found:
            if key.works == choice:
                return key
    known = "; ".join(f"{k.exercise}, {k.variant}, {k.side} (works: {k.works})" for k in fit.tried)
    raise OptionError(
        f"no asked sets of {exercise}, {variant}, {side}"
        + (f" with {works} working" if works is not None else "")
        + f". Asked so far: {known or 'nothing'}."
    )


def checked_level(fit: PainFit, level: int | None) -> int:
    """The level to use: the client's own if None.

    Raises
    ------
    OptionError
        If it is not a whole number from 1 to 5.
    """
    if level is None:
        return fit.level
    if isinstance(level, bool) or not isinstance(level, int) or not 1 <= level <= LARGEST_LEVEL:
        raise OptionError(f"level is {level!r}; choose a whole number from 1 to {LARGEST_LEVEL}.")
    return level


def checked_share(name: str, value: float) -> float:
    """A share strictly between 0 and 1.

    Raises
    ------
    OptionError
        If it is outside.
    """
    if not 0.0 < value < 1.0:
        raise OptionError(f"{name} is {value!r}; choose a number between 0 and 1, such as 0.2.")
    return float(value)
