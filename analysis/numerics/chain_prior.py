"""Log prior of many chains at once, with everything that stays the same worked out beforehand (layer: numerics)."""

from __future__ import annotations

import numpy as np

from analysis.numerics.cumulative_link import Floats
from analysis.numerics.prior import Prior


class ChainPrior:
    """Prior of theta and phi, prepared once for a run of draws.

    Parameters
    ----------
    prior : Prior
    """

    def __init__(self, prior: Prior) -> None:
        fixed = prior.fixed_precision
        n_blocks = len(prior.blocks)
        # row of (fixed 1, exp(-2 phi_1), ...) that multiplies each parameter's own precision
        self._block_of = np.zeros(fixed.size, dtype=np.int64)
        self._precision = fixed[:, None].copy()
        mean = prior.mean.copy()
        for j, block in enumerate(prior.blocks):
            self._block_of[block.span] = j + 1
            self._precision[block.span] = 1.0
            mean[block.span] = 0.0
        mean[self._precision[:, 0] == 0.0] = 0.0
        self._mean = mean[:, None]
        self._n_blocks = n_blocks
        self._structured = [
            (j, block.span, block.structure)
            for j, block in enumerate(prior.blocks)
            if block.structure is not None
        ]
        self._in_block = np.zeros((n_blocks, fixed.size))
        for j, block in enumerate(prior.blocks):
            self._in_block[j, block.span] = 1.0
        self._sizes = np.array([block.size for block in prior.blocks], dtype=float)[:, None]
        self._phi_mean = prior.log_sd_mean[:, None] if n_blocks else np.zeros((0, 1))
        self._phi_precision = prior.log_sd_precision[:, None] if n_blocks else np.zeros((0, 1))
        self._constant = prior.constant

    def value_and_gradient(self, theta: Floats, phi: Floats) -> tuple[Floats, Floats, Floats]:
        """Log prior density of each chain and its gradients in theta and phi.

        Parameters
        ----------
        theta : ndarray, shape (P, n_chains)
        phi : ndarray, shape (n_blocks, n_chains)

        Returns
        -------
        value : ndarray, shape (n_chains,)
        in_theta : ndarray, shape (P, n_chains)
        in_phi : ndarray, shape (n_blocks, n_chains)
        """
        centred, in_theta, by_block = self._parts(theta, phi)
        from_mean = phi - self._phi_mean
        value = 0.5 * (centred * in_theta).sum(axis=0) + self._constant
        value = value - (self._sizes * phi + 0.5 * self._phi_precision * from_mean**2).sum(axis=0)
        return value, in_theta, by_block - self._sizes - self._phi_precision * from_mean

    def gradient(self, theta: Floats, phi: Floats) -> tuple[Floats, Floats]:
        """Gradients in theta and phi alone."""
        _, in_theta, by_block = self._parts(theta, phi)
        return in_theta, by_block - self._sizes - self._phi_precision * (phi - self._phi_mean)

    def _parts(self, theta: Floats, phi: Floats) -> tuple[Floats, Floats, Floats]:
        """Theta less its mean, the gradient in theta, and u'Ku / sd^2 of each block."""
        centred = theta - self._mean
        scale = np.empty((self._n_blocks + 1, theta.shape[1]))
        scale[0] = -1.0
        np.exp(-2.0 * phi, out=scale[1:])
        np.negative(scale[1:], out=scale[1:])
        in_theta = scale.take(self._block_of, axis=0)
        in_theta *= self._precision
        in_theta *= centred
        for j, span, structure in self._structured:
            in_theta[span] = scale[j + 1] * (structure @ centred[span])
        return centred, in_theta, -(self._in_block @ (centred * in_theta))
