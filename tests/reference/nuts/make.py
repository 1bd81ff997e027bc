"""Makes `values.json`: pain lines of simulated clients by the No-U-Turn sampler of numpyro.

Not part of the suite, and numpyro is no dependency. In an environment of its own:

    python -m venv nuts && nuts/bin/pip install numpyro jax pandas scipy openpyxl
    PYTHONPATH=. nuts/bin/python tests/reference/nuts/make.py

takes a quarter of an hour a client on a busy core. The logs in `clients/` were written once by `--simulate`, so
that a change of the simulator changes nothing here. What is shared with the project is the design (which answer
has which covariates) and the prior's numbers; model, sampler and the load at a chance are independent
(`pain_model.py`, and a bisection over 61-point quadrature below). Run again whenever the design or the prior
changes; the test says so by the digest.
"""

from __future__ import annotations

import argparse
import datetime as dt
import json
import platform
from pathlib import Path

import jax
import numpy as np
import numpyro
from clients import CLIENTS, Case, client_design, design_digest
from numpyro.diagnostics import effective_sample_size, split_gelman_rubin
from numpyro.infer import MCMC, NUTS
from pain_model import pain_model
from scipy.special import expit

from analysis.canonical import write_log
from analysis.design import Design
from analysis.models.prediction import setting_row
from analysis.results import LineKey
from analysis.simulate import simulate_client

HERE = Path(__file__).parent
QUANTILES = (0.025, 0.1, 0.5, 0.9, 0.975)
CHANCES = (0.2, 0.5)
N_CHAINS = 4
TARGET_ACCEPTANCE = 0.9
NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(61)
WEIGHTS = WEIGHTS / WEIGHTS.sum()


def log2_line(
    named: dict[str, np.ndarray], design: Design, key: LineKey, level: int, chance: float
) -> np.ndarray:
    """Log2 of the load in kg at which the chance over good and bad days is reached; shape (chains, draws)."""
    needed = logit_over_days(chance, named["day_sd"]) + named["cutpoints"][..., level - 1]
    offset = named["intercepts"][..., design.side_index(key)]
    offset = offset + named["coefficients"] @ setting_row(design, key, "usual")
    own = design.variant_index(key)
    if own is not None:
        offset = offset + named["variants"][..., own]
    slope = named["slopes"][..., design.exercises.index(key.exercise)]
    return design.centre_log2_kg[key.exercise, key.variant] + (needed - offset) / slope


def logit_over_days(chance: float, day_sd: np.ndarray) -> np.ndarray:
    """The a with E s(a + u) = chance, u ~ N(0, day_sd^2), by bisection."""
    low, high = np.full(day_sd.shape, -60.0), np.full(day_sd.shape, 60.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        reached = sum(w * expit(middle + day_sd * x) for x, w in zip(NODES, WEIGHTS, strict=True)) >= chance
        low, high = np.where(reached, low, middle), np.where(reached, middle, high)
    return 0.5 * (low + high)


def summary(draws: np.ndarray) -> dict[str, object]:
    """Quantiles with their Monte Carlo errors, by the effective size of the indicator of each."""
    quantiles = np.quantile(draws, QUANTILES)
    errors = []
    for p, q in zip(QUANTILES, quantiles, strict=True):
        size = float(effective_sample_size((draws <= q).astype(float)))
        spread = np.sqrt(p * (1 - p) / size)
        low, high = np.quantile(draws, [max(p - spread, 0.0), min(p + spread, 1.0)])
        errors.append(0.5 * (high - low))
    return {
        "quantiles": [round(float(q), 5) for q in quantiles],
        "mc_error": [round(float(e), 5) for e in errors],
        "effective": round(float(effective_sample_size(draws))),
        "r_hat": round(float(split_gelman_rubin(draws)), 5),
    }


def run(case: Case) -> dict[str, object]:
    """NUTS on one client, chains one after the other."""
    design, lines, level = client_design(case)
    kernel = NUTS(pain_model, dense_mass=True, target_accept_prob=TARGET_ACCEPTANCE)
    mcmc = MCMC(
        kernel,
        num_warmup=case.n_warm_up,
        num_samples=case.n_draws,
        num_chains=N_CHAINS,
        chain_method="sequential",
        progress_bar=False,
    )
    mcmc.run(jax.random.PRNGKey(case.seed), design, extra_fields=("diverging", "num_steps"))
    named = {name: np.asarray(draws) for name, draws in mcmc.get_samples(group_by_chain=True).items()}
    found = []
    for key in lines:
        for chance in CHANCES:
            line = summary(log2_line(named, design, key, level, chance))
            found.append({"line": [key.exercise, key.variant, key.works, key.side], "chance": chance, **line})
    extra = mcmc.get_extra_fields()
    return {
        "log": case.folder,
        "blanks": case.blanks,
        "design_digest": design_digest(design),
        "made": dt.date.today().isoformat(),
        "seed": case.seed,
        "warm_up_of_a_chain": case.n_warm_up,
        "draws_of_a_chain": case.n_draws,
        "divergences": int(extra["diverging"].sum()),
        "mean_leapfrog_steps": round(float(extra["num_steps"].mean()), 1),
        "lines": found,
    }


def main() -> None:
    """Run all clients and write the values."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--simulate", action="store_true", help="write the clients' logs anew and stop")
    parser.add_argument("--only", nargs="*", help="folders of the clients to run; the others stay as stored")
    chosen = parser.parse_args()
    if chosen.simulate:
        for case in CLIENTS:
            write_log(simulate_client(case.simulated_seed, case.world).log, HERE / case.folder, replace=True)
        return
    numpyro.enable_x64()
    head = {
        "versions": {
            "numpyro": numpyro.__version__,
            "jax": jax.__version__,
            "numpy": np.__version__,
            "python": platform.python_version(),
        },
        "sampler": (f"NUTS, dense mass, target acceptance {TARGET_ACCEPTANCE}, {N_CHAINS} chains"),
        "unit": "log2 of kg",
        "quantiles_of": list(QUANTILES),
    }
    path = HERE / "values.json"
    stored = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    found = (
        {one["log"]: one for one in stored.get("clients", [])}
        if stored.get("sampler") == head["sampler"]
        else {}
    )
    for case in CLIENTS:
        if chosen.only and case.folder not in chosen.only:
            continue
        found[case.folder] = run(case)
        clients = [found[case.folder] for case in CLIENTS if case.folder in found]
        path.write_text(json.dumps({**head, "clients": clients}, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
