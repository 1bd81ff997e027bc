"""Proposed loads against a coach who knows the truth, at several shares of what may hurt; run as a script.

    python tests/simulation/proposal_study.py --worlds W1 W4 variants_logit variants_octave W8 --clients 300

The share is that within which the mean chance of a quiet load has to stay for the load to be held. Limits are of a
bootstrap over clients.
"""

from __future__ import annotations

import argparse
import os
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path

import pandas as pd
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.proposal_settings import ProposalSettings
from analysis.simulate import simulate_client
from tests.simulation.study_bootstrap import resamples
from tests.simulation.study_next_tables import proposal_cells
from tests.simulation.study_proposals import LOGGED_HERE, Row, proposal_rows

WORLDS = ("W1", "W4", "variants_logit", "variants_octave", "W8")
USED = ProposalSettings().held_share
SHARES = tuple(sorted({1.0, 0.9, USED}))
N_DRAWS = 1200
SHOWN = {
    "mean_truth": "true chance",
    "over_30": "over .30",
    "over_30_low": "low",
    "over_30_high": "high",
    "given_up": "given up, octaves",
    "up": "up",
    "hold": "hold",
    "down": "down",
    "down_after_quiet": "down after a quiet day",
}


def client_rows(seed: int, *, world: str, n_draws: int = N_DRAWS) -> list[Row]:
    """What each share proposes for each line of one simulated client, and what is true of it."""
    client = simulate_client(seed, world)
    name = str(client.log.sets["client"].iloc[0])
    fit = fit_pain_model(client.log, client=name, options=PainOptions(n_draws=n_draws))
    programs = {f"program, {share:g}": replace(LOGGED_HERE, held_share=share) for share in SHARES}
    return [row | {"world": world, "seed": seed} for row in proposal_rows(fit, client, programs)]


def table(rows: pd.DataFrame) -> pd.DataFrame:
    """One line a world and rule."""
    found = []
    for world, part in rows.groupby("world", sort=False):
        client = part["seed"].astype("category").cat.codes
        drawn = resamples(client.nunique())
        found += [{"world": world, **cell} for cell in proposal_cells(part.assign(client=client), drawn)]
    return pd.DataFrame(found)[["world", "rule", "lines", *SHOWN]].rename(columns=SHOWN)


def main() -> None:
    """Simulate, fit, score and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--worlds", nargs="+", default=list(WORLDS))
    parser.add_argument("--clients", type=int, default=300)
    parser.add_argument("--seed-from", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--out", type=Path)
    chosen = parser.parse_args()
    # One thread a process: the workers share the cores already.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    seeds = range(chosen.seed_from, chosen.seed_from + chosen.clients)
    rows: list[Row] = []
    with ProcessPoolExecutor(chosen.workers) as pool:
        for world in chosen.worlds:
            done = pool.map(partial(client_rows, world=world), seeds)
            found = [row for client in tqdm(done, total=len(seeds), desc=world) for row in client]
            print(table(pd.DataFrame(found)).to_string(index=False, float_format="{:.3f}".format), flush=True)
            rows += found
    if chosen.out is not None:
        pd.DataFrame(rows).to_csv(chosen.out, index=False, float_format="%.6g")


if __name__ == "__main__":
    main()
