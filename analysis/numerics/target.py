"""Joint log posterior of theta and phi for many chains at once, in whitened coordinates (layer: numerics)."""

from __future__ import annotations

import numpy as np
from scipy import linalg
from scipy.linalg import blas

from analysis.numerics.chain_likelihood import ChainLikelihood
from analysis.numerics.chain_prior import ChainPrior
from analysis.numerics.cumulative_link import Floats
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
        self._likelihood = ChainLikelihood(predictor)
        self._prior = ChainPrior(prior)
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
        # all but a corner of T is upper triangular, which halves its products
        self._lower = np.asfortranarray(T.T)
        self._corner = np.tril(C, -1)
        self.centre = np.concatenate([point.theta, point.phi])
        shift = -0.5 * point.S @ point.adjoint  # third-order shift of the mean of theta
        self.start = np.concatenate([L.T @ shift, np.zeros(self.k)])

    def parameters(self, z: Floats) -> tuple[Floats, Floats]:
        """theta (P, n_chains) and phi (k, n_chains) of z (P + k, n_chains)."""
        x = blas.dtrmm(1.0, self._lower, z.T, side=1, lower=1).T
        x[self.P :] += self._corner @ z[self.P :]
        x += self.centre[:, None]
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
        value, in_theta = self._likelihood.value_and_gradient(theta)
        prior_value, prior_theta, prior_phi = self._prior.value_and_gradient(theta, phi)
        return value + prior_value, self._whitened(in_theta, prior_theta, prior_phi)

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
        return self._whitened(self._likelihood.gradient(theta), *self._prior.gradient(theta, phi))

    def _whitened(self, in_theta: Floats, prior_theta: Floats, prior_phi: Floats) -> Floats:
        """T' times the gradient in (theta, phi)."""
        in_theta += prior_theta
        x = np.concatenate([in_theta, prior_phi])
        out = blas.dtrmm(1.0, self._lower, x.T, side=1, lower=1, trans_a=1).T
        out[self.P :] += self._corner.T @ prior_phi
        return np.asarray(out)
