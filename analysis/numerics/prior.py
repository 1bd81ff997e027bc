"""Gaussian priors of a cumulative-link mixed model, some with an unknown standard deviation (layer: numerics)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.numerics.cumulative_link import Floats

LOG_TWO_PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True, slots=True, eq=False)
class SdBlock:
    """A run of parameters u ~ N(0, sd^2 K^-1) whose log sd is unknown.

    Attributes
    ----------
    span : slice
        Where u lies in theta.
    structure : ndarray, shape (size, size), or None
        K; None for independent effects (identity).
    log_sd_mean, log_sd_sd : float
        Normal prior of log sd; `log_sd_sd` infinite for a flat one.
    """

    span: slice
    structure: Floats | None
    log_sd_mean: float
    log_sd_sd: float

    @property
    def size(self) -> int:
        """Number of effects."""
        return self.span.stop - self.span.start


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Prior of theta and of phi, the log standard deviations.

    Attributes
    ----------
    mean, sd : ndarray, shape (P,)
        Normal prior of each parameter outside the blocks; sd infinite for flat; ignored inside blocks.
    blocks : tuple of SdBlock
        One log sd each, in the order of phi.
    """

    mean: Floats
    sd: Floats
    blocks: tuple[SdBlock, ...]

    @property
    def fixed_precision(self) -> Floats:
        """1 / sd^2 of each parameter, zero where flat and inside blocks, shape (P,)."""
        precision = 1.0 / self.sd**2
        for block in self.blocks:
            precision[block.span] = 0.0
        return precision

    @property
    def log_sd_mean(self) -> Floats:
        """Prior mean of phi, shape (n_blocks,)."""
        return np.array([block.log_sd_mean for block in self.blocks])

    @property
    def log_sd_precision(self) -> Floats:
        """Prior precision of phi, zero where flat, shape (n_blocks,)."""
        return np.array([1.0 / block.log_sd_sd**2 for block in self.blocks])

    def log_density(self, theta: Floats, phi: Floats) -> Floats:
        """Log prior density of theta given phi plus that of phi; flat parts contribute nothing.

        Parameters
        ----------
        theta : ndarray, shape (P,) or (P, n_chains)
        phi : ndarray, shape (n_blocks,) or (n_blocks, n_chains)

        Returns
        -------
        ndarray, shape () or (n_chains,)
        """
        precision = self.fixed_precision
        free = precision > 0
        centred = (theta.T - self.mean).T[free]
        total = -0.5 * (precision[free] @ centred**2)
        total = total + 0.5 * np.log(precision[free]).sum() - 0.5 * LOG_TWO_PI * free.sum()
        for j, block in enumerate(self.blocks):
            u = theta[block.span]
            Ku = u if block.structure is None else block.structure @ u
            total = (
                total
                - 0.5 * np.exp(-2.0 * phi[j]) * (u * Ku).sum(0)
                - block.size * (phi[j] + 0.5 * LOG_TWO_PI)
            )
            if block.structure is not None:
                total = total + 0.5 * np.linalg.slogdet(block.structure)[1]
            if np.isfinite(block.log_sd_sd):
                z = (phi[j] - block.log_sd_mean) / block.log_sd_sd
                total = total - 0.5 * z**2 - np.log(block.log_sd_sd) - 0.5 * LOG_TWO_PI
        return np.asarray(total)

    def gradient(self, theta: Floats, phi: Floats) -> tuple[Floats, Floats]:
        """Gradients of `log_density` in theta and in phi, shapes as the arguments."""
        in_theta = -(self.fixed_precision * (theta.T - self.mean)).T
        in_phi = np.zeros_like(phi)
        if self.blocks:
            in_phi = -(self.log_sd_precision * (phi.T - self.log_sd_mean)).T
        for j, block in enumerate(self.blocks):
            u = theta[block.span]
            scaled = (u if block.structure is None else block.structure @ u) * np.exp(-2.0 * phi[j])
            in_theta[block.span] = -scaled
            in_phi[j] += (u * scaled).sum(0) - block.size
        return in_theta, in_phi

    def add_precision(self, H: Floats, phi: Floats) -> Floats:
        """H plus the prior precision of theta given phi, in place; H of shape (P, P)."""
        diagonal = np.arange(H.shape[0])
        H[diagonal, diagonal] += self.fixed_precision
        for j, block in enumerate(self.blocks):
            scale = np.exp(-2.0 * phi[j])
            if block.structure is None:
                H[diagonal[block.span], diagonal[block.span]] += scale
            else:
                H[block.span, block.span] += scale * block.structure
        return H
