"""The links a cumulative-link model may use, by name (layer: numerics)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, Protocol

from analysis.numerics.cumulative_link import Floats, row_terms
from analysis.numerics.probit import probit_row_terms

Link = Literal["logit", "probit"]


class LinkTerms(Protocol):
    """What a link gives for each row: log P and its derivatives in r and l (see `Curvature` for v_r, v_l and Q)."""

    @property
    def log_probability(self) -> Floats:
        """Log P."""

    @property
    def f_r(self) -> Floats:
        """First derivative of log P in r."""

    @property
    def f_l(self) -> Floats:
        """First derivative of log P in l."""

    @property
    def v_r(self) -> Floats:
        """Minus the second derivative in r, less Q."""

    @property
    def v_l(self) -> Floats:
        """Minus the second derivative in l, less Q."""

    @property
    def cross(self) -> Floats:
        """Q, the mixed second derivative."""

    def third(self, h_r: Floats, h_l: Floats, h_gap: Floats) -> tuple[Floats, Floats]:
        """Derivatives in r and in l of v_r h_r + v_l h_l + Q h_gap, the h held fixed."""

    def weight_curvature(self) -> tuple[Floats, Floats, Floats]:
        """Second derivatives of the weight v_r + v_l in (r, r), (r, l) and (l, l)."""


ROW_TERMS: dict[Link, Callable[[Floats, Floats], LinkTerms]] = {
    "logit": row_terms,
    "probit": probit_row_terms,
}
