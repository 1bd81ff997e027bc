"""Grouping factors of a cumulative-link mixed model: labels numbered, faults said (layer: models)."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from analysis.numerics.predictor import Group


@dataclass(frozen=True, slots=True, eq=False)
class GroupingFactor:
    """Rows grouped by a label, each level with one effect of its own.

    Attributes
    ----------
    labels : array_like, shape (n_rows,)
    value : array_like, shape (n_rows,), optional
        What multiplies the level's effect: a covariate makes a random slope, None an intercept. Slopes and intercepts
        of one factor are uncorrelated.
    """

    labels: ArrayLike | Sequence[Hashable]
    value: ArrayLike | None = None


def read_factor(name: str, given: Any, n: int, faults: list[str]) -> tuple[Group, tuple[Hashable, ...]]:
    """Numbered levels of one factor and their labels, sorted where they can be; faults are added to the list."""
    factor = given if isinstance(given, GroupingFactor) else GroupingFactor(given)
    labels = np.asarray(factor.labels)
    value = np.ones(n) if factor.value is None else np.asarray(factor.value, dtype=float)
    if labels.shape != (n,) or value.shape != (n,):
        faults.append(
            f"groups[{name!r}] has {labels.shape} labels; give one label (and value) for each of the {n} answers."
        )
        return Group(np.zeros(n, dtype=np.int64), np.ones(n), 1), ()
    index, found = pd.factorize(pd.Series(labels))
    if (index < 0).any():
        faults.append(
            f"groups[{name!r}] has no label in {rows_named(index < 0)}; leave those rows out or give a label."
        )
    levels = list(found)
    try:
        order = sorted(range(len(levels)), key=levels.__getitem__)
    except TypeError:
        order = list(range(len(levels)))
    rank = np.empty(len(levels), dtype=np.int64)
    rank[order] = np.arange(len(levels))
    if len(levels) < 2:
        faults.append(f"groups[{name!r}] has fewer than two levels; leave it out.")
    if not np.isfinite(value).all():
        faults.append(
            f"groups[{name!r}] has no value in {rows_named(~np.isfinite(value))}; leave those rows out or fill them in."
        )
    elif not value.any():
        faults.append(f"groups[{name!r}] has the value 0 everywhere; leave it out.")
    at = rank[np.maximum(index, 0)] if len(levels) else np.zeros(n, dtype=np.int64)
    return Group(at, value, len(levels)), tuple(levels[i] for i in order)


def refuse_same_factors(factors: Mapping[str, tuple[Group, tuple[Hashable, ...]]], faults: list[str]) -> None:
    """Add a fault for every factor that groups the rows as another does."""
    seen: dict[bytes, str] = {}
    for name, (group, _) in factors.items():
        first_seen = pd.factorize(group.index)[0]
        key = first_seen.tobytes() + group.value.tobytes()
        if key in seen:
            faults.append(
                f"groups[{name!r}] groups the rows exactly as groups[{seen[key]!r}]; leave one out."
            )
        seen.setdefault(key, name)


def rows_named(bad: NDArray[np.bool_]) -> str:
    """The rows marked, counted from 1, the first five of them by number."""
    at = np.flatnonzero(bad) + 1
    shown = ", ".join(map(str, at[:5]))
    return (
        f"row {shown}"
        if at.size == 1
        else f"rows {shown}{' and more' if at.size > 5 else ''} ({at.size} in all)"
    )
