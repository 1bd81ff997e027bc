"""Whether the maximum of a cumulative-link likelihood lies at infinity (layer: numerics).

The likelihood of every row rises with r and falls with l. It has no finite maximum if and only if the parameters can
move along some direction so that no r falls, no l rises and something moves: complete or quasi-complete separation
(Albert & Anderson 1984, Biometrika 71:1-10, for the logistic case; Konis 2007, Oxford thesis, for linear programming).
Effects of grouping factors do not help: they are integrated out, and the argument holds at every value of theirs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import linalg, sparse
from scipy.optimize import linprog

from analysis.numerics.cumulative_link import (
    ETA_LIMIT,
    Floats,
    Ints,
    gaps_from_cutpoints,
    gaps_in_cutpoints,
)
from analysis.numerics.predictor import Rows

STRICT = 1e-6
"""Movement below which a parameter stands still; the linear program's own tolerance is 1e-7."""
FAR_OUT = 50.0
"""How many widest directions out the parameters of the limit are held (link's scale)."""
MOVED = 0.5
"""The widest direction moves an end by 1 or more, or not at all."""


@dataclass(frozen=True, slots=True, eq=False)
class Separation:
    """What the data leave open, and the model at the end of the road.

    Attributes
    ----------
    direction : ndarray, shape (J + n_coefficients,)
        One way to infinity, of the cutpoints and coefficients.
    loose : ndarray, shape (J + n_coefficients, n)
        Basis of all combinations without a finite maximum.
    rows : Rows
        The answers with every end open that the road takes to infinity: their likelihood is the limit.
    """

    direction: Floats
    loose: Floats
    rows: Rows

    def signs(self, to_scale: Floats) -> Floats:
        """Where each parameter runs to, on another scale.

        Parameters
        ----------
        to_scale : ndarray, shape (J + n_coefficients, J + n_coefficients)
            Linear map from the scale of the rows.

        Returns
        -------
        ndarray, shape (J + n_coefficients,)
            Sign of infinity, NaN where either is possible, 0 for what stays finite.
        """
        size = np.maximum(np.abs(to_scale).max(axis=1), 1.0)
        runs = (np.abs(to_scale @ self.loose) > STRICT * size[:, None]).any(axis=1)
        way = to_scale @ self.direction
        return np.where(runs, np.where(np.abs(way) > STRICT * size, np.sign(way), np.nan), 0.0)


def unidentified(rows: Rows, free: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Coefficients that no answer tells from other coefficients and cutpoints.

    Parameters
    ----------
    rows : Rows
        As for `separation`.
    free : ndarray of bool, shape (n_coefficients,)

    Returns
    -------
    ndarray of bool, shape (n_coefficients,)
    """
    upper, lower = _ends(rows, free)
    loose = _null_space(np.concatenate([upper[rows.high < rows.n_cutpoints], -lower[rows.low > 0]]))
    found = np.zeros(free.size, dtype=bool)
    found[free] = (np.abs(loose[rows.n_cutpoints :]) > STRICT).any(axis=1)
    return found


def _null_space(matrix: Floats) -> Floats:
    """Orthonormal basis of what a matrix sends to zero; that of its triangular factor, which is small."""
    R = linalg.qr(matrix, mode="r", check_finite=False)[0][: matrix.shape[1]]
    return np.asarray(linalg.null_space(R, rcond=np.finfo(float).eps * max(matrix.shape)))


def _ends(rows: Rows, free: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Each row's r and l as combinations of the cutpoints and free coefficients, shape (n, J + n_free)."""
    at = np.concatenate(
        [np.zeros((1, rows.n_cutpoints)), np.eye(rows.n_cutpoints), np.zeros((1, rows.n_cutpoints))]
    )
    X = rows.X[:, free]
    return np.column_stack([at[rows.high + 1], -X]), np.column_stack([at[rows.low], -X])


def separation(rows: Rows, free: NDArray[np.bool_]) -> Separation | None:
    """Whether flat parameters run off to infinity, and how.

    Parameters
    ----------
    rows : Rows
        Without a load slope, columns of X on like scales; groups are not looked at.
    free : ndarray of bool, shape (n_coefficients,)
        Coefficients with a flat prior; the others cannot run away.

    Returns
    -------
    Separation or None
        None if the maximum is finite.
    """
    J = rows.n_cutpoints
    upper, lower = _ends(rows, free)
    above, below = rows.high < J, rows.low > 0
    ends = np.unique(np.concatenate([upper[above], -lower[below]]), axis=0)  # each must not fall
    if not _moves_at_all(ends):
        return None
    way, still = _widest_direction(ends)
    basis = _null_space(ends[still]) if still.any() else np.eye(way.size)
    free_or_cut = np.concatenate([np.ones(J, dtype=bool), free])
    direction, loose = np.zeros(free_or_cut.size), np.zeros((free_or_cut.size, basis.shape[1]))
    direction[free_or_cut], loose[free_or_cut] = way, basis
    high = np.where(above & (upper @ way > MOVED), J, rows.high)
    low = np.where(below & (lower @ way < -MOVED), 0, rows.low)
    return Separation(direction, loose, replace(rows, low=low, high=high))


def pins(apart: Separation, cutpoints: Floats) -> tuple[Floats, Ints]:
    """A point far along the road, and parameters to hold there so that nothing else is loose.

    Parameters
    ----------
    apart : Separation
    cutpoints : ndarray, shape (J,)
        Anywhere sensible.

    Returns
    -------
    x : ndarray, shape (J + n_coefficients,)
        In (c_1, log gaps, coefficients); far enough out for the cutpoints of the limit to keep their order.
    held : ndarray of int, shape (n_loose,)
        Places in `x`.
    """
    J, way = cutpoints.size, apart.direction
    reach = max(float(np.abs(apart.rows.X @ way[J:]).max(initial=0.0)), float(np.abs(way[:J]).max()), 1e-300)
    far = min(FAR_OUT, 0.75 * ETA_LIMIT / reach)
    apart_by = 0.1 * np.arange(J)
    out = np.maximum.accumulate(cutpoints + far * way[:J] - apart_by) + apart_by
    x = np.concatenate([gaps_from_cutpoints(out), far * way[J:]])
    loose = apart.loose.copy()
    loose[:J] = linalg.solve_triangular(gaps_in_cutpoints(x[:J]), loose[:J], lower=True)
    order = linalg.qr(loose.T, mode="r", pivoting=True)[1]
    return x, order[: loose.shape[1]]


def _moves_at_all(ends: Floats) -> bool:
    """Whether any direction in the unit box raises an end and lowers none."""
    found = linprog(
        -ends.sum(axis=0), A_ub=-ends, b_ub=np.zeros(len(ends)), bounds=(-1.0, 1.0), method="highs"
    )
    return bool(-found.fun > STRICT)


def _widest_direction(ends: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """A direction that raises as many ends as can be raised together, and which ends stand still."""
    m, size = ends.shape
    cost = np.concatenate([np.zeros(size), -np.ones(m)])
    A = sparse.hstack([sparse.csr_array(-ends), sparse.eye_array(m)]).tocsr()
    bounds = [(None, None)] * size + [(0.0, 1.0)] * m
    found = linprog(cost, A_ub=A, b_ub=np.zeros(m), bounds=bounds, method="highs")
    return found.x[:size], found.x[size:] < MOVED
