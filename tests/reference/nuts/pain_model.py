"""The pain model in the terms of numpyro, written apart from the project's numerics; see `make.py`."""

from __future__ import annotations

import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from jax.nn import log_sigmoid
from jax.scipy.special import logsumexp

from analysis.design import Design
from analysis.design_terms import TERMS
from analysis.models import pain_layout as constants


def pain_model(design: Design) -> None:
    """Prior, walk over weeks and ordinal likelihood; every offset is its sd times a standard normal."""
    weeks_of_data = design.weeks_of_data
    years = min(weeks_of_data / 52.0, 1.0)
    first_mean, first_sd = constants.FIRST_CUTPOINT
    widened = np.sqrt(first_sd**2 + (constants.CUTPOINT_SD_PER_WEEK * weeks_of_data) ** 2)
    first = numpyro.sample("first_cutpoint", dist.Normal(first_mean, widened))
    gaps = numpyro.sample("log_gaps", dist.Normal(*constants.LOG_GAP).expand([constants.N_CUTPOINTS - 1]))
    cutpoints = numpyro.deterministic(
        "cutpoints", first + jnp.concatenate([jnp.zeros(1), jnp.cumsum(jnp.exp(gaps))])
    )

    def spread(name: str) -> jnp.ndarray:
        return jnp.exp(numpyro.sample(f"log_sd_{name}", dist.Normal(*constants.LOG_SD[name])))

    def normals(name: str, size: int) -> jnp.ndarray:
        return numpyro.sample(f"z_{name}", dist.Normal(0.0, 1.0).expand([size]))

    n_exercises = len(design.exercises)
    log_slope = numpyro.sample("log_slope", dist.Normal(*constants.LOG_SLOPE))
    slopes = numpyro.deterministic(
        "slopes", jnp.exp(log_slope + spread("slope") * normals("slope", n_exercises))
    )
    prior_sd = jnp.array([term.prior_sd for term in TERMS])
    coefficients = numpyro.deterministic("coefficients", prior_sd * normals("coefficients", len(TERMS)))
    drifts = constants.TREND_SD * normals("trend", 1) + constants.EXERCISE_TREND_SD * normals(
        "exercise_trend", n_exercises
    )
    log_sd_exercise = numpyro.sample(
        "log_sd_exercise", dist.Normal(np.log(1.2 + 0.8 * years), 0.5 + 0.1 * years)
    )
    exercise = jnp.exp(log_sd_exercise) * normals("exercise", n_exercises)
    side = spread("exercise_side") * normals("exercise_side", len(design.exercise_sides))
    side_exercise = np.array([design.exercises.index(name) for name, _, _ in design.exercise_sides])
    intercepts = numpyro.deterministic("intercepts", exercise[side_exercise] + side)
    day_sd = numpyro.deterministic("day_sd", spread("session"))
    session = day_sd * normals("session", design.n_sessions)
    eta = (
        slopes[design.exercise] * design.ell
        + design.X @ coefficients
        + drifts[design.exercise] * design.week_time
        + intercepts[design.exercise_side]
        + session[design.session]
    )
    if design.variants:
        variants = numpyro.deterministic(
            "variants", spread("variant") * normals("variant", len(design.variants))
        )
        eta = eta + jnp.where(design.variant >= 0, variants[np.maximum(design.variant, 0)], 0.0)
    if design.weeks:
        # from the day of the last session backwards: each step's variance grows with the time between middles
        # of weeks; block -k holds the days 7(k-1)+1 .. 7k before that day
        back_from_now = np.diff([0.0, *(-week - 3.0 / 7.0 for week in reversed(design.weeks))])
        steps = jnp.sqrt(back_from_now) * normals("week", len(design.weeks))
        walk = spread("week") * jnp.cumsum(steps)[::-1]
        eta = eta + jnp.where(design.week >= 0, walk[np.maximum(design.week, 0)], 0.0)
    numpyro.factor("answers", log_likelihood(cutpoints, eta, design.low, design.high))


def log_likelihood(
    cutpoints: jnp.ndarray, eta: jnp.ndarray, low: np.ndarray, high: np.ndarray
) -> jnp.ndarray:
    """Sum of log P(low <= score <= high), each score's log probability taken on its own."""
    by_score = jnp.stack([log_score(cutpoints, eta, score) for score in range(len(cutpoints) + 1)], axis=1)
    scores = np.arange(len(cutpoints) + 1)
    allowed = (scores >= low[:, None]) & (scores <= high[:, None])
    return logsumexp(jnp.where(allowed, by_score, -jnp.inf), axis=1).sum()


def log_score(cutpoints: jnp.ndarray, eta: jnp.ndarray, score: int) -> jnp.ndarray:
    """log P(y = score), with logit P(y <= k) = c_{k+1} - eta."""
    last = len(cutpoints)
    if score == 0:
        return log_sigmoid(cutpoints[0] - eta)
    if score == last:
        return log_sigmoid(eta - cutpoints[last - 1])
    upper, lower = cutpoints[score] - eta, cutpoints[score - 1] - eta
    # log(s(upper) - s(lower)) = log s(upper) + log(1 - s(lower) / s(upper))
    return log_sigmoid(upper) + jnp.log1p(-jnp.exp(log_sigmoid(lower) - log_sigmoid(upper)))
