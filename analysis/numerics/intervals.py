"""Quantiles of draws and the checks that they are stable (layer: numerics).

Rank-normalised split R-hat and effective sizes follow Vehtari, Gelman, Simpson, Carpenter & Buerkner 2021,
Bayesian Analysis 16:667-718, equations 3.1 to 4.3; autocorrelations are summed by Geyer's initial monotone
sequence over the mean of all chains.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from analysis.numerics.cumulative_link import Floats, Ints


def central_interval(draws: Floats, confidence_level: float) -> Floats:
    """Low end, median and high end of the central interval.

    Parameters
    ----------
    draws : ndarray, shape (n_draws, ...)
    confidence_level : float
        Strictly between 0 and 1.

    Returns
    -------
    ndarray, shape (3, ...)
    """
    tail = 0.5 * (1.0 - confidence_level)
    return np.quantile(draws, [tail, 0.5, 1.0 - tail], axis=0)


@dataclass(frozen=True, slots=True, eq=False)
class Stability:
    """How well draws of some quantities agree between chains and how many they are worth.

    Attributes
    ----------
    r_hat : ndarray, shape (n_quantities,)
        As `rank_r_hat`.
    bulk : ndarray, shape (n_quantities,)
        Effective number of draws of the bulk.
    tail : ndarray, shape (n_quantities,)
        The smallest effective number of draws of the quantiles asked for.
    """

    r_hat: Floats
    bulk: Floats
    tail: Floats


def stability(draws: Floats, quantiles: tuple[float, ...]) -> Stability:
    """R-hat and effective sizes together, which share the ranks.

    Parameters
    ----------
    draws : ndarray, shape (n_kept, n_chains, n_quantities)
    quantiles : tuple of float
        Each strictly between 0 and 1.

    Returns
    -------
    Stability
    """
    split = _split(draws)
    ranked = _ranked(split)
    scores = _normal_scores(ranked)
    r_hat = np.maximum(_r_hat(scores), _r_hat(_normal_scores(_folded(ranked))))
    tails = [_effective_size(_below_quantile(ranked, quantile)) for quantile in quantiles]
    return Stability(r_hat, _effective_size(scores), np.min(tails, axis=0))


def rank_r_hat(draws: Floats) -> Floats:
    """Rank-normalised split R-hat, the larger of bulk and folded.

    Parameters
    ----------
    draws : ndarray, shape (n_kept, n_chains, n_quantities)

    Returns
    -------
    ndarray, shape (n_quantities,)
        Close to 1 when the chains agree.
    """
    ranked = _ranked(_split(draws))
    return np.maximum(_r_hat(_normal_scores(ranked)), _r_hat(_normal_scores(_folded(ranked))))


def effective_size(draws: Floats, quantile: float | None = None) -> Floats:
    """Effective number of draws for the bulk, or for a quantile.

    Parameters
    ----------
    draws : ndarray, shape (n_kept, n_chains, n_quantities)
    quantile : float, optional
        Strictly between 0 and 1; None asks for the bulk.

    Returns
    -------
    ndarray, shape (n_quantities,)
    """
    ranked = _ranked(_split(draws))
    return _effective_size(_normal_scores(ranked) if quantile is None else _below_quantile(ranked, quantile))


# Below, draws lie as (n_quantities, n_half_chains, n_kept // 2), so that a chain is contiguous.


@dataclass(frozen=True, slots=True, eq=False)
class _Ranked:
    """Draws with their order: `values` ascending and `order` in one row a quantity, `split` as they came."""

    split: Floats
    values: Floats
    order: Ints


def _split(draws: Floats) -> Floats:
    half = draws.shape[0] // 2
    return np.concatenate([draws[:half], draws[-half:]], axis=1).transpose(2, 1, 0).copy()


def _ranked(split: Floats) -> _Ranked:
    flat = split.reshape(split.shape[0], -1)
    order = np.argsort(flat, axis=1)
    return _Ranked(split, np.take_along_axis(flat, order, axis=1), order)


def _quantile(ranked: _Ranked, quantile: float) -> Floats:
    """Linear between order statistics, shape (n_quantities, 1)."""
    values = ranked.values
    place = quantile * (values.shape[1] - 1)
    at = min(int(place), values.shape[1] - 2)
    share = place - at
    return (values[:, at] + share * (values[:, at + 1] - values[:, at]))[:, None]


def _folded(ranked: _Ranked) -> _Ranked:
    """Distances from the median, whose order is a merge of the two halves."""
    median = _quantile(ranked, 0.5)
    distances = np.abs(ranked.values - median)
    merged = np.argsort(distances, axis=1, kind="stable")
    return _Ranked(
        np.abs(ranked.split - median[:, :, None]),
        np.take_along_axis(distances, merged, axis=1),
        np.take_along_axis(ranked.order, merged, axis=1),
    )


def _below_quantile(ranked: _Ranked, quantile: float) -> Floats:
    return (ranked.split <= _quantile(ranked, quantile)[:, :, None]).astype(float)


def _normal_scores(ranked: _Ranked) -> Floats:
    """Normal quantiles of the ranks; ties, which refused moves make, share their mean rank."""
    values = ranked.values
    starts = np.ones(values.shape, dtype=bool)
    np.not_equal(values[:, 1:], values[:, :-1], out=starts[:, 1:])
    first = np.flatnonzero(starts)
    size = np.diff(first, append=values.size)
    # mean rank, counted from 1, is (first + last) / 2 + 1 within the row: one of 2 n - 1 values
    doubled = 2 * (first % values.shape[1]) + size - 1
    scores = np.empty_like(values)
    by_rank = np.repeat(_score_table(values.shape[1])[doubled], size).reshape(values.shape)
    np.put_along_axis(scores, ranked.order, by_rank, axis=1)
    return scores.reshape(ranked.split.shape)


@lru_cache(maxsize=16)
def _score_table(n: int) -> Floats:
    """Normal score of rank 1, 1.5, 2 .. n among n."""
    return np.asarray(ndtri((0.5 * np.arange(2 * n - 1) + 0.625) / (n + 0.25)))


def _r_hat(x: Floats) -> Floats:
    n = x.shape[2]
    within = x.var(axis=2, ddof=1).mean(1)
    between = x.mean(2).var(axis=1, ddof=1)
    safe = np.where(within > 0, within, 1.0)
    return np.where(within > 0, np.sqrt((n - 1) / n + between / safe), 1.0)


def _effective_size(x: Floats) -> Floats:
    _, m, n = x.shape
    means = x.mean(2, keepdims=True)
    centred = x - means
    within = x.var(axis=2, ddof=1).mean(1)
    total = (n - 1) / n * within + means[:, :, 0].var(axis=1, ddof=1)
    total = np.where(total > 0, total, 1.0)

    def correlation(lag: int) -> Floats:
        if lag == 0:
            return np.ones(total.size)
        shared = np.einsum("qmi,qmi->q", centred[:, :, : n - lag], centred[:, :, lag:]) / (n * m)
        return np.asarray(1.0 - (within - shared) / total)

    pair_sum = np.zeros(total.size)
    smallest = np.full(total.size, np.inf)
    going = np.ones(total.size, dtype=bool)
    for lag in range(0, 2 * (n // 2), 2):  # until no quantity has a positive pair left
        pair = correlation(lag) + correlation(lag + 1)
        going &= pair > 0
        if not going.any():
            break
        smallest = np.minimum(smallest, np.where(going, pair, 0.0))
        pair_sum += smallest
    time = np.maximum(2.0 * pair_sum - 1.0, 1.0 / np.log10(n * m))
    return n * m / time
