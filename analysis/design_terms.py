"""The covariates of the pain model: what each column means, its reference, unit and prior (layer: design)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One fixed coefficient.

    Attributes
    ----------
    name : str
        Column of the observations, or the name of a derived one.
    per : str
        What one unit of the coefficient means.
    reference : float
        Raw value at which the column is zero.
    scale : float
        Raw units in one unit of the column.
    prior_sd : float
        Normal prior of the coefficient, mean 0, logit scale.
    """

    name: str
    per: str
    reference: float
    scale: float
    prior_sd: float


TERMS: tuple[Term, ...] = (
    Term(name="lowering_s", per="1 s", reference=2.0, scale=1.0, prior_sd=0.5),
    Term(name="pause_s", per="1 s", reference=0.0, scale=1.0, prior_sd=0.5),
    Term(name="rom_pct", per="10 points", reference=100.0, scale=10.0, prior_sd=0.4),
    Term(name="range_rank", per="1 stop", reference=0.0, scale=1.0, prior_sd=0.4),
    Term(name="reps", per="doubling", reference=0.0, scale=1.0, prior_sd=0.5),
    Term(name="hold_s", per="doubling", reference=0.0, scale=1.0, prior_sd=0.5),
    Term(name="place", per="5 sets", reference=9.0, scale=5.0, prior_sd=0.5),
    Term(name="set_number", per="3 sets", reference=1.0, scale=3.0, prior_sd=0.5),
    Term(name="prepared", per="done", reference=0.5, scale=1.0, prior_sd=0.5),
    Term(name="provoked", per="already sore today", reference=0.0, scale=1.0, prior_sd=0.7),
    Term(name="pain_on_arrival", per="1 point", reference=0.0, scale=1.0, prior_sd=0.5),
    Term(name="side", per="left against right", reference=0.0, scale=1.0, prior_sd=2.0),
)
TERM_NAMES: tuple[str, ...] = tuple(term.name for term in TERMS)
SIDE_CODE = {"left": 0.5, "right": -0.5, "midline": 0.0}
