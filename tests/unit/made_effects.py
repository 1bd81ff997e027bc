"""A fit whose draws are set by hand, for tests of effects that can be worked out on paper."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from analysis.design_terms import TERM_NAMES
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat

N_DRAWS = 100


def varied_log(**more: list[dict[str, object]]) -> TrainingLog:
    """Step-downs at two loads and two speeds; a second variant an octave heavier; the range never logged."""
    rows = []
    for session in range(6):
        for number in range(4):
            tempo = "3-0-1-0" if number < 3 else "5-0-1-0"
            rows.append(
                squat(2 * session, number + 1, (8.0, 8.0, 8.0, 10.0)[number], number % 3, tempo=tempo)
            )
        rows.append(squat(2 * session, 5, 16.0, 1, variant="on a wedge", tempo="3-0-1-0"))
    return small_log(rows, **more)


@lru_cache
def fitted(log: TrainingLog) -> PainFit:
    """The model as it is fitted, once for each log."""
    return fit_pain_model(log, client="T-01", options=PainOptions(n_draws=128))


def hand_fit(
    log: TrainingLog,
    *,
    cutpoints: tuple[float, ...] = (0.0, 1.0, 2.0, 3.0, 4.0),
    slope: float = 2.0,
    variant: float = 0.0,
    day_sd: float = 0.0,
    **coefficients: float,
) -> PainFit:
    """A fit of the log with every draw replaced: predictors are 0 apart from what is given.

    A coefficient is the same in all draws; `spread` makes one that is not.
    """
    fit = fitted(log)
    assert fit.design is not None
    beta = np.zeros((N_DRAWS, len(TERM_NAMES)))
    for name, value in coefficients.items():
        beta[:, TERM_NAMES.index(name)] = value
    return replace(
        fit,
        cutpoints=np.tile(cutpoints, (N_DRAWS, 1)),
        intercepts=np.zeros((N_DRAWS, len(fit.design.exercise_sides))),
        slopes=np.full((N_DRAWS, len(fit.design.exercises)), slope),
        drifts=np.zeros((N_DRAWS, len(fit.design.exercises))),
        variant_offsets=np.full((N_DRAWS, len(fit.design.variants)), variant),
        coefficients=beta,
        week_offsets=np.zeros((N_DRAWS, len(fit.design.weeks))),
        day_sd=np.full(N_DRAWS, day_sd),
    )


def spread(fit: PainFit, term: str, *, mean: float, sd: float) -> PainFit:
    """The same fit with draws of one coefficient that have exactly this mean and sd: half above, half below."""
    beta = fit.coefficients.copy()
    beta[:, TERM_NAMES.index(term)] = mean + sd * np.where(np.arange(N_DRAWS) % 2, 1.0, -1.0)
    return replace(fit, coefficients=beta)
