"""The ruler of one proposal: which loads it spans and which of them carry a number (layer: charts)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analysis.results import PainLine
from analysis.results_proposal import Proposal
from dashboard.charts.panels import Panel, round_ticks
from dashboard.wording.numbers import in_unit

SPARE_STEPS = 1.0
ABOVE_HEAVIEST_STEPS = 3.5
"""An interval is shown this far above everything tried; further it is open all the same."""
MOST_MARKS = {False: 15, True: 13}
MOST_NUMBERS = {False: 8, True: 6}
FREE_PX = 28.0
"""A number of the scale this near the proposed load is left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """Scale of one row, in the client's unit.

    Attributes
    ----------
    panel : Panel
        From share of the width to loads in the client's unit.
    marks : tuple of float
        Where a short mark stands.
    numbers : tuple of float
        Where a number stands.
    """

    panel: Panel
    marks: tuple[float, ...]
    numbers: tuple[float, ...]

    def at(self, load: float) -> float:
        """Share of the width, held inside the ruler."""
        low, high = self.panel.domain
        return self.panel.at(min(max(load, low), high))


def ruler(
    one: Proposal, line: PainLine | None, *, shares: tuple[float, float], px: float, narrow: bool
) -> Ruler | None:
    """The ruler of a proposal; None where nothing has a load.

    Parameters
    ----------
    one : Proposal
    line : PainLine or None
    shares : (float, float)
        Ends of the ruler as shares of the width.
    px : float
        Width of the whole chart this form is made for.
    narrow : bool

    Returns
    -------
    Ruler or None
    """
    unit = one.tried.unit
    tried = [load.load_kg for load in one.tried.loads]
    if not tried:
        return None
    step = one.tried.load_step_kg or max(0.1 * max(tried), 0.5)
    shown = [load for load in (*_recent(one), one.load_kg, one.last_kg) if load is not None]
    ceiling = max(shown) + ABOVE_HEAVIEST_STEPS * step
    ends = [] if line is None else [end for end in (line.low_kg, line.high_kg) if end is not None]
    shown += [min(max(end, min(shown) - ABOVE_HEAVIEST_STEPS * step), ceiling) for end in ends]
    low = in_unit(max(min(shown) - SPARE_STEPS * step, 0.0), unit)
    high = in_unit(max(shown) + SPARE_STEPS * step, unit)
    panel = Panel(start=shares[0], end=shares[1], domain=(low, high))
    marks = _marks(low, high, in_unit(step, unit), in_unit(_anchor(one), unit), MOST_MARKS[narrow])
    numbers = marks[:: max(1, math.ceil(len(marks) / MOST_NUMBERS[narrow]))]
    here = None if one.load_kg is None else panel.at(in_unit(one.load_kg, unit))
    return Ruler(
        panel=panel,
        marks=marks,
        numbers=tuple(mark for mark in numbers if here is None or abs(panel.at(mark) - here) * px >= FREE_PX),
    )


def _recent(one: Proposal) -> tuple[float | None, ...]:
    return one.tried.lightest_kg, one.tried.heaviest_kg


def _anchor(one: Proposal) -> float:
    """A load that the equipment has."""
    return one.last_kg if one.last_kg is not None else one.tried.loads[0].load_kg


def _marks(low: float, high: float, step: float, anchor: float, most: int) -> tuple[float, ...]:
    """Steps of the equipment; round numbers where those stand too close."""
    first = math.ceil((low - anchor) / step - 1e-9)
    last = math.floor((high - anchor) / step + 1e-9)
    if last - first < most:
        return tuple(round(anchor + count * step, 6) for count in range(first, last + 1))
    return tuple(round_ticks(low, high, most=most))
