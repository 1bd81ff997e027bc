"""How the sides compared in the log as it stood weeks ago (layer: questions)."""

from __future__ import annotations

import datetime as dt

from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import At
from analysis.questions.sides import load_at_equal_pain, side_keys
from analysis.results_sides import LoadAtEqualPain, SideKey
from analysis.training_log import TrainingLog

WEEKS_BACK = 8
FEWEST_WEEKS_BEFORE = 3
N_DRAWS = 640
"""Enough for a median, which is all that is shown of it."""


def ratios_then(
    log: TrainingLog, fit: PainFit, *, weeks_back: int = WEEKS_BACK, at: At = "usual"
) -> dict[SideKey, float]:
    """Log ratio of the sides from the sets up to a day some weeks before the last session.

    Within one fit the ratio is the same in every week, because both sides share one course; what moved shows
    only in a fit of its own. It knows less than today's, so a small move may be nothing but that.

    Parameters
    ----------
    log : TrainingLog
        The log that was fitted.
    fit : PainFit
    weeks_back : int, default 8
    at : "usual" or Setting

    Returns
    -------
    dict
        Octaves; only where both lines were reached then. Empty where the log had less than three weeks by then.

    Raises
    ------
    FitError
        If the numerics reach no usable answer.
    """
    if fit.last_set_day is None or fit.first_set_day is None:
        return {}
    then = fit.last_set_day - dt.timedelta(weeks=weeks_back)
    if then - fit.first_set_day < dt.timedelta(weeks=FEWEST_WEEKS_BEFORE):
        return {}
    options = PainOptions(
        n_draws=N_DRAWS,
        seed=fit.options.seed,
        blanks=fit.options.blanks,
        painkiller_days=fit.options.painkiller_days,
    )
    before = fit_pain_model(log, client=fit.client, as_of=then, options=options)
    answers = {key: load_at_equal_pain(before, key, at=at) for key in side_keys(before)}
    return {
        key: answer.log2_left_over_right
        for key, answer in answers.items()
        if isinstance(answer, LoadAtEqualPain) and answer.log2_left_over_right is not None
    }
