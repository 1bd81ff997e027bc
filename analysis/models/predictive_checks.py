"""Whether the answers look like answers the fitted model would give: posterior predictive checks (layer: models).

Each answer is held against the model's prediction for that very set: its load, its setting, what hurt earlier that
day, and the session's own effect as the answers leave it. What earlier answers led to is so part of the prediction,
and a coach who answers pain with the next load does not make a good model look bad. Of one draw a count is a sum of
independent yes-or-no answers with known chances; its distribution is known and nothing is replicated at random
(Gelman, Meng & Stern 1996, Statistica Sinica 6:733-807, for the p-value).

The share of zeros over all sets is not looked at: the first cutpoint follows it whatever happens. Zeros put in at
random are not seen either: they make pain follow load less, and the model bends with them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import betainc, expit

from analysis.design import Design, trend_weeks
from analysis.models.prediction import NamedPosterior
from analysis.numerics.cumulative_link import with_open_ends
from analysis.results import Finding

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

ALARM = 0.02
"""Two-sided posterior predictive p-value below which a finding is made."""
N_USED = 64
"""Draws used, evenly spread over all."""
FEWEST_SETS = 8
HEAVIEST = 0.8
"""The heaviest sets of an exercise: at this quantile of its loads or above."""
NEWTON_STEPS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class PredictiveCheck:
    """A count of answers against its posterior predictive distribution.

    Attributes
    ----------
    code : str
        Of the finding it may lead to.
    n_sets : int
        Sets that are looked at.
    observed : int
        How many of them did it.
    expected : float
        Posterior predictive mean of `observed`.
    p_value : float
        Twice the smaller tail, at most 1.
    """

    code: str
    n_sets: int
    observed: int
    expected: float
    p_value: float


def predictive_findings(
    design: Design | None, named: NamedPosterior, level: int, seed: int
) -> tuple[Finding, ...]:
    """Findings where the answers contradict the model.

    Parameters
    ----------
    design : Design or None
        None where nothing was asked; there is then nothing to find.
    named : NamedPosterior
    level : int
        Pain that counts, 1 to 5.
    seed : int
        Of the sessions' effects.

    Returns
    -------
    tuple of Finding
    """
    if design is None:
        return ()
    doubtful = [c for c in predictive_checks(design, named, level, seed) if c.p_value < ALARM]
    return tuple(_finding(check, level) for check in doubtful)


def predictive_checks(
    design: Design, named: NamedPosterior, level: int, seed: int
) -> tuple[PredictiveCheck, ...]:
    """Zeros among the heaviest sets, high scores among sets that hurt, pain right after pain.

    Parameters
    ----------
    design : Design
    named : NamedPosterior
    level : int
        Pain that counts, 1 to 5.
    seed : int
        Of the sessions' effects.

    Returns
    -------
    tuple of PredictiveCheck
        Those with at least 8 sets to look at. Answers known only as a range are not counted.
    """
    n_draws = named.day_sd.size
    if not n_draws:
        return ()
    used = np.unique(np.linspace(0, n_draws - 1, N_USED).astype(np.int64))
    cutpoints = named.cutpoints[used]
    eta = row_predictor(design, named, used)
    rng = np.random.default_rng(seed)
    eta += session_effects(design, eta, cutpoints, named.day_sd[used], rng)[design.session]
    score, known = design.low, design.low == design.high
    hurts = expit(eta - cutpoints[:, 0])  # P(score >= 1)
    highest = cutpoints.shape[1]
    cases = (
        ("zeros_unlike_model", heaviest_sets(design), score == 0, 1.0 - hurts),
        (
            "high_scores_unlike_model",
            score >= 1,
            score == highest,
            expit(eta - cutpoints[:, -1]) / np.maximum(hurts, 1e-300),
        ),
        (
            "pain_follows_pain",
            after_pain(design, level),
            score >= level,
            expit(eta - cutpoints[:, level - 1]),
        ),
    )
    checks = (_check(code, rows & known, did, chance) for code, rows, did, chance in cases)
    return tuple(check for check in checks if check.n_sets >= FEWEST_SETS)


def row_predictor(design: Design, named: NamedPosterior, used: NDArray[np.int64]) -> Floats:
    """Predictor of each row without its session's effect, shape (n, n_used)."""
    slopes, drifts = named.slopes[used].T[design.exercise], named.drifts[used].T[design.exercise]
    eta = named.intercepts[used].T[design.exercise_side] + design.X @ named.coefficients[used].T
    eta += slopes * design.ell[:, None] + drifts * trend_weeks(design.week_time)[:, None]
    for level, offsets in ((design.week, named.week_offsets), (design.variant, named.variant_offsets)):
        own = level >= 0
        eta[own] += offsets[used].T[level[own]]
    return eta


def session_effects(
    design: Design, eta: Floats, cutpoints: Floats, day_sd: Floats, rng: np.random.Generator
) -> Floats:
    """A draw of each session's effect given all else of a draw, by the normal approximation at its mode.

    Parameters
    ----------
    design : Design
    eta : ndarray, shape (n, n_used)
        Predictor without the effect.
    cutpoints : ndarray, shape (n_used, 5)
    day_sd : ndarray, shape (n_used,)
    rng : numpy.random.Generator

    Returns
    -------
    ndarray, shape (n_sessions, n_used)
    """
    order = np.argsort(design.session, kind="stable")
    session = design.session[order]
    first = np.flatnonzero(np.diff(session, prepend=-1))
    cuts = with_open_ends(cutpoints.T)
    upper = (cuts[design.high + 1] - eta)[order]
    lower = (cuts[design.low] - eta)[order]
    precision = 1.0 / day_sd**2
    u = np.zeros((design.n_sessions, day_sd.size))
    for _ in range(NEWTON_STEPS):
        above, below = expit(u[session] - upper), expit(lower - u[session])
        gradient = np.add.reduceat(below - above, first) - precision * u
        curvature = np.add.reduceat(above * (1.0 - above) + below * (1.0 - below), first) + precision
        u = u + gradient / curvature
    return u + rng.standard_normal(u.shape) / np.sqrt(curvature)


def heaviest_sets(design: Design) -> Mask:
    """The heaviest fifth of each exercise's sets, exercises with one load apart; shape (n,)."""
    chosen = np.zeros(design.low.size, dtype=bool)
    for exercise in range(len(design.exercises)):
        rows = design.exercise == exercise
        lightest, heavy = np.quantile(design.ell[rows], [1.0 - HEAVIEST, HEAVIEST])
        if heavy > lightest:
            chosen |= rows & (design.ell >= heavy)
    return chosen


def after_pain(design: Design, level: int) -> Mask:
    """Sets whose last one of the same session, exercise and side hurt at the level; shape (n,)."""
    line = design.session * len(design.exercise_sides) + design.exercise_side
    order = np.argsort(line, kind="stable")
    same = line[order][1:] == line[order][:-1]
    chosen = np.zeros(line.size, dtype=bool)
    chosen[order[1:]] = same & (design.low[order[:-1]] >= level)
    return chosen


def count_tails(chance: Floats, observed: int) -> tuple[Floats, Floats]:
    """P(count >= observed) and P(count <= observed) for sums of independent yes-or-no answers.

    Parameters
    ----------
    chance : ndarray, shape (n_sets, n_used)
    observed : int

    Returns
    -------
    at_least, at_most : ndarray, shape (n_used,)

    Notes
    -----
    The binomial with the same mean and variance, its number of trials not rounded, stands for the Poisson-binomial
    distribution (Ehm 1991, Statistics & Probability Letters 11:7-16, for how close the two are).
    """
    mean = np.maximum(chance.sum(0), 1e-9)
    share = np.clip(1.0 - (chance * (1.0 - chance)).sum(0) / mean, 1e-9, 1.0 - 1e-12)
    trials = mean / share

    def at_least(count: int) -> Floats:
        if count <= 0:
            return np.ones_like(mean)
        possible = trials > count - 1
        return np.where(possible, betainc(count, np.where(possible, trials - count + 1.0, 1.0), share), 0.0)

    return at_least(observed), 1.0 - at_least(observed + 1)


def _check(code: str, rows: Mask, did: Mask, chance: Floats) -> PredictiveCheck:
    observed = int(did[rows].sum())
    at_least, at_most = count_tails(chance[rows], observed)
    return PredictiveCheck(
        code=code,
        n_sets=int(rows.sum()),
        observed=observed,
        expected=float(chance[rows].sum(0).mean()),
        p_value=float(min(1.0, 2.0 * min(at_least.mean(), at_most.mean()))),
    )


def _finding(check: PredictiveCheck, level: int) -> Finding:
    seen, expected = f"{check.observed} of {check.n_sets}", f"about {check.expected:.0f}"
    more = check.observed > check.expected
    if check.code == "zeros_unlike_model":
        return Finding(
            code=check.code,
            what=f"Of the heaviest sets, {seen} did not hurt at all; the model expects {expected}.",
            consequence="Pain does not follow the load as the model assumes, so the pain lines may be wrong.",
            remedy="Look at the sets themselves: what else changed with the load, and were zeros put in by habit?",
        )
    if check.code == "high_scores_unlike_model":
        return Finding(
            code=check.code,
            what=f"Of the sets that hurt, {seen} were scored 5 or more; the model expects {expected}.",
            consequence="The scores do not spread over the scale as the model assumes, so the pain lines may be wrong.",
            remedy="Ask what a 2, a 5 and an 8 mean to the client, and that scores in between are welcome.",
        )
    return Finding(
        code=check.code,
        what=f"Right after a set that hurt at {level} or more, {seen} sets hurt again; the model expects {expected}.",
        consequence="Pain comes in runs, which the model reads as many separate answers: intervals may be too narrow."
        if more
        else "Pain seldom comes twice in a row, which the model does not know: intervals may be too wide.",
        remedy="Look at the sets themselves: a run is one bad spell, not many painful sets."
        if more
        else "Look at the sets themselves: what was done after a painful one?",
    )
