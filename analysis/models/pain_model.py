"""Fit the pain model of one client: observations to design, Laplace, draws, record (layer: models)."""

from __future__ import annotations

import datetime as dt
import time

import numpy as np
from numpy.typing import NDArray

from analysis.client_settings import client_settings
from analysis.derive import OUTSIDE_WORK, derive_sets, last_logged_day, load_step_kg
from analysis.design import Design, build_design
from analysis.models.draws import DrawnPosterior, draw_posterior
from analysis.models.fit_findings import fit_findings
from analysis.models.pain_fit import Convergence, PainFit, PainOptions
from analysis.models.pain_layout import N_CUTPOINTS, NamedDraws, pain_layout
from analysis.models.predictive_checks import predictive_findings
from analysis.models.tried import tried_by_line, unasked_lines
from analysis.models.unasked import unasked_as_quiet
from analysis.observations import answers, side_without_score
from analysis.training_log import TrainingLog

Floats = NDArray[np.float64]


def fit_pain_model(
    log: TrainingLog, *, client: str, as_of: dt.date | None = None, options: PainOptions | None = None
) -> PainFit:
    """Posterior of the ordinal mixed model of per-set pain.

    Parameters
    ----------
    log : TrainingLog
    client : str
        Code of the client.
    as_of : date, optional
        Last day that counts, inclusive; the last logged day if None.
    options : PainOptions, optional

    Returns
    -------
    PainFit
        With no draws when nothing was asked.

    Raises
    ------
    OptionError
        If the log has no such client.
    FitError
        If the numerics reach no usable answer.

    Notes
    -----
    P(pain >= j) = logistic(eta - c_j); eta = exp(lambda + s_e) (log2 load - centre) + covariates + offsets of
    exercise, exercise-and-side, variant, session, a trend and a random walk over weeks, all with proper priors.
    """
    started = time.perf_counter()
    options = options or PainOptions()
    day = as_of or last_logged_day(log, client)
    settings = client_settings(log, client, as_of=day)
    sets = derive_sets(log, client, as_of=day)
    observed = answers(sets, settings)
    marked = observed["painkiller"].to_numpy(bool)
    if not options.painkiller_days:
        observed = observed[~marked].reset_index(drop=True)
    exercises = dict.fromkeys(sets["exercise"])
    steps = {str(e): load_step_kg(log, client, str(e), as_of=day) for e in exercises}
    tried = tried_by_line(observed, sets, steps, settings.unit)
    answered = observed
    work = sets[~sets["block"].isin(OUTSIDE_WORK)]
    if options.blanks == "quiet" and len(answered):
        counted = sets if options.painkiller_days else sets[~sets["painkiller"]]
        observed = unasked_as_quiet(answered, counted, settings)
    design: Design | None = None
    posterior = _no_draws()
    if len(observed):
        design = build_design(observed, variants=log.variants, ranges=log.ranges)
        loaded = [key for key, seen in tried.items() if seen.heaviest_kg is not None]
        posterior = draw_posterior(pain_layout(design), design, loaded, settings.pain_level, options)
    named = posterior.named
    contradictions = predictive_findings(design, NamedDraws(**named), settings.pain_level, options.seed)
    return PainFit(
        client=client,
        as_of=day,
        last_set_day=sets["date"].iloc[-1].date() if len(sets) else None,
        first_set_day=sets["date"].iloc[0].date() if len(sets) else None,
        level=settings.pain_level,
        options=options,
        n_sets=len(sets),
        n_asked=len(answered[["session_key", "set"]].drop_duplicates()),
        n_sessions=int(sets["session_key"].nunique()) if len(sets) else 0,
        share_of_zeros=float((answered["pain_high"] == 0).mean()) if len(answered) else 0.0,
        unasked_share=float(1.0 - sets["asked"].mean()) if len(sets) else 0.0,
        design=design,
        cutpoints=named["cutpoints"],
        intercepts=named["intercepts"],
        slopes=named["slopes"],
        drifts=named["drifts"],
        variant_offsets=named["variant_offsets"],
        coefficients=named["coefficients"],
        week_offsets=named["week_offsets"],
        day_sd=named["day_sd"],
        tried=tried,
        unasked=unasked_lines(
            work, tried, side_without_score(work, answered, settings), steps, settings.unit
        ),
        convergence=Convergence(
            converged=posterior.converged,
            max_gradient=posterior.max_gradient,
            acceptance=posterior.acceptance,
            max_r_hat=posterior.max_r_hat,
            min_effective_size=posterior.min_effective_size,
            min_tail_effective_size=posterior.min_tail_effective_size,
            n_draws=posterior.n_draws,
            seconds=time.perf_counter() - started,
        ),
        findings=fit_findings(
            sets, answered, n_painkiller=int(marked.sum()), options=options, converged=posterior.converged
        )
        + contradictions,
    )


def _no_draws() -> DrawnPosterior:
    """What stands for a posterior when nothing was asked: no draws of anything."""
    empty: Floats = np.zeros((0, 0))
    names = ("intercepts", "slopes", "drifts", "variant_offsets", "coefficients", "week_offsets")
    named = {name: empty.copy() for name in names}
    named |= {"cutpoints": np.zeros((0, N_CUTPOINTS)), "day_sd": np.zeros(0)}
    return DrawnPosterior(
        named=named,
        converged=True,
        max_gradient=0.0,
        acceptance=1.0,
        max_r_hat=1.0,
        min_effective_size=0.0,
        min_tail_effective_size=0.0,
        n_draws=0,
    )
