"""The load axis of the pain line chart: from where to where, which ticks, in the client's unit (layer: charts)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analysis.results import LineRow, PainLine
from dashboard.charts.panels import round_ticks
from dashboard.wording.numbers import in_unit

CURVE_POINTS = 60
MOST_TICKS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadScale:
    """Domain, ticks and the tried range, all in the unit shown."""

    low: float
    high: float
    ticks: tuple[float, ...]
    lightest: float
    heaviest: float
    step: float

    def inside(self, load: float) -> bool:
        """Whether a load stands on the axis."""
        return self.low <= load <= self.high


def load_scale(row: LineRow) -> LoadScale | None:
    """Axis for one line, in steps of the equipment; None when no load was tried."""
    tried = row.tried
    if not tried.loads:
        return None
    shown = [in_unit(load.load_kg, tried.unit) for load in tried.loads]
    lightest, heaviest = min(shown), max(shown)
    step = in_unit(tried.load_step_kg, tried.unit) if tried.load_step_kg else _usual_step(lightest, heaviest)
    line = stated_line(row, tried.unit)
    bottom = min(lightest, line if line is not None else lightest) - 1.6 * step
    top = heaviest + 1.6 * step
    if line is not None:
        top = max(top, min(line + step, heaviest + 3.5 * step))
    low, high = max(bottom, 0.0), top
    return LoadScale(
        low=low,
        high=high,
        ticks=_ticks(low, high, lightest, step if tried.load_step_kg else None),
        step=step,
        lightest=_recent(tried.lightest_kg, tried.unit, lightest),
        heaviest=_recent(tried.heaviest_kg, tried.unit, heaviest),
    )


def _ticks(low: float, high: float, lightest: float, step: float | None) -> tuple[float, ...]:
    """Loads of the equipment, every one or every second and so on; round numbers where no step is known."""
    if step is None:
        return tuple(round_ticks(low, high, most=MOST_TICKS))
    needed = (high - low) / step / MOST_TICKS
    every = step * next((few for few in (1, 2, 4, 5, 10, 20, 50, 100) if few >= needed), math.ceil(needed))
    first = math.ceil((low - lightest) / every - 1e-9)
    last = math.floor((high - lightest) / every + 1e-9)
    return tuple(lightest + index * every for index in range(first, last + 1))


def stated_line(row: LineRow, unit: str) -> float | None:
    """The line in the unit shown, where the answer states one."""
    answer = row.answer
    if isinstance(answer, PainLine) and answer.status == "reached" and answer.load_kg is not None:
        return in_unit(answer.load_kg, unit)
    return None


def curve_loads_kg(row: LineRow) -> tuple[float, ...]:
    """Loads at which the curve of the right panel is asked for; none without an axis or a line."""
    scale = load_scale(row)
    if scale is None or not isinstance(row.answer, PainLine) or row.answer.status == "no_load":
        return ()
    kg_per_unit = 1 / in_unit(1.0, row.tried.unit)
    low = max(scale.low, scale.high * 0.02)
    return tuple(
        (low + (scale.high - low) * index / (CURVE_POINTS - 1)) * kg_per_unit for index in range(CURVE_POINTS)
    )


def _recent(load_kg: float | None, unit: str, otherwise: float) -> float:
    return otherwise if load_kg is None else in_unit(load_kg, unit)


def _usual_step(lightest: float, heaviest: float) -> float:
    """A tenth of what was tried, at least a twentieth of the heaviest: only to leave room round the marks."""
    return max((heaviest - lightest) / 10, heaviest / 20, math.ulp(1.0))
