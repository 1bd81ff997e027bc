"""What a cumulative-link mixed model is fitted to: checked, numbered, every fault said at once (layer: models)."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast, get_args

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from analysis.errors import OptionError
from analysis.models.cumulative_link_categories import estimable_categories, without_category
from analysis.models.cumulative_link_factors import read_factor, refuse_same_factors, rows_named
from analysis.numerics.links import Link
from analysis.numerics.predictor import Rows
from analysis.numerics.separation import unidentified

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_QUADRATURE_POINTS = 100


@dataclass(frozen=True, slots=True, eq=False)
class LinkModelInputs:
    """Checked inputs.

    Attributes
    ----------
    rows : Rows
        Answers recoded to `categories`, columns of X centred and divided by their standard deviation, so that no
        covariate's origin or unit can upset the search.
    centre, scale : ndarray, shape (n_coefficients,)
        What was taken off each column, and what it was divided by.
    categories : tuple of int
    merged : tuple of int
        Categories between the lowest and highest answer that lost their probability to a neighbour.
    coefficient_names, factor_names : tuple of str
    levels : tuple of tuple
        Labels of each factor.
    coefficient_sd, log_sd_mean, log_sd_sd : ndarray
        Normal priors, one entry a coefficient (as given, of the column as given) or factor; sd infinite for flat.
    """

    rows: Rows
    centre: Floats
    scale: Floats
    categories: tuple[int, ...]
    merged: tuple[int, ...]
    coefficient_names: tuple[str, ...]
    factor_names: tuple[str, ...]
    levels: tuple[tuple[Hashable, ...], ...]
    coefficient_sd: Floats
    log_sd_mean: Floats
    log_sd_sd: Floats

    @property
    def to_natural(self) -> Floats:
        """Linear map of (cutpoints, coefficients) from the centred and scaled columns to those given."""
        J = self.rows.n_cutpoints
        back = np.diag(np.concatenate([np.ones(J), 1.0 / self.scale]))
        back[:J, J:] = self.centre / self.scale
        return np.asarray(back)

    def without_category(self, place: int) -> LinkModelInputs:
        """The same without one inner category, whose probability is 0 at the maximum."""
        low, high = without_category(self.rows.low, self.rows.high, place)
        lost = self.categories[place]
        return replace(
            self,
            rows=replace(self.rows, low=low, high=high, n_cutpoints=self.rows.n_cutpoints - 1),
            categories=tuple(category for category in self.categories if category != lost),
            merged=tuple(sorted((*self.merged, lost))),
        )


def check_inputs(
    y: ArrayLike,
    X: ArrayLike | pd.DataFrame | None,
    groups: Mapping[str, Any] | None,
    *,
    link: str,
    quadrature_points: int,
    coefficient_sd: ArrayLike,
    log_sd_mean: ArrayLike,
    log_sd_sd: ArrayLike,
    coefficient_names: Sequence[str] | None,
) -> LinkModelInputs:
    """Arguments of `fit_cumulative_link_mixed`, checked; see there.

    Returns
    -------
    LinkModelInputs

    Raises
    ------
    OptionError
        Naming every fault and its mend.
    """
    faults: list[str] = []
    if link not in get_args(Link):
        faults.append(f"link is {link!r}; choose {' or '.join(map(repr, get_args(Link)))}.")
    low, high = _answers(y, faults)
    n = low.size
    matrix, names = _covariates(X, coefficient_names, n, faults)
    factors = {name: read_factor(name, given, n, faults) for name, given in (groups or {}).items()}
    refuse_same_factors(factors, faults)
    if (
        not isinstance(quadrature_points, int | np.integer)
        or not 1 <= quadrature_points <= MOST_QUADRATURE_POINTS
    ):
        faults.append(
            f"quadrature_points is {quadrature_points!r}; choose a whole number from 1 (Laplace) to "
            f"{MOST_QUADRATURE_POINTS}."
        )
    elif quadrature_points > 1 and len(factors) != 1:
        faults.append(
            f"quadrature_points is {quadrature_points} with {len(factors)} grouping factors; quadrature takes exactly "
            "one. Choose 1 (Laplace)."
        )
    sd = _one_each("coefficient_sd", coefficient_sd, len(names), "coefficient", faults, positive=True)
    log_mean = _one_each("log_sd_mean", log_sd_mean, len(factors), "grouping factor", faults, positive=False)
    log_sd = _one_each("log_sd_sd", log_sd_sd, len(factors), "grouping factor", faults, positive=True)
    if not faults:
        faults += _dependent_columns(matrix, names, np.isinf(sd))
    if faults:
        raise OptionError("\n".join(faults))
    low_at, high_at, categories = estimable_categories(low, high)
    if len(categories) < 2:
        raise OptionError(
            "y allows one category only once answers that overlap are merged, so there is no cutpoint to estimate. "
            "Add answers of another category, or say only how far the one category was seen."
        )
    between = set(range(int(low.min()), int(high.max()) + 1))
    constant = np.ptp(matrix, axis=0) == 0.0
    centre = np.where(constant, 0.0, matrix.mean(axis=0))
    scale = np.where(constant, 1.0, matrix.std(axis=0))
    rows = Rows(
        low_at,
        high_at,
        (matrix - centre) / scale,
        tuple(group for group, _ in factors.values()),
        None,
        len(categories) - 1,
        cast(Link, link),
    )
    silent = unidentified(rows, np.isinf(sd))
    if silent.any():
        which = ", ".join(repr(names[c]) for c in np.flatnonzero(silent))
        raise OptionError(
            f"No answer tells the coefficients of {which} from the rest: the rows that differ in them allow every "
            "category. Leave the columns out, or give them a prior with coefficient_sd."
        )
    return LinkModelInputs(
        rows,
        centre,
        scale,
        categories,
        tuple(sorted(between - set(categories))),
        names,
        tuple(factors),
        tuple(levels for _, levels in factors.values()),
        sd,
        log_mean,
        log_sd,
    )


def _answers(y: ArrayLike, faults: list[str]) -> tuple[Ints, Ints]:
    """Lowest and highest category of each answer; open ends become the outermost category."""
    none = np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    try:
        values = np.asarray(y, dtype=float)
    except (TypeError, ValueError):
        faults.append("y holds something that is not a number; give whole numbers, or pairs low, high.")
        return none
    if values.ndim == 1:
        values = np.column_stack([values, values])
    if values.ndim != 2 or values.shape[1] != 2 or not values.shape[0]:
        faults.append(f"y has shape {np.shape(y)}; give (n_rows,) scores or (n_rows, 2) pairs low, high.")
        return none
    finite = np.isfinite(values)
    bad = np.isnan(values).any(axis=1) | (finite & (values != np.round(np.where(finite, values, 0.0)))).any(
        axis=1
    )
    bad |= (values[:, 0] == np.inf) | (values[:, 1] == -np.inf)
    if bad.any():
        faults.append(
            f"y is missing or not whole in {rows_named(bad)}; leave those rows out, or give the interval low, "
            "high that the answer allows (-inf and inf for an open end)."
        )
    elif (values[:, 0] > values[:, 1]).any():
        faults.append(f"y has low above high in {rows_named(values[:, 0] > values[:, 1])}; turn them round.")
    elif not finite.any():
        faults.append("y has no finite end; give at least two different scores.")
    else:
        lowest, highest = values[finite].min(), values[finite].max()
        return tuple(np.clip(values, lowest, highest).astype(np.int64).T)  # type: ignore[return-value]
    return np.zeros(len(values), dtype=np.int64), np.zeros(len(values), dtype=np.int64)


def _covariates(
    X: ArrayLike | pd.DataFrame | None, names: Sequence[str] | None, n: int, faults: list[str]
) -> tuple[Floats, tuple[str, ...]]:
    if X is None:
        return np.zeros((n, 0)), ()
    if isinstance(X, pd.DataFrame) and names is None:
        names = [str(column) for column in X.columns]
    try:
        matrix = np.asarray(X, dtype=float)
    except (TypeError, ValueError):
        faults.append("X holds something that is not a number; give one numeric column a covariate.")
        return np.zeros((n, 0)), ()
    if matrix.ndim == 1:
        matrix = matrix[:, None]
    if matrix.ndim != 2 or matrix.shape[0] != n:
        faults.append(f"X has shape {np.shape(X)}; give one row for each of the {n} answers.")
        return np.zeros((n, 0)), ()
    if names is None:
        names = [f"x{c + 1}" for c in range(matrix.shape[1])]
    if len(names) != matrix.shape[1] or len(set(names)) != len(names):
        faults.append(
            f"coefficient_names are {list(names)}; give {matrix.shape[1]} different names, one a column."
        )
    bad = ~np.isfinite(matrix).all(axis=1)
    if bad.any():
        faults.append(f"X is missing or infinite in {rows_named(bad)}; leave those rows out or fill them in.")
        matrix = np.where(np.isfinite(matrix), matrix, 0.0)
    return matrix, tuple(names)


def _one_each(what: str, given: ArrayLike, n: int, of: str, faults: list[str], *, positive: bool) -> Floats:
    values = np.asarray(given, dtype=float)
    if values.ndim > 1 or values.size not in (1, n):
        faults.append(f"{what} has {values.size} entries; give one number, or one for each {of} ({n}).")
        return np.ones(n)
    if (
        np.isnan(values).any()
        or (positive and (values <= 0).any())
        or (not positive and np.isinf(values).any())
    ):
        kind = "above 0 (infinite for a flat prior)" if positive else "that are finite"
        faults.append(f"{what} is {values.tolist()}; give numbers {kind}.")
        return np.ones(n)
    return np.array(np.broadcast_to(values.ravel() if values.size == n else values.ravel()[:1], n))


def _dependent_columns(matrix: Floats, names: tuple[str, ...], flat: NDArray[np.bool_]) -> list[str]:
    """Columns that earlier ones and the cutpoints already make up, where no prior tells them apart."""
    kept = np.ones((len(matrix), 1))
    faults = []
    for c in np.flatnonzero(flat):
        column = matrix[:, c]
        rest = column - kept @ np.linalg.lstsq(kept, column, rcond=None)[0]
        if np.abs(rest).max() <= 1e-9 * max(float(np.abs(column).max()), 1e-300):
            why = (
                "constant, which the cutpoints already are"
                if np.ptp(column) == 0
                else "a sum of the columns before it"
            )
            faults.append(
                f"Column {names[c]!r} of X is {why}; leave it out, or give it a prior with coefficient_sd."
            )
        else:
            kept = np.column_stack([kept, column])
    return faults
