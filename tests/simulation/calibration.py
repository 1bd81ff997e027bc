"""Simulation-based calibration of the whole posterior; run as a script it prints and writes the rank histograms.

    python tests/simulation/calibration.py --runs 300 --workers 2 --out ranks.json

Parameters come from the prior, answers from the likelihood, loads are chosen beforehand and centred before any
answer; the fit is the product's. The rank of each true value among near-independent draws is then uniform (Talts,
Betancourt, Simpson, Vehtari & Gelman 2018, arXiv:1804.06788). The log-likelihood at the truth is ranked too: it
feels errors that no single parameter shows (Modrak et al. 2023, Bayesian Analysis, doi:10.1214/23-BA1404).
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import chisquare, kstest
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.design import Design, build_design
from analysis.design_terms import TERM_NAMES
from analysis.models.draws import N_CHAINS
from analysis.models.pain_fit import MODEL_VERSION, PainOptions
from analysis.models.pain_layout import PainLayout, name_draws, pain_layout
from analysis.models.prediction import line_draws
from analysis.observations import observations
from analysis.simulate import simulate_client
from tests.simulation.prior_clients import (
    LEVEL,
    draw_parameters,
    lines_of,
    log_probability,
    played,
    raw_posterior,
)

Floats = NDArray[np.float64]
KEPT_MOVES = 4
"""Moves kept of a run, evenly spread: 4 moves of 32 chains, less one draw, give ranks 0 to 127."""
MOST_BINS, FEWEST_A_BIN = 16, 12
"""Bins of a rank histogram: 16, fewer where that leaves under a dozen runs for each."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Run:
    """One simulated client: where the truth lies and where the posterior's draws.

    Attributes
    ----------
    truth : dict
        Name of each quantity to its true value.
    draws : dict
        Name to the thinned draws, shape (127,).
    converged : bool
    """

    truth: dict[str, float]
    draws: dict[str, Floats]
    converged: bool


def month_design() -> Design:
    """Loads, tempo, range and variants of a simulated month whose coach pays no heed to pain."""
    log = simulate_client(1, "W0").log
    observed = observations(log, str(log.sets["client"].iloc[0]))
    return build_design(observed, variants=log.variants, ranges=log.ranges)


def quantities(layout: PainLayout, design: Design, theta: Floats, phi: Floats) -> dict[str, Floats]:
    """Every named part of draws, each of shape (n_draws,): what the questions use, all sds, and the lines."""
    named = name_draws(layout, design, theta, phi)
    parts: dict[str, Floats] = {f"cutpoint {j + 1}": named.cutpoints[:, j] for j in range(5)}
    sides = [" ".join(dict.fromkeys(side)) for side in design.exercise_sides]
    parts |= {f"intercept {name}": named.intercepts[:, i] for i, name in enumerate(sides)}
    parts |= {f"slope {name}": named.slopes[:, i] for i, name in enumerate(design.exercises)}
    parts |= {f"drift {name}": named.drifts[:, i] for i, name in enumerate(design.exercises)}
    parts |= {f"variant {' '.join(v)}": named.variant_offsets[:, i] for i, v in enumerate(design.variants)}
    parts |= {f"coefficient {name}": named.coefficients[:, i] for i, name in enumerate(TERM_NAMES)}
    parts |= {f"week {week}": named.week_offsets[:, i] for i, week in enumerate(design.weeks)}
    parts |= {f"log sd {name}": phi[place] for name, place in layout.phi_of.items()}
    for key in lines_of(design):
        label = f"{key.exercise} {key.variant} {key.works} {key.side}"
        for chance in (0.2, 0.5):
            parts[f"line {chance} {label}"] = line_draws(named, design, key, level=LEVEL, chance=chance)
    parts["log-likelihood"] = log_probability(layout, theta).sum(0)
    return parts


def calibration_run(seed: int, design: Design, n_draws: int) -> Run:
    """Draw one client from the prior, fit it as the product does, and thin the draws."""
    rng = np.random.default_rng(seed)
    blank = pain_layout(design)
    theta, phi = draw_parameters(blank.prior, rng)
    answered = played(design, blank, theta, rng)
    layout = pain_layout(answered)
    raw = raw_posterior(layout, answered, PainOptions(n_draws=n_draws, seed=int(rng.integers(2**31))))
    n_moves = raw.theta.shape[1] // N_CHAINS
    moves = np.linspace(n_moves // KEPT_MOVES - 1, n_moves - 1, KEPT_MOVES).astype(int)
    kept = (moves[:, None] * N_CHAINS + np.arange(N_CHAINS)).ravel()[1:]
    true_parts = quantities(layout, answered, theta[:, None], phi[:, None])
    return Run(
        truth={name: float(value[0]) for name, value in true_parts.items()},
        draws=quantities(layout, answered, raw.theta[:, kept], raw.phi[:, kept]),
        converged=raw.drawn.converged,
    )


def ranks(runs: Iterable[Run]) -> pd.DataFrame:
    """Draws below the truth, one row a run, one column a quantity."""
    return pd.DataFrame(
        [{name: int((run.draws[name] < value).sum()) for name, value in run.truth.items()} for run in runs]
    )


def uniformity(table: pd.DataFrame, n_draws: int, rng: np.random.Generator) -> pd.DataFrame:
    """Chi-square of the rank histogram and largest difference of the ranks' ECDF from uniform, with p-values.

    Ranks are spread evenly within their step first, which makes them exactly uniform under calibration.
    """
    rows = []
    n_bins = max(2, min(MOST_BINS, len(table) // FEWEST_A_BIN))
    for name in table.columns:
        share = (table[name].to_numpy() + rng.random(len(table))) / (n_draws + 1)
        counts = np.histogram(share, bins=n_bins, range=(0.0, 1.0))[0]
        ecdf = kstest(share, "uniform")
        rows.append(
            {
                "quantity": name,
                "mean_rank": float(share.mean()),
                "chi_square": float(chisquare(counts).statistic),
                "p_chi_square": float(chisquare(counts).pvalue),
                "ecdf_difference": float(ecdf.statistic),
                "p_ecdf": float(ecdf.pvalue),
                "histogram": [int(c) for c in counts],
            }
        )
    return pd.DataFrame(rows).set_index("quantity")


def smallest_p(tested: pd.DataFrame) -> float:
    """Bonferroni's p-value over every quantity and both tests: below alpha in at most alpha of calibrated studies."""
    p = tested[["p_chi_square", "p_ecdf"]].to_numpy()
    return float(min(1.0, p.min() * p.size))


def main() -> None:
    """Run the study, print its summary and write the histograms."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=300)
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--draws", type=int, default=2400, help="fewest draws of a fit")
    parser.add_argument("--out", type=Path, help="JSON file for the rank histograms")
    chosen = parser.parse_args()
    seeds = [chosen.seed * 1_000_000 + i for i in range(chosen.runs)]
    one = partial(calibration_run, design=month_design(), n_draws=chosen.draws)
    with ProcessPoolExecutor(chosen.workers) as pool:
        runs = list(tqdm(pool.map(one, seeds, chunksize=2), total=len(seeds), unit="fit"))
    n_kept = KEPT_MOVES * N_CHAINS - 1
    tested = uniformity(ranks(runs), n_kept, np.random.default_rng(chosen.seed))
    header = {
        "date": str(dt.date.today()),
        "seed": chosen.seed,
        "runs": chosen.runs,
        "model_version": MODEL_VERSION,
        "draws_ranked": n_kept,
        "fits_settled": float(np.mean([run.converged for run in runs])),
        "quantities": len(tested),
        "bonferroni_p": smallest_p(tested),
    }
    print(json.dumps(header, indent=1))
    worst = tested.assign(p=tested[["p_chi_square", "p_ecdf"]].min(axis=1)).sort_values("p").head(12)
    print(worst.drop(columns="histogram").to_string(float_format=lambda value: f"{value:.4f}"))
    if chosen.out is not None:
        record = header | {"ranks": tested.reset_index().to_dict(orient="records")}
        chosen.out.write_text(json.dumps(record, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
