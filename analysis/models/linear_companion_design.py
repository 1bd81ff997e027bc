"""Arrays of the linear companion: the score, load split within and between sessions, groups (layer: models)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.numerics.linear_mixed_criterion import RandomFactor

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LINE = ("exercise", "variant", "works", "asked_side")
"""Sets whose loads may be compared: exercise and variant, the side that works and the side that was asked."""
SAME_LOAD = 1e-9
"""Differences of log load up to this are rounding."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CompanionRows:
    """Rows of the companion.

    Attributes
    ----------
    pain : ndarray, shape (n,)
        Score, 0 to 10.
    within, between : ndarray, shape (n,)
        Parts of log load, see `load_parts`.
    session, line : ndarray of int, shape (n,)
    n_sets : int
        Sets, where one may have been asked on both sides.
    """

    pain: Floats
    within: Floats
    between: Floats
    session: Ints
    line: Ints
    n_sets: int

    @property
    def n_sessions(self) -> int:
        """Number of sessions."""
        return int(self.session.max(initial=-1)) + 1

    @property
    def n_lines(self) -> int:
        """Number of lines."""
        return int(self.line.max(initial=-1)) + 1


def companion_rows(observed: pd.DataFrame) -> CompanionRows:
    """Rows with a score and a load, as arrays.

    Parameters
    ----------
    observed : DataFrame
        Rows of `analysis.observations.observations`. Sets that were stopped for pain without a score, and sets
        without a load term, stay out: a straight line has no place for them.

    Returns
    -------
    CompanionRows
    """
    rows = observed[observed["load_term_kg"].notna() & ~observed["censored"].astype(bool)]
    line = rows.groupby(list(LINE), sort=False).ngroup().to_numpy(np.int64)
    session = rows.groupby("session_key", sort=False).ngroup().to_numpy(np.int64)
    within, between = load_parts(np.log(rows["load_term_kg"].to_numpy(float)), line=line, session=session)
    return CompanionRows(
        pain=rows["pain_low"].to_numpy(float),
        within=within,
        between=between,
        session=session,
        line=line,
        n_sets=len(rows[["session_key", "set"]].drop_duplicates()),
    )


def load_parts(log_load: Floats, *, line: Ints, session: Ints) -> tuple[Floats, Floats]:
    """Log load split within and between the sessions of each line.

    Parameters
    ----------
    log_load : ndarray, shape (n,), natural logarithm of kg
    line, session : ndarray of int, shape (n,)

    Returns
    -------
    within : ndarray, shape (n,)
        Load minus the mean of that line in that session.
    between : ndarray, shape (n,)
        That mean minus the mean of the line over all its rows.

    References
    ----------
    .. [1] Mundlak 1978, Econometrica 46:69-85; Neuhaus & Kalbfleisch 1998, Biometrics 54:638-645.
    """
    cells = pd.DataFrame({"line": line, "session": session, "load": log_load})
    in_session = cells.groupby(["line", "session"])["load"].transform("mean").to_numpy(float)
    in_line = cells.groupby("line")["load"].transform("mean").to_numpy(float)
    within, between = log_load - in_session, in_session - in_line
    return (
        np.where(np.abs(within) > SAME_LOAD, within, 0.0),
        np.where(np.abs(between) > SAME_LOAD, between, 0.0),
    )


def companion_groups(rows: CompanionRows) -> dict[str, RandomFactor]:
    """Random intercepts the rows can tell apart, by name: ``session`` and ``line``.

    A factor with one level is the intercept, one with a level a row is the residual, and one that groups the rows
    as another does is that other: each is left out.

    Parameters
    ----------
    rows : CompanionRows

    Returns
    -------
    dict
    """
    ones = np.ones((rows.pain.size, 1))
    groups: dict[str, RandomFactor] = {}
    if 1 < rows.n_sessions < rows.pain.size:
        groups["session"] = RandomFactor(rows.session, ones)
    pairs = len(set(zip(rows.session.tolist(), rows.line.tolist(), strict=True)))
    same = "session" in groups and pairs == rows.n_sessions == rows.n_lines
    if 1 < rows.n_lines < rows.pain.size and not same:
        groups["line"] = RandomFactor(rows.line, ones)
    return groups
