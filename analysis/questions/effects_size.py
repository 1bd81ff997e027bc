"""How the expected score and the chance of pain move with the predictor (layer: questions)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.models.pain_fit import PainFit
from analysis.models.pain_layout import N_CUTPOINTS
from analysis.numerics.day_average import chance_over_days
from analysis.numerics.intervals import central_interval
from analysis.questions.chance_interval import CHANCE_METHOD, chance_with_interval
from analysis.results import Estimate
from analysis.results_effects import EffectSize

Floats = NDArray[np.float64]

POINTS_METHOD = "median and central quantiles of the draws; scores of 5 and more count as 5"


def effect_size(
    fit: PainFit, eta: Floats, step: Floats, *, confidence_level: float, sign_known: bool = False
) -> EffectSize:
    """How the expected score and the chance move when the predictor moves by a step.

    Parameters
    ----------
    fit : PainFit
    eta : ndarray, shape (n_draws,)
        Predictor before the change.
    step : ndarray, shape (n_draws,)
        What the change adds, log-odds.
    confidence_level : float
    sign_known : bool, default False
        Whether the model allows one sign only.

    Returns
    -------
    EffectSize

    Notes
    -----
    The expected score is the sum over j = 1 .. 5 of the chance of j or more, each averaged over good and bad days:
    scores of 5 and more count as 5.
    """
    before, after = (_chances(fit, value) for value in (eta, eta + step))
    points = after.sum(axis=1) - before.sum(axis=1)
    low95, _, high95 = central_interval(points, 0.95)
    level = fit.level - 1
    return EffectSize(
        log_odds=_quantiles(fit, step, "log-odds", confidence_level),
        points=_quantiles(fit, points, "points", confidence_level),
        points_low95=float(low95),
        points_high95=float(high95),
        chance_before=_chance(fit, before[:, level], confidence_level),
        chance_after=_chance(fit, after[:, level], confidence_level),
        probability_direction=None if sign_known else float(max((step > 0).mean(), (step < 0).mean())),
    )


def _chances(fit: PainFit, eta: Floats) -> Floats:
    """Chance of 1 or more, 2 or more, ... 5 or more, shape (n_draws, 5)."""
    columns = [chance_over_days(eta - fit.cutpoints[:, j], fit.day_sd) for j in range(N_CUTPOINTS)]
    return np.column_stack(columns)


def _quantiles(fit: PainFit, draws: Floats, unit: str, confidence_level: float) -> Estimate:
    low, middle, high = central_interval(draws, confidence_level)
    return _estimate(fit, float(middle), float(low), float(high), unit, POINTS_METHOD, confidence_level)


def _chance(fit: PainFit, draws: Floats, confidence_level: float) -> Estimate:
    mean, low, high = chance_with_interval(draws, confidence_level)
    return _estimate(fit, mean, low, high, "chance", CHANCE_METHOD, confidence_level)


def _estimate(
    fit: PainFit, value: float, low: float, high: float, unit: str, method: str, confidence_level: float
) -> Estimate:
    return Estimate(
        value=value,
        low=low,
        high=high,
        confidence_level=confidence_level,
        unit=unit,
        method=method,
        n_sets=fit.n_asked,
        n_sessions=fit.n_sessions,
    )
