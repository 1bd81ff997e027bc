"""The familiar linear mixed model of the raw 0-10 score, beside the ordinal model (layer: models)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.stats import t as student_t

from analysis.errors import OptionError
from analysis.models.linear_companion_design import CompanionRows, companion_groups, companion_rows
from analysis.numerics.linear_mixed import LinearMixedFit, fit_linear_mixed
from analysis.numerics.linear_mixed_criterion import NOTHING_LEFT, mixed_products, unexplained_share
from analysis.observations import observations
from analysis.results import Estimate, Finding, Withheld
from analysis.training_log import TrainingLog

Floats = NDArray[np.float64]

TEN_PERCENT = float(np.log(1.1))
"""Log load of 10 % more."""
UNIT = "points per 10 % load"
METHOD = "linear mixed model of the score (REML), t interval with Satterthwaite's degrees of freedom"
FEWEST_SETS = 6
"""As for a pain line."""
FEWEST_SESSIONS = 2
"""A spread between sessions needs two."""
FEWEST_SESSIONS_BETWEEN = 6
"""Slope and spread between sessions come from the sessions alone, so they need more of them."""
LEAST_DIFFERENCE = 0.005
"""Log load, from the mean: loads within about one percent of each other count as one, for they foretell nothing of
10 % more."""
WHOLE_SCALE = 10.0
"""Points to either side: an interval wider than this says nothing of a 0-10 score."""
MOSTLY = 0.5
"""Share of zeros from which the floor is pointed out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearCompanion:
    """How the 0-10 score follows load, in points per 10 % load.

    Attributes
    ----------
    within : Estimate or Withheld
        Change of the score with 10 % more load in the same session.
    between : Estimate or Withheld
        Change of the score with a session's mean 10 % higher than the line's usual. It mixes what load does with
        recovery over the weeks and with loads lowered because of pain.
    share_of_zeros : float
        Over the answers used. A straight line through many zeros understates the rise above the floor.
    n_sets, n_answers, n_sessions, n_lines : int
        Used; a line is exercise, variant, the side that works and the side that was asked.
    n_left_out : int
        Answers without a load or without a score.
    session_sd, line_sd : float or None
        Standard deviation, points, of sessions and of lines; None where it cannot be told from other spread.
    residual_sd : float
        Points.
    log_likelihood : float
        Restricted.
    converged : bool
    findings : tuple of Finding
    """

    within: Estimate | Withheld
    between: Estimate | Withheld
    share_of_zeros: float
    n_sets: int
    n_answers: int
    n_sessions: int
    n_lines: int
    n_left_out: int
    session_sd: float | None
    line_sd: float | None
    residual_sd: float
    log_likelihood: float
    converged: bool
    findings: tuple[Finding, ...]


def fit_linear_companion(
    log: TrainingLog,
    *,
    client: str,
    as_of: dt.date | None = None,
    confidence_level: float = 0.8,
    painkiller_days: bool = False,
) -> LinearCompanion | Withheld:
    """Linear mixed model of the raw score on load, within and between sessions.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; all days if None.
    confidence_level : float, default 0.8
        Strictly between 0 and 1.
    painkiller_days : bool, default False
        Whether sets of marked painkiller days enter.

    Returns
    -------
    LinearCompanion
    Withheld
        With fewer than 6 sets that have a score and a load, fewer than two sessions, scores that never change,
        loads that change by less than one percent, or scores that session and line explain wholly.

    Raises
    ------
    OptionError
        If the log has no such client, or the confidence level is not between 0 and 1.

    Notes
    -----
    score = b_0 + b_w (log load - session's mean) + b_b (session's mean - line's mean) + session + line + residual,
    with normal random intercepts, the means within exercise, variant and side; an answer is b log(1.1). The load
    is centred by construction, which keeps intercept and slope apart. Which engine, and why: see
    `analysis.numerics.linear_mixed`.
    """
    if not 0 < confidence_level < 1:
        raise OptionError(f"confidence_level is {confidence_level!r}; choose a number between 0 and 1.")
    observed = observations(log, client, as_of=as_of)
    if not painkiller_days:
        observed = observed[~observed["painkiller"].to_numpy(bool)].reset_index(drop=True)
    return companion_of_rows(
        companion_rows(observed), n_answers=len(observed), confidence_level=confidence_level
    )


def companion_of_rows(
    rows: CompanionRows, *, n_answers: int, confidence_level: float
) -> LinearCompanion | Withheld:
    """The companion of rows that are ready, see `fit_linear_companion`.

    Parameters
    ----------
    rows : CompanionRows
    n_answers : int
        All answers, those without a load or score included.
    confidence_level : float

    Returns
    -------
    LinearCompanion
    Withheld
    """
    too_little = _too_little(rows)
    if too_little is not None:
        return too_little
    parts = {"within": rows.within, "between": rows.between}
    withheld = {"within": _no_within(rows), "between": _no_between(rows)}
    names = [name for name, reason in withheld.items() if reason is None]
    if not names:
        return Withheld(
            reason="Each exercise was done at one load only, or in too few sessions at others.",
            remedy="Sets at a second load, in the same session or over 6 sessions, would tell.",
        )
    X = np.column_stack([np.ones(rows.pain.size), *(parts[name] for name in names)])
    groups = companion_groups(rows)
    if unexplained_share(mixed_products(rows.pain, X, tuple(groups.values()))) <= NOTHING_LEFT:
        return Withheld(
            reason="Once every session and exercise has a level of its own, no score differs from the others.",
            remedy="More sets of an exercise in a session would tell.",
        )
    fit = fit_linear_mixed(rows.pain, X, tuple(groups.values()))
    answers = {
        name: withheld[name] or _estimate(fit, 1 + names.index(name), rows, confidence_level=confidence_level)
        for name in parts
    }
    sds = {name: float(np.sqrt(cov[0, 0])) for name, cov in zip(groups, fit.effect_covariances, strict=True)}
    zeros = float((rows.pain == 0).mean())
    return LinearCompanion(
        within=answers["within"],
        between=answers["between"],
        share_of_zeros=zeros,
        n_sets=rows.n_sets,
        n_answers=rows.pain.size,
        n_sessions=rows.n_sessions,
        n_lines=rows.n_lines,
        n_left_out=n_answers - rows.pain.size,
        session_sd=sds.get("session"),
        line_sd=sds.get("line"),
        residual_sd=fit.sigma,
        log_likelihood=fit.log_likelihood,
        converged=fit.converged,
        findings=_findings(fit, tuple(groups), zeros),
    )


def _too_little(rows: CompanionRows) -> Withheld | None:
    if rows.n_sets < FEWEST_SETS:
        return Withheld(
            reason=f"{rows.n_sets} sets have both a score and a load; a straight line needs {FEWEST_SETS}.",
            remedy="Log load and pain with every set.",
        )
    if rows.n_sessions < FEWEST_SESSIONS:
        return Withheld(
            reason="All sets are of one session, so good and bad days cannot be told from load.",
            remedy="A second session would tell.",
        )
    if np.ptp(rows.pain) == 0:
        return Withheld(
            reason=f"Every score is {rows.pain[0]:.0f}, so nothing follows load.",
            remedy="Nothing to mend; the pain line still says what is known.",
        )
    return None


def _no_within(rows: CompanionRows) -> Withheld | None:
    if np.abs(rows.within).max() >= LEAST_DIFFERENCE:
        return None
    return Withheld(
        reason="No exercise was done at two loads in one session.",
        remedy="A lighter or heavier set of the same exercise in a session would tell.",
    )


def _no_between(rows: CompanionRows) -> Withheld | None:
    if np.abs(rows.between).max() < LEAST_DIFFERENCE:
        return Withheld(
            reason="The mean load of every exercise is the same in all sessions.",
            remedy="Sessions at another load would tell.",
        )
    if rows.n_sessions < FEWEST_SESSIONS_BETWEEN:
        return Withheld(
            reason=f"{rows.n_sessions} sessions; a slope between sessions needs {FEWEST_SESSIONS_BETWEEN}.",
            remedy="More sessions would tell.",
        )
    return None


def _estimate(
    fit: LinearMixedFit, column: int, rows: CompanionRows, *, confidence_level: float
) -> Estimate | Withheld:
    reach = float(student_t.ppf(0.5 + 0.5 * confidence_level, fit.degrees_of_freedom[column]))
    value, std_error = float(fit.beta[column]), float(fit.std_error[column])
    if not reach * std_error * TEN_PERCENT <= WHOLE_SCALE:
        return Withheld(
            reason="The interval of this slope is wider than the whole 0-10 scale.",
            remedy="Sets at other loads, or more sessions, would tell.",
        )
    return Estimate(
        value=value * TEN_PERCENT,
        low=(value - reach * std_error) * TEN_PERCENT,
        high=(value + reach * std_error) * TEN_PERCENT,
        confidence_level=confidence_level,
        unit=UNIT,
        method=METHOD,
        n_sets=rows.n_sets,
        n_sessions=rows.n_sessions,
    )


def _findings(fit: LinearMixedFit, groups: tuple[str, ...], share_of_zeros: float) -> tuple[Finding, ...]:
    findings = []
    if not fit.converged:
        findings.append(
            Finding(
                code="linear_not_settled",
                what="The search for the most likely spread of sessions and lines did not settle.",
                consequence="Slopes and intervals of the straight line may be off.",
                remedy="Use the pain line; report the log if you can.",
            )
        )
    for name, singular in zip(groups, fit.singular, strict=True):
        if singular:
            findings.append(
                Finding(
                    code=f"linear_{name}_sd_zero",
                    what=f"The spread between {name}s is estimated as zero.",
                    consequence="Common with few sessions; the intervals of the straight line may be too narrow.",
                    remedy="More sessions usually cure it.",
                )
            )
    if share_of_zeros >= MOSTLY:
        findings.append(
            Finding(
                code="linear_floor",
                what=f"{share_of_zeros:.0%} of the scores are 0.",
                consequence="A straight line through many zeros understates how pain rises once it starts.",
                remedy="Read the pain line, which knows the floor.",
            )
        )
    return tuple(findings)
