"""Means over answers with 95 % limits by resampling clients, who are the independent units."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Cell = dict[str, object]
"""Numbers of one row of a table, by column."""

N_RESAMPLES = 1000
LIMITS = (0.025, 0.975)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limited:
    """A number with the limits of its bootstrap."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Resamples:
    """How often each client is drawn in each resample.

    Attributes
    ----------
    weights : ndarray of int, shape (n_resamples, n_clients)
    """

    weights: NDArray[np.int64]

    @property
    def n_clients(self) -> int:
        """Clients of the world, whether or not they have a given kind of answer."""
        return int(self.weights.shape[1])


def resamples(n_clients: int, *, n_resamples: int = N_RESAMPLES, seed: int = 1) -> Resamples:
    """Resamples of clients with replacement.

    Parameters
    ----------
    n_clients : int
    n_resamples : int, default 1000
    seed : int, default 1

    Returns
    -------
    Resamples
    """
    rng = np.random.default_rng(seed)
    return Resamples(
        weights=rng.multinomial(n_clients, np.full(n_clients, 1.0 / n_clients), size=n_resamples)
    )


def ratio(drawn: Resamples, client: NDArray[np.int64], top: Floats, bottom: Floats | None = None) -> Limited:
    """Sum of one column over the sum of another, with percentile limits over resampled clients.

    Parameters
    ----------
    drawn : Resamples
    client : ndarray of int, shape (n_rows,)
        Client of each row, from 0.
    top, bottom : ndarray, shape (n_rows,)
        A row where either is NaN does not count; `bottom` None counts rows, which makes the ratio a mean.

    Returns
    -------
    Limited
        NaN where no row counts.
    """
    below = np.ones_like(top) if bottom is None else bottom
    counts = np.isfinite(top) & np.isfinite(below)
    n = drawn.n_clients
    tops = np.bincount(client[counts], top[counts], minlength=n)
    belows = np.bincount(client[counts], below[counts], minlength=n)
    if not counts.any():
        return Limited(value=np.nan, low=np.nan, high=np.nan)
    with np.errstate(invalid="ignore", divide="ignore"):
        again = (drawn.weights @ tops) / (drawn.weights @ belows)
    low, high = np.quantile(again[np.isfinite(again)], LIMITS)
    return Limited(value=float(tops.sum() / belows.sum()), low=float(low), high=float(high))


def limited(name: str, number: Limited) -> Cell:
    """A number and its limits under three column names."""
    return {name: number.value, f"{name}_low": number.low, f"{name}_high": number.high}
