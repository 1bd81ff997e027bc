"""The usual set of a line: its load and its predictor (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import median_low

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.design import Design
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import offset_draws
from analysis.results import LineKey

Floats = NDArray[np.float64]

RECENT_DAYS = 21
"""Loads of the last three weeks are the usual ones."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UsualSet:
    """The predictor of the usual set of one line.

    Attributes
    ----------
    key : LineKey
    load_kg : float or None
        The usual load: the middle one of the last three weeks.
    eta : ndarray, shape (n_draws,)
        Predictor of that set, now, on a usual day.
    """

    key: LineKey
    load_kg: float | None
    eta: Floats


def usual_load_kg(observed: pd.DataFrame, key: LineKey) -> float | None:
    """The usual load of a line: the middle one of the last three weeks, of all weeks where those have none.

    Parameters
    ----------
    observed : DataFrame
        `analysis.observations.observations`.
    key : LineKey

    Returns
    -------
    float or None
        A load that was lifted, the lower of two middle ones; None without a load term.
    """
    mine = observed[
        (observed["exercise"] == key.exercise)
        & (observed["variant"] == key.variant)
        & (observed["asked_side"] == key.side)
        & (observed["works"] == key.works)
        & observed["load_term_kg"].notna()
    ]
    recent = mine[mine["days_back"] < RECENT_DAYS]
    loads = (recent if len(recent) else mine)["load_term_kg"].tolist()
    return float(median_low(loads)) if loads else None


def usual_set(fit: PainFit, observed: pd.DataFrame, key: LineKey) -> UsualSet:
    """The usual set of a line.

    Parameters
    ----------
    fit : PainFit
    observed : DataFrame
    key : LineKey

    Returns
    -------
    UsualSet
    """
    load_kg = usual_load_kg(observed, key)
    return UsualSet(key=key, load_kg=load_kg, eta=eta_of_usual(fit, design_of(fit), key, load_kg))


def design_of(fit: PainFit) -> Design:
    """The design of a fit of which something was asked."""
    assert fit.design is not None
    return fit.design


def eta_of_usual(fit: PainFit, design: Design, key: LineKey, load_kg: float | None) -> Floats:
    """Predictor of the usual set of a line at a load.

    Parameters
    ----------
    fit : PainFit
    design : Design
    key : LineKey
    load_kg : float or None
        None for sets without a load term.

    Returns
    -------
    ndarray, shape (n_draws,)
        Logit scale.
    """
    eta = offset_draws(fit, design, key, "usual")
    centre = design.centre_log2_kg.get((key.exercise, key.variant))
    if load_kg is not None and centre is not None:
        slope = fit.slopes[:, design.exercises.index(key.exercise)]
        eta = eta + slope * (np.log2(load_kg) - centre)
    return np.asarray(eta)
