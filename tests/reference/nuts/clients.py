"""The stored clients of the comparison with NUTS, and their designs."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Literal

import numpy as np

from analysis.client_settings import client_settings
from analysis.derive import derive_sets
from analysis.design import Design, build_design
from analysis.log import read_log
from analysis.models.unasked import unasked_as_quiet
from analysis.observations import observations
from analysis.results import LineKey

HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One client: where its log lies, how it was simulated, how blanks are read, seed and length of each NUTS chain."""

    folder: str
    world: str
    simulated_seed: int
    blanks: Literal["left_out", "quiet"]
    seed: int
    n_warm_up: int
    n_draws: int


CLIENTS = (
    Case(
        folder="clients/blanks",
        world="zeros_half_missing",
        simulated_seed=4,
        blanks="quiet",
        seed=1,
        n_warm_up=1000,
        n_draws=4000,
    ),
    Case(
        folder="clients/sensitised",
        world="W5",
        simulated_seed=3,
        blanks="left_out",
        seed=2,
        n_warm_up=1000,
        n_draws=4000,
    ),
    Case(
        folder="clients/flare",
        world="W3",
        simulated_seed=3,
        blanks="left_out",
        seed=3,
        n_warm_up=700,
        n_draws=2000,
    ),
)
"""A month with half of the zeros not asked, read as 0 or 1; a month of a client who is sensitised; three months with a
flare, 11 past weeks on the walk. All have alternative variants and a walk over past weeks."""


def client_design(case: Case) -> tuple[Design, list[LineKey], int]:
    """Design of a stored client, its lines with a load in order of first appearance, and its level."""
    log = read_log(HERE / case.folder)
    client = str(log.sets["client"].iloc[0])
    settings = client_settings(log, client)
    observed = observations(log, client)
    if case.blanks == "quiet":
        observed = unasked_as_quiet(observed, derive_sets(log, client), settings)
    loaded = observed[observed["load_term_kg"].notna()]
    names = dict.fromkeys(
        zip(*(loaded[c] for c in ("exercise", "variant", "works", "asked_side")), strict=True)
    )
    lines = [LineKey(exercise=e, variant=v, works=w, side=s) for e, v, w, s in names]
    return build_design(observed, variants=log.variants, ranges=log.ranges), lines, settings.pain_level


def design_digest(design: Design) -> str:
    """Short hash of everything in a design, arrays to nine decimals."""
    digest = hashlib.sha256()
    for field in fields(design):
        value = getattr(design, field.name)
        if isinstance(value, np.ndarray):
            digest.update(np.round(value + 0.0, 9).tobytes())
        elif isinstance(value, dict):
            digest.update(repr(_rounded(value)).encode())
        else:
            digest.update(repr(value).encode())
    return digest.hexdigest()[:16]


def _rounded(value: object) -> object:
    if isinstance(value, dict):
        return {name: _rounded(part) for name, part in value.items()}
    return round(float(value), 9) if isinstance(value, float) else value
