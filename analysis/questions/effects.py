"""What brings pain on: each change of the usual set, in points and in chance (layer: questions)."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.design_terms import TERMS
from analysis.models.pain_fit import PainFit
from analysis.models.pain_layout import LOG_SD, LOG_SLOPE
from analysis.questions.effects_changes import changes
from analysis.questions.effects_size import effect_size
from analysis.questions.effects_unknown import unknown_effect, unknown_load, unknown_variant
from analysis.questions.effects_usual import UsualSet, design_of, eta_of_usual, usual_set
from analysis.results import LineKey
from analysis.results_effects import Effect, EffectSize

SURE = 0.95
"""Probability from which a direction is known."""
KNOWN_SHARE = 0.5
"""A size is known when its posterior sd is under this share of its prior sd."""
MORE_LOAD = float(np.log2(1.1))
"""Octaves of 10 % more load."""
_, _SLOPE_SPREAD = LOG_SLOPE
_OF_EXERCISES = np.exp(LOG_SD["slope"][0] + LOG_SD["slope"][1] ** 2)
LOG_SLOPE_PRIOR_SD = float(np.hypot(_SLOPE_SPREAD, _OF_EXERCISES))
"""Prior sd of the log of an exercise's slope, its own part averaged over the prior of that part's sd."""
VARIANT_PRIOR_SD = float(np.exp(LOG_SD["variant"][0] + LOG_SD["variant"][1] ** 2))
"""Prior sd of a variant's offset from the easiest, logits, likewise."""
NO_LOAD_IN_COMMON = "No load was done in both: the comparison leans on how pain follows the load."
LOAD_NOTE = "The model takes for granted that more load does not ease pain, so only the size is estimated."


def effects(
    fit: PainFit, observed: pd.DataFrame, key: LineKey, *, confidence_level: float = 0.8
) -> tuple[Effect, ...]:
    """Effects of every change that can be asked about, at the usual set of one line.

    Parameters
    ----------
    fit : PainFit
        With a design.
    observed : DataFrame
        `analysis.observations.observations` of the client, those in the model.
    key : LineKey
        One that was asked.
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of Effect
        Known ones first, from most to least points; then those not known yet.
    """
    usual = usual_set(fit, observed, key)
    found = [
        *([load_effect(fit, usual, confidence_level=confidence_level)] if usual.load_kg else []),
        *term_effects(fit, usual, confidence_level=confidence_level),
        *variant_effects(fit, usual, confidence_level=confidence_level),
    ]
    return tuple(sorted(found, key=_known_first))


def _known_first(effect: Effect) -> tuple[bool, float]:
    size = effect.answer
    return (False, -size.points.value) if isinstance(size, EffectSize) else (True, 0.0)


def load_effect(fit: PainFit, usual: UsualSet, *, confidence_level: float) -> Effect:
    """What goes with 10 % more load, by the exercise's own slope.

    Parameters
    ----------
    fit : PainFit
    usual : UsualSet
        With a load.
    confidence_level : float

    Returns
    -------
    Effect
    """
    assert usual.load_kg is not None
    slope = fit.slopes[:, design_of(fit).exercises.index(usual.key.exercise)]
    known = np.log(slope).std() < KNOWN_SHARE * LOG_SLOPE_PRIOR_SD
    step = slope * MORE_LOAD
    return Effect(
        term="load",
        per="10 %",
        key=usual.key,
        before=usual.load_kg,
        after=1.1 * usual.load_kg,
        load_kg=usual.load_kg,
        answer=effect_size(fit, usual.eta, step, confidence_level=confidence_level, sign_known=True)
        if known
        else unknown_load(),
        note=LOAD_NOTE if known else None,
    )


def term_effects(fit: PainFit, usual: UsualSet, *, confidence_level: float) -> list[Effect]:
    """What goes with a change of each covariate that belongs to the exercise.

    Parameters
    ----------
    fit : PainFit
    usual : UsualSet
    confidence_level : float

    Returns
    -------
    list of Effect
    """
    design = design_of(fit)
    found = []
    for change in changes(design, usual.key):
        coefficient = fit.coefficients[:, change.column]
        known = says_more_than_prior(coefficient, TERMS[change.column].prior_sd)
        found.append(
            Effect(
                term=change.term,
                per=change.per,
                key=usual.key,
                before=change.before,
                after=change.after,
                load_kg=usual.load_kg,
                answer=effect_size(
                    fit,
                    usual.eta + coefficient * change.start,
                    coefficient * change.step,
                    confidence_level=confidence_level,
                )
                if known
                else unknown_effect(design, change.term),
            )
        )
    return found


def variant_effects(fit: PainFit, usual: UsualSet, *, confidence_level: float) -> list[Effect]:
    """Each variant of the exercise against the easiest one, at the usual load.

    Parameters
    ----------
    fit : PainFit
    usual : UsualSet
    confidence_level : float

    Returns
    -------
    list of Effect
    """
    design, exercise = design_of(fit), usual.key.exercise
    names = list(dict.fromkeys(key.variant for key in fit.tried if key.exercise == exercise))
    easiest = next((name for name in names if (exercise, name) not in design.variants), None)
    if easiest is None:
        return []
    base_key = _of_variant(usual.key, easiest)
    base = eta_of_usual(fit, design, base_key, usual.load_kg)
    found = []
    for name in names:
        if name == easiest:
            continue
        comparable = ((exercise, name) in design.centre_log2_kg) == (
            (exercise, easiest) in design.centre_log2_kg
        )
        step = eta_of_usual(fit, design, _of_variant(usual.key, name), usual.load_kg) - base
        known = comparable and says_more_than_prior(step, VARIANT_PRIOR_SD)
        note = None if _loads_overlap(fit, exercise, name, easiest) else NO_LOAD_IN_COMMON
        n_asked = sum(seen.n_asked for one, seen in fit.tried.items() if _is(one, exercise, name))
        found.append(
            Effect(
                term="variant",
                per=f"instead of {easiest}",
                key=base_key,
                before=easiest,
                after=name,
                load_kg=usual.load_kg,
                answer=effect_size(fit, base, step, confidence_level=confidence_level)
                if known
                else unknown_variant(n_asked, comparable=comparable, easiest=easiest),
                note=note,
            )
        )
    return found


def says_more_than_prior(step: NDArray[np.float64], prior_sd: float) -> bool:
    """Whether the data tell of a change: its size is known to half of what was assumed, or its direction is sure.

    Near 0 of 10 the size stays open in log-odds, for a variant that never hurt may be a little easier or very much
    so; in points it is bounded. Such a change is shown once its direction is sure.

    Parameters
    ----------
    step : ndarray, shape (n_draws,)
        What the change adds, in any unit of log-odds.
    prior_sd : float
        Of the same quantity before any data.

    Returns
    -------
    bool
    """
    return bool(step.std() < KNOWN_SHARE * prior_sd) or max((step > 0).mean(), (step < 0).mean()) >= SURE


def _is(key: LineKey, exercise: str, variant: str) -> bool:
    return (key.exercise, key.variant) == (exercise, variant)


def _of_variant(key: LineKey, variant: str) -> LineKey:
    return LineKey(exercise=key.exercise, variant=variant, side=key.side, works=key.works)


def _loads_overlap(fit: PainFit, exercise: str, one: str, other: str) -> bool:
    """Whether the loads tried of two variants share a stretch, any side; true where neither has a load."""
    first, second = (
        [load.load_kg for key, seen in fit.tried.items() if _is(key, exercise, name) for load in seen.loads]
        for name in (one, other)
    )
    if not first or not second:
        return not first and not second
    return min(first) <= max(second) and min(second) <= max(first)
