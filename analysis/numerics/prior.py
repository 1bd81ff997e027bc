"""Gaussian priors of a cumulative-link mixed model, some with an unknown standard deviation (layer: numerics)."""

from __future__ import annotations

from dataclasses import dataclass, field

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
    log_det_structure : float
        log|K|, worked out from `structure`.
    """

    span: slice
    structure: Floats | None
    log_sd_mean: float
    log_sd_sd: float
    log_det_structure: float = field(init=False)

    def __post_init__(self) -> None:
        log_det = 0.0 if self.structure is None else float(np.linalg.slogdet(self.structure)[1])
        object.__setattr__(self, "log_det_structure", log_det)

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
    fixed_precision : ndarray, shape (P,)
        1 / sd^2 of each parameter, zero where flat and inside blocks.
    log_sd_mean, log_sd_precision : ndarray, shape (n_blocks,)
        Prior mean and precision of phi; precision zero where flat.
    constant : float
        Part of the log density that no parameter changes; flat parts contribute nothing.
    """

    mean: Floats
    sd: Floats
    blocks: tuple[SdBlock, ...]
    fixed_precision: Floats = field(init=False)
    log_sd_mean: Floats = field(init=False)
    log_sd_precision: Floats = field(init=False)
    constant: float = field(init=False)

    def __post_init__(self) -> None:
        precision = 1.0 / self.sd**2
        for block in self.blocks:
            precision[block.span] = 0.0
        free = precision > 0
        constant = 0.5 * float(np.log(precision[free]).sum()) - 0.5 * LOG_TWO_PI * int(free.sum())
        for block in self.blocks:
            constant += 0.5 * block.log_det_structure - 0.5 * LOG_TWO_PI * block.size
            if np.isfinite(block.log_sd_sd):
                constant -= float(np.log(block.log_sd_sd)) + 0.5 * LOG_TWO_PI
        known = {
            "fixed_precision": precision,
            "log_sd_mean": np.array([block.log_sd_mean for block in self.blocks]),
            "log_sd_precision": np.array([1.0 / block.log_sd_sd**2 for block in self.blocks]),
            "constant": constant,
        }
        for name, value in known.items():
            object.__setattr__(self, name, value)

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
        centred = (theta.T - self.mean).T
        total = self.constant - 0.5 * (self.fixed_precision @ centred**2)
        if self.blocks:
            total = total - 0.5 * (self.log_sd_precision @ (phi.T - self.log_sd_mean).T ** 2)
        for j, block in enumerate(self.blocks):
            u = theta[block.span]
            Ku = u if block.structure is None else block.structure @ u
            total = total - 0.5 * np.exp(-2.0 * phi[j]) * (u * Ku).sum(0) - block.size * phi[j]
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
