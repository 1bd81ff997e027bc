"""Course of pain over the weeks of a simulated client (layer: simulate)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.simulated_worlds import TrendKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """Course of pain over the weeks, in log-odds at one fixed set.

    Attributes
    ----------
    kind : {"linear", "plateau", "flare", "none"}
    per_week : float
        Improvement a week (positive means pain falls).
    n_weeks : float
        Length of the log; a plateau begins at its half.
    flare_week : float
        Week in which a flare begins.
    flare_height : float
        Log-odds a flare adds at its beginning; it fades by e in two weeks.
    """

    kind: TrendKind
    per_week: float
    n_weeks: float
    flare_week: float = 0.0
    flare_height: float = 1.8

    def at(self, week: float) -> float:
        """Log-odds added to every set of that week."""
        if self.kind == "none":
            return 0.0
        if self.kind == "plateau":
            return -1.6 * self.per_week * min(week, self.n_weeks / 2)
        flare = 0.0
        if self.kind == "flare" and week >= self.flare_week:
            flare = self.flare_height * float(np.exp(-(week - self.flare_week) / 2.0))
        return flare - self.per_week * week


def weekly_walk(rng: np.random.Generator, n_weeks: float, step_sd: float) -> tuple[float, ...]:
    """Random walk from 0 in week 0, one value a week and one for the week after the last, log-odds."""
    steps = rng.normal(0.0, step_sd, int(np.ceil(n_weeks)))
    return (0.0, *(float(value) for value in np.cumsum(steps)))
