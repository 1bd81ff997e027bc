"""The project's own inversion, load at a chance, given the intercept and slope of a dose line instead of draws."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np

from analysis.design import Design, build_design
from analysis.models.pain_layout import NamedDraws
from analysis.models.prediction import line_draws
from analysis.observations import observations
from analysis.results import LineKey
from tests.small_logs import small_log, squat

KEY = LineKey(exercise="step-down", variant="standard", side="left", works="left")
STEP = 1e-5
"""Of the central differences, relative to each parameter."""


@cache
def design_centred_at(centre: float) -> Design:
    """A design of one exercise whose load term is centred at `centre`, on the scale of the dose."""
    log = small_log([squat(day, 1, 20.0 + day, day % 3) for day in range(6)])
    design = build_design(observations(log, "T-01"), variants=log.variants, ranges=log.ranges)
    return replace(design, centre_log2_kg=dict.fromkeys(design.centre_log2_kg, centre))


def dose_at(cutpoint: np.ndarray, slope: np.ndarray, chance: float, *, centre: float) -> np.ndarray:
    """Dose at which logit P = slope * dose - cutpoint gives the chance, without spread between days.

    Parameters
    ----------
    cutpoint, slope : ndarray, shape (n,)
        One pair a draw, for doses measured from 0.
    chance : float
    centre : float
        Dose from which the inversion measures; the answer must not depend on it.

    Returns
    -------
    ndarray, shape (n,)
    """
    design = design_centred_at(centre)
    n = len(slope)
    draws = NamedDraws(
        cutpoints=np.repeat(np.asarray(cutpoint)[:, None], 5, axis=1),
        intercepts=(np.asarray(slope) * centre)[:, None],
        slopes=np.asarray(slope)[:, None],
        drifts=np.zeros((n, 1)),
        variant_offsets=np.zeros((n, 0)),
        coefficients=np.zeros((n, design.X.shape[1])),
        week_offsets=np.zeros((n, len(design.weeks))),
        day_sd=np.zeros(n),
    )
    return line_draws(draws, design, KEY, level=2, chance=chance)


def delta_std_error(
    cutpoint: float, slope: float, covariance: np.ndarray, chance: float, *, centre: float
) -> float:
    """Standard error of `dose_at` by the delta method, its gradient by central differences of the inversion."""
    step = STEP * np.array([abs(cutpoint), abs(slope)])
    cutpoints = cutpoint + step[0] * np.array([1, -1, 0, 0])
    slopes = slope + step[1] * np.array([0, 0, 1, -1])
    at = dose_at(cutpoints, slopes, chance, centre=centre)
    gradient = np.array([at[0] - at[1], at[2] - at[3]]) / (2.0 * step)
    return float(np.sqrt(gradient @ covariance @ gradient))


def values(folder: str) -> dict:
    """What R printed for a case."""
    return json.loads((Path(__file__).parent / folder / "values.json").read_text())
