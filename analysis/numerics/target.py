"""Joint log posterior of theta and phi for many chains at once, in whitened coordinates (layer: numerics)."""

from __future__ import annotations

import numpy as np
from scipy import linalg

from analysis.numerics.cumulative_link import (
    Floats,
    cutpoints_from_gaps,
    row_slopes,
    row_terms,
    with_open_ends,
)
from analysis.numerics.optimise import LaplaceFit
from analysis.numerics.predictor import Predictor
from analysis.numerics.prior import Prior

WIDEST_LOG_SD = 1.5
"""Eigenvalues of the outer Hessian are floored at 1 / WIDEST_LOG_SD^2: a flat log sd is given this spread."""


class WhitenedPosterior:
    """Log posterior of z, where (theta, phi) = centre + T z and z is near standard normal.

    T = [[L^-T, J C], [0, C]] with L the Cholesky factor of the Hessian at the mode, J = d theta*/d phi and C
    the factor of the approximate covariance of phi.

    Parameters
    ----------
    predictor : Predictor
    prior : Prior
    fit : LaplaceFit
        With all of theta latent.
    """

    def __init__(self, predictor: Predictor, prior: Prior, fit: LaplaceFit) -> None:
        self.predictor = predictor
        self.prior = prior
        point = fit.point
        self.P = point.theta.size
        self.k = point.phi.size
        values, vectors = np.linalg.eigh(fit.outer_hessian) if self.k else (np.zeros(0), np.zeros((0, 0)))
        values = np.maximum(values, 1.0 / WIDEST_LOG_SD**2)
        C = vectors / np.sqrt(values)
        L = np.linalg.cholesky(point.H)
        T = np.zeros((self.P + self.k, self.P + self.k))
        T[: self.P, : self.P] = linalg.solve_triangular(L, np.eye(self.P), lower=True).T
        T[: self.P, self.P :] = point.mode_slope @ C
        T[self.P :, self.P :] = C
        self.T = T
        self.T_transposed = np.ascontiguousarray(T.T)
        self.centre = np.concatenate([point.theta, point.phi])
        shift = -0.5 * point.S @ point.adjoint  # third-order shift of the mean of theta
        self.start = np.concatenate([L.T @ shift, np.zeros(self.k)])

    def parameters(self, z: Floats) -> tuple[Floats, Floats]:
        """theta (P, n_chains) and phi (k, n_chains) of z (P + k, n_chains)."""
        x = self.centre[:, None] + self.T @ z
        return x[: self.P], x[self.P :]

    def value_and_gradient(self, z: Floats) -> tuple[Floats, Floats]:
        """Log posterior of each chain and its gradient in z.

        Parameters
        ----------
        z : ndarray, shape (P + k, n_chains)

        Returns
        -------
        value : ndarray, shape (n_chains,)
        gradient : ndarray, shape (P + k, n_chains)
        """
        theta, phi = self.parameters(z)
        r, l, term = self._distances(theta)
        t = row_terms(r, l)
        value = t.log_probability.sum(0) + self.prior.log_density(theta, phi)
        return value, self._whitened_gradient(theta, phi, t.f_r, t.f_l, term)

    def gradient(self, z: Floats) -> Floats:
        """Gradient of the log posterior in z alone.

        Parameters
        ----------
        z : ndarray, shape (P + k, n_chains)

        Returns
        -------
        ndarray, shape (P + k, n_chains)
        """
        theta, phi = self.parameters(z)
        r, l, term = self._distances(theta)
        return self._whitened_gradient(theta, phi, *row_slopes(r, l), term)

    def _distances(self, theta: Floats) -> tuple[Floats, Floats, Floats | None]:
        """Upper and lower cutpoint of each row minus its predictor, and the slope term."""
        p = self.predictor
        cutpoints = with_open_ends(cutpoints_from_gaps(theta[: p.J]))
        eta, term = p.eta(theta)
        return cutpoints[p.upper_cut] - eta, cutpoints[p.lower_cut] - eta, term

    def _whitened_gradient(
        self, theta: Floats, phi: Floats, f_r: Floats, f_l: Floats, term: Floats | None
    ) -> Floats:
        p, J = self.predictor, self.predictor.J
        in_theta = p.gather(-(f_r + f_l), term)
        by_cut = p.upper_table @ f_r + p.lower_table @ f_l  # (J, n_chains)
        from_k = np.cumsum(by_cut[::-1], axis=0)[::-1]
        in_theta[0] = from_k[0]
        in_theta[1:J] = from_k[1:] * np.exp(theta[1:J])
        prior_theta, prior_phi = self.prior.gradient(theta, phi)
        return self.T_transposed @ np.concatenate([in_theta + prior_theta, prior_phi])
