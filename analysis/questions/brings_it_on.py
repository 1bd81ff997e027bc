"""Everything about what brings pain on at one line, and for all of a client (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from analysis.models.linear_companion import LinearCompanion, fit_linear_companion
from analysis.models.pain_fit import PainFit
from analysis.observations import observations
from analysis.questions.effects import effects, load_effect, variant_effects
from analysis.questions.effects_counts import compensation_counts, described_pain, load_choice, rest_counts
from analysis.questions.effects_usual import usual_set
from analysis.questions.load_by_range import load_by_range, sets_of_key
from analysis.questions.range_test import range_test
from analysis.results import LineKey, Withheld
from analysis.results_effects import BringsItOn, Effect
from analysis.training_log import TrainingLog

CONFIDENCE_LEVEL = 0.8
COIN_SEED = 100
"""The coin of a line's test has this seed plus the line's position."""
NOTHING_ASKED = Withheld(
    reason="No set with a pain answer that counts.",
    remedy="Log the worst joint pain of each set, 0 to 10; answers on painkiller days are left out.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientEffects:
    """Effects of a client: all of them at one line, load and variants of every other exercise at its own.

    Attributes
    ----------
    leading : BringsItOn
        At the line with the most painful sets, of those the one with the most asked.
    others : tuple of Effect
    companion : LinearCompanion or Withheld
        The straight line through the raw scores, for comparison.
    """

    leading: BringsItOn
    others: tuple[Effect, ...]
    companion: LinearCompanion | Withheld

    @property
    def effects(self) -> tuple[Effect, ...]:
        """All effects, those at the leading line first."""
        return (*self.leading.effects, *self.others)


def in_the_model(fit: PainFit, log: TrainingLog) -> pd.DataFrame:
    """The answers that the model has seen: those on painkiller days only where it was told to keep them.

    Parameters
    ----------
    fit : PainFit
    log : TrainingLog
        The one it was fitted to.

    Returns
    -------
    DataFrame
        Rows of `analysis.observations.observations`.
    """
    observed = observations(log, fit.client, as_of=fit.as_of)
    if fit.options.painkiller_days:
        return observed
    return observed[~observed["painkiller"].to_numpy(bool)].reset_index(drop=True)


def leading_key(fit: PainFit, keys: tuple[LineKey, ...] | None = None) -> LineKey:
    """The line with the most painful sets; of those the one with the most asked, then the first.

    Parameters
    ----------
    fit : PainFit
        Of which something was asked.
    keys : tuple of LineKey, optional
        Among these; all if None.

    Returns
    -------
    LineKey
    """
    return max(keys or tuple(fit.tried), key=lambda key: (fit.tried[key].n_painful, fit.tried[key].n_asked))


def brings_it_on(
    fit: PainFit, log: TrainingLog, key: LineKey, *, observed: pd.DataFrame | None = None
) -> BringsItOn:
    """What brings pain on at the usual set of one line.

    Parameters
    ----------
    fit : PainFit
    log : TrainingLog
        The one it was fitted to.
    key : LineKey
        One that was asked.
    observed : DataFrame, optional
        `in_the_model`, where it is at hand.

    Returns
    -------
    BringsItOn
    """
    observed = in_the_model(fit, log) if observed is None else observed
    mine = sets_of_key(observed, key)
    return BringsItOn(
        key=key,
        effects=effects(fit, observed, key),
        compensation=compensation_counts(mine),
        rest=rest_counts(mine),
        described=described_pain(mine),
        grid=load_by_range(observed, key, log.ranges),
        test=range_test(
            log, observed, fit.client, key, as_of=fit.as_of, seed=COIN_SEED + list(fit.tried).index(key)
        ),
        choice=load_choice(mine),
    )


def client_effects(fit: PainFit, log: TrainingLog) -> ClientEffects | Withheld:
    """What brings pain on, for one client.

    Parameters
    ----------
    fit : PainFit
    log : TrainingLog
        The one it was fitted to.

    Returns
    -------
    ClientEffects
    Withheld
        Where nothing was asked.
    """
    if fit.design is None or not fit.tried:
        return NOTHING_ASKED
    observed = in_the_model(fit, log)
    first = leading_key(fit)
    leading = brings_it_on(fit, log, first, observed=observed)
    others: list[Effect] = []
    for exercise in dict.fromkeys(key.exercise for key in fit.tried):
        if exercise == first.exercise:
            continue
        key = leading_key(fit, tuple(one for one in fit.tried if one.exercise == exercise))
        usual = usual_set(fit, observed, key)
        if usual.load_kg is not None:
            others.append(load_effect(fit, usual, confidence_level=CONFIDENCE_LEVEL))
        others += variant_effects(fit, usual, confidence_level=CONFIDENCE_LEVEL)
    companion = fit_linear_companion(
        log,
        client=fit.client,
        as_of=fit.as_of,
        confidence_level=CONFIDENCE_LEVEL,
        painkiller_days=fit.options.painkiller_days,
    )
    return ClientEffects(leading=leading, others=tuple(others), companion=companion)
