"""What the proposals of one client are made from, and what the model says of their lines (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from analysis.client_settings import ClientSettings
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import chance_draws, filled_setting, line_draws
from analysis.questions.chance_interval import CHANCE_METHOD, chance_with_interval
from analysis.questions.line_reasons import withheld_answer
from analysis.questions.mornings import Morning
from analysis.questions.pain_line import FEWEST_ASKED, FEWEST_LOADS
from analysis.questions.proposal_history import Exposure
from analysis.questions.proposal_loads import Risk
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Estimate, LineKey, Setting, Tried, Withheld
from analysis.results_proposal import LimitInForce
from analysis.training_log import TrainingLog

CONFIDENCE_LEVEL = 0.8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """Everything the proposals of one client are made from."""

    log: TrainingLog
    fit: PainFit
    answered: pd.DataFrame
    days: dict[LineKey, tuple[Exposure, ...]]
    trained: dict[tuple[str, str], tuple[dt.date, ...]]
    limits: pd.DataFrame
    client: ClientSettings
    mornings: Mapping[dt.date, Morning]
    flares: tuple[dt.date, ...]
    settings: ProposalSettings
    day: dt.date


def line_risk(case: Case, key: LineKey, at: Setting) -> Risk:
    """What the model says of the loads of a line, done in a given way."""
    fit, design = case.fit, case.fit.design
    assert design is not None

    def mean_chance(load_kg: float) -> float:
        return float(chance_draws(fit, design, key, np.array([load_kg]), level=fit.level, at=at).mean())

    return Risk(
        log2_line=line_draws(fit, design, key, level=fit.level, chance=case.settings.may_hurt, at=at),
        mean_chance=mean_chance,
    )


def allowed_setting(case: Case, key: LineKey, limit: LimitInForce | None) -> Setting:
    """The usual way of doing it, at the furthest stop that is allowed."""
    design = case.fit.design
    assert design is not None
    usual = filled_setting(design, key, "usual")
    ranks = design.range_ranks.get(key.exercise, {})
    allowed = None if limit is None else limit.max_range_stop
    if allowed in ranks and usual.range_stop in ranks and ranks[usual.range_stop] > ranks[allowed]:
        return filled_setting(design, key, Setting(range_stop=allowed))
    return usual


def predicted_chance(
    case: Case, key: LineKey, tried: Tried, load_kg: float | None, at: Setting
) -> Estimate | Withheld:
    """Chance of pain at a load, or of a set without one, with its 80 % interval."""
    fit = case.fit
    assert fit.design is not None
    if tried.n_asked < FEWEST_ASKED or (tried.loads and len(tried.loads) < FEWEST_LOADS):
        return withheld_answer(tried, FEWEST_ASKED)
    if load_kg is None and tried.heaviest_kg is not None:
        return Withheld(reason="No load is proposed.", remedy="")
    load = np.array([np.nan if load_kg is None else load_kg])
    draws = chance_draws(fit, fit.design, key, load, level=fit.level, at=at)[:, 0]
    mean, low, high = chance_with_interval(draws, CONFIDENCE_LEVEL)
    return Estimate(
        value=mean,
        low=low,
        high=high,
        confidence_level=CONFIDENCE_LEVEL,
        unit="chance",
        method=CHANCE_METHOD,
        n_sets=tried.n_asked,
        n_sessions=tried.n_sessions,
    )
