"""Quantiles of draws and the checks that they are stable (layer: numerics).

Rank-normalised split R-hat and effective sizes follow Vehtari, Gelman, Simpson, Carpenter & Buerkner 2021,
Bayesian Analysis 16:667-718, equations 3.1 to 4.3; autocorrelations are summed by Geyer's initial monotone
sequence over the mean of all chains.
"""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri
from scipy.stats import rankdata

from analysis.numerics.cumulative_link import Floats


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
    split = _split(draws)
    folded = np.abs(split - np.median(split, axis=(0, 1)))
    return np.maximum(_r_hat(_normal_scores(split)), _r_hat(_normal_scores(folded)))


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
    split = _split(draws)
    if quantile is None:
        return _effective_size(_normal_scores(split))
    return _effective_size((split <= np.quantile(split, quantile, axis=(0, 1))).astype(float))


def _split(draws: Floats) -> Floats:
    half = draws.shape[0] // 2
    return np.concatenate([draws[:half], draws[-half:]], axis=1)


def _normal_scores(draws: Floats) -> Floats:
    flat = draws.reshape(-1, draws.shape[-1])
    ranks = rankdata(flat, axis=0)
    scores = ndtri((ranks - 0.375) / (flat.shape[0] + 0.25))
    return np.asarray(scores).reshape(draws.shape)


def _r_hat(x: Floats) -> Floats:
    n = x.shape[0]
    within = x.var(axis=0, ddof=1).mean(0)
    between = x.mean(0).var(axis=0, ddof=1)
    safe = np.where(within > 0, within, 1.0)
    return np.where(within > 0, np.sqrt((n - 1) / n + between / safe), 1.0)


def _effective_size(x: Floats) -> Floats:
    n, m, _ = x.shape
    centred = x - x.mean(0)
    within = x.var(axis=0, ddof=1).mean(0)
    total = (n - 1) / n * within + x.mean(0).var(axis=0, ddof=1)
    total = np.where(total > 0, total, 1.0)
    autocovariance = np.stack([(centred[: n - lag] * centred[lag:]).sum(0).mean(0) / n for lag in range(n)])
    rho = 1.0 - (within - autocovariance) / total  # (n_lags, n_quantities)
    rho[0] = 1.0
    even = (rho.shape[0] // 2) * 2
    pairs = rho[:even:2] + rho[1:even:2]
    positive = np.cumprod(pairs > 0, axis=0).astype(bool)
    monotone = np.minimum.accumulate(np.where(positive, pairs, 0.0), axis=0)
    time = np.maximum(2.0 * monotone.sum(0) - 1.0, 1.0 / np.log10(n * m))
    return n * m / time
