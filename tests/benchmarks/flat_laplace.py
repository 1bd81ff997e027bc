"""The numerics under `fit_cumulative_link_mixed` alone: estimates, log-likelihood and curvature, flat priors."""

from __future__ import annotations

import numpy as np
import pandas as pd
from simulated import FACTORS, fixed_names

from analysis.numerics.cumulative_link import gaps_from_cutpoints
from analysis.numerics.laplace import laplace_point
from analysis.numerics.optimise import LaplaceFit, fit_laplace
from analysis.numerics.predictor import Group, Predictor, Rows
from analysis.numerics.prior import Prior, SdBlock

START_LOG_SD, START_VARIANCE = -0.5, 0.1
"""Of each log sd, for the first step of the search."""


def flat_laplace(rows: pd.DataFrame) -> LaplaceFit:
    """Three intercepts integrated out; cutpoints, coefficients and log sds at their maximum.

    The search starts at the estimates of the model without the intercepts, which Newton's method finds in a few
    steps, and stops at a gradient of 1e-3, where the log-likelihood is right to about 1e-5.
    """
    seen, score = np.unique(rows["pain"], return_inverse=True)
    J = seen.size - 1
    X = rows[fixed_names()].to_numpy(float)
    X = (X - X.mean(0)) / X.std(0)
    groups = []
    for name in FACTORS:
        levels, index = np.unique(rows[name], return_inverse=True)
        groups.append(Group(index, np.ones(len(rows)), levels.size))
    predictor = Predictor(Rows(score, score, X, tuple(groups), None, J))
    n_fixed = predictor.dense.stop
    below = np.cumsum(np.bincount(score))[:-1] / score.size
    start = np.zeros(predictor.size)
    start[:J] = gaps_from_cutpoints(np.log(below / (1 - below)))
    alone = laplace_point(
        Predictor(Rows(score, score, X, (), None, J)),
        Prior(np.zeros(n_fixed), np.full(n_fixed, np.inf), ()),
        start[:n_fixed],
        np.zeros(0),
        np.ones(n_fixed, dtype=bool),
    )
    start[:n_fixed] = alone.theta
    blocks = tuple(SdBlock(predictor.group_slice(k), None, 0.0, np.inf) for k in range(len(groups)))
    return fit_laplace(
        predictor,
        Prior(np.zeros(predictor.size), np.full(predictor.size, np.inf), blocks),
        start=start,
        phi_start=np.full(len(groups), START_LOG_SD),
        latent=np.arange(predictor.size) >= n_fixed,
        outer_scale=np.concatenate([np.diag(alone.S), np.full(len(groups), START_VARIANCE)]),
    )
