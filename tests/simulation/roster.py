"""What a coach's other clients could tell about a client's slope: the prior pooled over a roster; run as a script.

    python tests/simulation/roster.py --worlds W8 --clients 40 --out-dir tries
    python tests/simulation/roster.py --worlds W1 W8 --clients 20 --out-dir tries     a mixed roster

Every client is fitted twice. The first fits give draws of the mean log slope l; a roster's N(mu, tau) is weighed by
the product over clients of  E_draws[N(l; mu, tau) / N(l; default prior)]  on a grid, with a hyperprior. Each client's
second prior leaves its own factor out and is N(E mu, Var mu + E tau^2). The lines of the second fits are printed
beside those of the first. The product fits each client alone; DEVELOPERS.md says why.
"""

from __future__ import annotations

import argparse
import os
import sys
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

import numpy as np
from numpy.typing import NDArray
from scipy.special import logsumexp
from scipy.stats import norm
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.models import pain_layout
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.simulate import WORLDS, simulate_client
from tests.simulation import study
from tests.simulation.alternatives import ALTERNATIVES, compared
from tests.simulation.study_client import ClientScores, Job, score_client
from tests.simulation.study_journal import append_scores

Floats = NDArray[np.float64]

MU = np.linspace(np.log(0.7), np.log(20.0), 60)
TAU = np.exp(np.linspace(np.log(0.1), np.log(1.5), 30))
HYPER_MU, HYPER_LOG_TAU = (float(np.log(3.5)), 0.7), (float(np.log(0.45)), 0.5)
CENTRES = ("as it is", "first_load_centre")


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterPrior:
    """Mean and sd of the log slope's prior that the other clients suggest."""

    mean: float
    sd: float


def pooled_priors(log_slopes: list[Floats]) -> list[RosterPrior]:
    """Prior of each client from all the others.

    Parameters
    ----------
    log_slopes : list of ndarray
        Draws of each client's mean log slope under the default prior.

    Returns
    -------
    list of RosterPrior
    """
    factors = np.stack([_log_factor(draws) for draws in log_slopes])
    hyper = norm.logpdf(MU, *HYPER_MU)[:, None] + norm.logpdf(np.log(TAU), *HYPER_LOG_TAU)
    priors = []
    for j in range(len(log_slopes)):
        weight = hyper + factors.sum(0) - factors[j]
        weight = np.exp(weight - logsumexp(weight))
        mean = float((weight * MU[:, None]).sum())
        spread = float((weight * (MU[:, None] - mean) ** 2).sum() + (weight * TAU**2).sum())
        priors.append(RosterPrior(mean=mean, sd=float(np.sqrt(spread))))
    return priors


def _log_factor(draws: Floats) -> Floats:
    """Log of the mean over draws of the ratio of priors, on the grid; shape (n_mu, n_tau)."""
    default = norm.logpdf(draws, *pain_layout.LOG_SLOPE)
    ratio = norm.logpdf(draws, MU[:, None, None], TAU[None, :, None]) - default
    return np.asarray(logsumexp(ratio, axis=-1) - np.log(draws.size))


def mean_log_slope(fit: PainFit) -> Floats:
    """Draws of the mean over exercises of the log slope."""
    return np.asarray(np.log(fit.slopes).mean(axis=1))


def score_with_prior(job: Job, prior: RosterPrior) -> ClientScores:
    """Scores of one client whose slope has that prior."""
    with mock.patch.object(pain_layout, "LOG_SLOPE", (prior.mean, prior.sd)):
        return score_client(job)


def main() -> None:
    """Fit a roster, pool, fit again, print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--worlds", nargs="+", default=["W8"], choices=list(WORLDS), help="one roster of all")
    parser.add_argument("--clients", type=int, default=40, help="clients of each world")
    parser.add_argument("--seed-from", type=int, default=20_001)
    parser.add_argument(
        "--centre", choices=CENTRES, default=CENTRES[0], help="of the loads in the first fits"
    )
    parser.add_argument("--out-dir", type=Path, required=True)
    chosen = parser.parse_args()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    chosen.out_dir.mkdir(parents=True, exist_ok=True)
    seeds = range(chosen.seed_from, chosen.seed_from + chosen.clients)
    jobs = [Job(world=world, seed=seed, n_draws=study.N_DRAWS) for world in chosen.worlds for seed in seeds]
    log_slopes: list[Floats] = []
    with ExitStack() as stack:
        for target, attribute, value in ALTERNATIVES[chosen.centre]():
            stack.enter_context(mock.patch.object(target, attribute, value))
        for job in tqdm(jobs, desc="alone", unit="client"):
            client = simulate_client(job.seed, job.world)
            code = str(client.log.sets["client"].iloc[0])
            fit = fit_pain_model(client.log, client=code, options=PainOptions(n_draws=job.n_draws))
            log_slopes.append(mean_log_slope(fit))
    alone = [score_client(job) for job in tqdm(jobs, desc="default prior", unit="client")]
    priors = pooled_priors(log_slopes)
    pooled = [
        score_with_prior(job, prior)
        for job, prior in tqdm(list(zip(jobs, priors, strict=True)), desc="pooled")
    ]
    means = np.array([prior.mean for prior in priors])
    print(
        f"pooled priors: slope {np.exp(means.mean()):.2f}, log sd {np.mean([p.sd for p in priors]):.2f}; "
        f"first fits centred {chosen.centre}"
    )
    tables = {}
    for name, scores in (("default_prior", alone), ("slope_from_roster", pooled)):
        out = chosen.out_dir / f"{name}_{'_'.join(chosen.worlds)}_{chosen.centre.replace(' ', '_')}.csv"
        study.scores_path(out).unlink(missing_ok=True)
        for one in scores:
            append_scores(study.scores_path(out), one)
        tables[name] = study.write_tables(out)
    print(compared(tables).to_string(index=False, float_format=lambda value: f"{value:.3f}"))


if __name__ == "__main__":
    main()
