"""Whether the maximum of a cumulative-link likelihood lies at infinity (layer: numerics).

The likelihood of every row rises with r and falls with l. It has no finite maximum if and only if the parameters can
move along some direction so that no r falls, no l rises and something moves: complete or quasi-complete separation
(Albert & Anderson 1984, Biometrika 71:1-10, for the logistic case; Konis 2007, Oxford thesis, for linear programming).
Effects of grouping factors do not help: they are integrated out, and the argument holds at every value of theirs.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import linalg, sparse
from scipy.optimize import linprog

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.predictor import Rows

STRICT = 1e-7
"""Movement of an end, in units of a column's standard deviation, below which it stands still: the linear program's own
feasibility tolerance is 1e-7."""


def divergent_direction(rows: Rows, free: NDArray[np.bool_]) -> Floats:
    """Direction in which flat parameters run off to infinity.

    Parameters
    ----------
    rows : Rows
        Without a load slope; groups are not looked at.
    free : ndarray of bool, shape (n_coefficients,)
        Coefficients with a flat prior; the others cannot run away.

    Returns
    -------
    ndarray, shape (J + n_coefficients,)
        Sign of infinity for each cutpoint and coefficient, 0 for what stays finite.
    """
    J = rows.n_cutpoints
    scale = np.where(free, np.maximum(rows.X.std(axis=0), 1e-300), 1.0)
    at = np.concatenate([np.zeros((1, J)), np.eye(J), np.zeros((1, J))])
    X = np.where(free, rows.X / scale, 0.0)
    upper = np.column_stack([at[rows.high + 1], -X])[rows.high < J]
    lower = np.column_stack([at[rows.low], -X])[rows.low > 0]
    ends = np.unique(np.concatenate([upper, -lower]), axis=0)  # each must not fall
    if not _moves_at_all(ends):
        return np.zeros(J + free.size)
    direction, still = _widest_direction(ends)
    loose = linalg.null_space(ends[still]) if still.any() else np.eye(J + free.size)
    held = np.concatenate([np.zeros(J, dtype=bool), ~free])
    runs = (np.abs(loose) > STRICT).any(axis=1) & ~held
    return np.where(runs, np.where(np.abs(direction) > STRICT, np.sign(direction), np.nan), 0.0)


def _moves_at_all(ends: Floats) -> bool:
    """Whether any direction in the unit box raises an end and lowers none."""
    found = linprog(
        -ends.sum(axis=0), A_ub=-ends, b_ub=np.zeros(len(ends)), bounds=(-1.0, 1.0), method="highs"
    )
    return bool(-found.fun > STRICT * len(ends))


def _widest_direction(ends: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """A direction that raises as many ends as can be raised together, and which ends stand still."""
    m, size = ends.shape
    cost = np.concatenate([np.zeros(size), -np.ones(m)])
    A = sparse.hstack([sparse.csr_array(-ends), sparse.eye_array(m)]).tocsr()
    bounds = [(None, None)] * size + [(0.0, 1.0)] * m
    found = linprog(cost, A_ub=A, b_ub=np.zeros(m), bounds=bounds, method="highs")
    return found.x[:size], found.x[size:] < 0.5
