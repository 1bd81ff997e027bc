"""Pain lines against the No-U-Turn sampler of numpyro on stored clients; values and script beside it."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from analysis.models.draws import draw_posterior
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_layout import NamedDraws, pain_layout
from analysis.models.prediction import line_draws
from analysis.results import LineKey
from tests.reference.nuts.clients import CLIENTS, Case, client_design, design_digest

VALUES = json.loads((Path(__file__).parent / "values.json").read_text(encoding="utf-8"))
N_DRAWS = 24_000
"""Enough that our own Monte Carlo error of a 2.5 % limit is near .006 log2."""
CENTRE_TOLERANCE = 0.03
"""Log2 of kg: 2 % of the load, at the median and the lower limits."""
UPPER_TOLERANCE = 0.2
"""Log2 of kg at the upper limits, whose tail is long and whose Monte Carlo error is larger on both sides."""
LARGEST_R_HAT = 1.01
N_CHAINS = 4
MOST_DIVERGENT = 0.001
"""Share of NUTS moves that diverge: none with the blanks, 16 of 16,000 with the sensitised client, whose day sd may be
near 0 (9 painful sets)."""


def stored(case: Case) -> dict:
    """The values of one client."""
    return next(one for one in VALUES["clients"] if one["log"] == case.folder)


@pytest.mark.parametrize("case", CLIENTS, ids=lambda case: case.folder)
def test_the_stored_run_is_of_this_design_and_converged(case: Case) -> None:
    one = stored(case)
    design, lines, _ = client_design(case)
    assert one["design_digest"] == design_digest(design), "the design has changed: run make.py again"
    assert len(one["lines"]) == 2 * len(lines)
    kept = N_CHAINS * one["draws_of_a_chain"]
    assert one["divergences"] <= MOST_DIVERGENT * kept
    assert max(line["r_hat"] for line in one["lines"]) < LARGEST_R_HAT
    # the stored errors are well inside the tolerances
    errors = np.array([line["mc_error"] for line in one["lines"]])
    assert errors[:, :3].max() < 0.5 * CENTRE_TOLERANCE
    assert errors[:, 3:].max() < 0.5 * UPPER_TOLERANCE


@pytest.mark.parametrize("case", CLIENTS, ids=lambda case: case.folder)
def test_quantiles_of_every_line_are_those_of_nuts(case: Case) -> None:
    design, lines, level = client_design(case)
    options = PainOptions(n_draws=N_DRAWS, blanks=case.blanks)
    posterior = draw_posterior(pain_layout(design), design, lines, level, options)
    named = NamedDraws(**posterior.named)
    for line in stored(case)["lines"]:
        exercise, variant, works, side = line["line"]
        key = LineKey(exercise=exercise, variant=variant, works=works, side=side)
        draws = line_draws(named, design, key, level=level, chance=line["chance"])
        off = np.quantile(draws, VALUES["quantiles_of"]) - line["quantiles"]
        assert np.abs(off[:3]).max() < CENTRE_TOLERANCE, (key, line["chance"], off)
        assert np.abs(off[3:]).max() < UPPER_TOLERANCE, (key, line["chance"], off)
