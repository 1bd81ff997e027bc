"""Am I better, has it moved? Facts then and now, the lines, one fixed set week by week (layer: questions)."""

from __future__ import annotations

import numpy as np
import pandas as pd

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At
from analysis.observations import observations
from analysis.questions.line_change import line_changes
from analysis.questions.mornings import mornings
from analysis.questions.pain_trend import pain_trend
from analysis.questions.trend_facts import line_facts, mornings_then_now, tasks_then_now
from analysis.questions.trend_tests import rating_std_error, series_of_tests
from analysis.results import LineKey, Withheld
from analysis.results_trend import PainTrend, TrendReview
from analysis.training_log import TrainingLog

KEPT = (
    "exercise",
    "variant",
    "works",
    "asked_side",
    "session_key",
    "date",
    "week",
    "pain_low",
    "censored",
    "hurt",
    "test_set",
)


def trend(log: TrainingLog, fit: PainFit, *, at: At = "usual", confidence_level: float = 0.8) -> TrendReview:
    """Everything about time of one client.

    Parameters
    ----------
    log : TrainingLog
        The log that was fitted.
    fit : PainFit
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    TrendReview
    """
    rows = _rows(log, fit)
    tests = series_of_tests(rows, confidence_level=confidence_level)
    std_error, source = rating_std_error(tests)
    by_line = dict(iter(rows.groupby(["exercise", "variant", "works", "asked_side"], sort=False)))
    return TrendReview(
        changes=line_changes(fit, at=at, confidence_level=confidence_level),
        trend=pain_trend(fit, rows, at=at, confidence_level=confidence_level),
        lines=tuple(
            line_facts(by_line[key.exercise, key.variant, key.works, key.side], key, std_error=std_error)
            for key in fit.tried
            if (key.exercise, key.variant, key.works, key.side) in by_line
        ),
        mornings=mornings_then_now(mornings(log, fit.client, as_of=fit.as_of)),
        tasks=tasks_then_now(log, fit.client, as_of=fit.as_of),
        tests=tests,
        rating_std_error=std_error,
        rating_std_error_source=source,
    )


def line_trend(
    log: TrainingLog, fit: PainFit, key: LineKey, *, at: At = "usual", confidence_level: float = 0.8
) -> PainTrend | Withheld:
    """Pain at the usual set of one line, week by week.

    Parameters
    ----------
    log : TrainingLog
        The log that was fitted.
    fit : PainFit
    key : LineKey
        One that was asked.
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    PainTrend
    Withheld
        As `analysis.questions.pain_trend.pain_trend` says.
    """
    return pain_trend(fit, _rows(log, fit), key=key, at=at, confidence_level=confidence_level)


def _rows(log: TrainingLog, fit: PainFit) -> pd.DataFrame:
    """What the facts are counted from: the observations of the fit, loads as plain numbers."""
    observed = observations(log, fit.client, as_of=fit.as_of)
    if not fit.options.painkiller_days:
        observed = observed[~observed["painkiller"].to_numpy(bool)]
    return observed[list(KEPT)].assign(load_term_kg=observed["load_term_kg"].to_numpy(float, na_value=np.nan))
