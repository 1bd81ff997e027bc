"""How likely a set at one load is to hurt (layer: questions)."""

from __future__ import annotations

import numpy as np

from analysis.errors import OptionError
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, chance_draws
from analysis.questions.chance_interval import CHANCE_METHOD, chance_with_interval
from analysis.questions.line_key import checked_level, checked_share, find_line
from analysis.questions.line_reasons import withheld_answer
from analysis.questions.pain_line import FEWEST_ASKED
from analysis.results import Estimate, Withheld


def chance_of_pain(
    fit: PainFit,
    *,
    exercise: str,
    variant: str,
    side: str,
    works: str | None = None,
    load_kg: float,
    level: int | None = None,
    confidence_level: float = 0.8,
    at: At = "usual",
) -> Estimate | Withheld:
    """Chance that a set at a load hurts at the level or more, marginal over good and bad days.

    Parameters
    ----------
    fit : PainFit
    exercise, variant, side : str
    works : str, optional
    load_kg : float
        Above 0, kg.
    level : int, optional
        1 to 5; the client's own if None.
    confidence_level : float, default 0.8
    at : "usual" or Setting

    Returns
    -------
    Estimate
        Mean and quantiles of the draws (`chance_with_interval`), dimensionless.
    Withheld
        If fewer than 6 sets were asked, or the sets have no load term.

    Raises
    ------
    OptionError
        If an argument is outside what is allowed.
    """
    if not (np.isfinite(load_kg) and load_kg > 0):
        raise OptionError(f"load_kg is {load_kg!r}; give a load above 0 kg.")
    level = checked_level(fit, level)
    confidence_level = checked_share("confidence_level", confidence_level)
    key = find_line(fit, exercise=exercise, variant=variant, side=side, works=works)
    tried = fit.tried[key]
    if tried.n_asked < FEWEST_ASKED:
        return withheld_answer(tried, FEWEST_ASKED)
    if tried.heaviest_kg is None or fit.design is None:
        return Withheld(
            reason="These sets have no load in kilograms.",
            remedy="Log the load, or the bodyweight for bodyweight sets.",
        )
    draws = chance_draws(fit, fit.design, key, np.array([load_kg]), level=level, at=at)[:, 0]
    mean, low, high = chance_with_interval(draws, confidence_level)
    return Estimate(
        value=mean,
        low=low,
        high=high,
        confidence_level=confidence_level,
        unit="chance",
        method=CHANCE_METHOD,
        n_sets=tried.n_asked,
        n_sessions=tried.n_sessions,
    )
