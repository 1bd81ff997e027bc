"""Logistic regression of pain on log2 load with Firth's penalty: what an expert would fit to one side by hand."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, log_expit

Floats = NDArray[np.float64]

MOST_MOVES = 200
TOLERANCE = 1e-9
LONGEST_MOVE = 5.0


def fit_firth(x: Floats, hurt: Floats) -> tuple[float, float]:
    """Intercept and slope that maximise the log-likelihood plus half the log determinant of the information.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Not all the same.
    hurt : ndarray, shape (n,)
        0 or 1.

    Returns
    -------
    intercept, slope : float
        Finite for any answers, all 0 and all 1 included.

    References
    ----------
    .. [1] Firth (1993), Biometrika 80, 27-38. Heinze & Schemper (2002), Statistics in Medicine 21, 2409-2419.
    """
    middle, spread = float(x.mean()), float(x.std())
    X = np.column_stack([np.ones_like(x), (x - middle) / spread])
    beta = np.zeros(2)
    value = _penalised(X, hurt, beta)
    for _ in range(MOST_MOVES):
        p = expit(X @ beta)
        w = p * (1.0 - p)
        inverse = np.linalg.inv((X.T * w) @ X)
        leverage = w * np.einsum("ij,jk,ik->i", X, inverse, X)
        move = inverse @ (X.T @ (hurt - p + leverage * (0.5 - p)))
        move *= min(1.0, LONGEST_MOVE / max(np.abs(move).max(), 1e-300))
        if np.abs(move).max() < TOLERANCE:
            break
        # Information is not the penalised curvature, so a move may overshoot.
        trial = _penalised(X, hurt, beta + move)
        while trial < value and np.abs(move).max() >= TOLERANCE:
            move = move / 2.0
            trial = _penalised(X, hurt, beta + move)
        if trial <= value:
            break
        beta, value = beta + move, trial
    slope = float(beta[1] / spread)
    return float(beta[0] - slope * middle), slope


def _penalised(X: Floats, hurt: Floats, beta: Floats) -> float:
    eta = X @ beta
    p = expit(eta)
    log_likelihood = float(np.sum(hurt * log_expit(eta) + (1.0 - hurt) * log_expit(-eta)))
    sign, log_det = np.linalg.slogdet((X.T * (p * (1.0 - p))) @ X)
    return log_likelihood + 0.5 * float(log_det) if sign > 0 else -np.inf
