"""How often the pain line's intervals hold the truth, in a simulated world; run as a script it prints the table.

    python tests/simulation/coverage.py --world W1 --clients 300 --workers 2

Every exercise and side with 6 or more asked sets counts, whatever its status, at one fixed setting: 2 s lowering,
full range, place 9, nothing sore yet. Standard errors are clustered by client.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

import numpy as np
import pandas as pd
from tqdm import tqdm

from analysis.models.pain_fit import MODEL_VERSION, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.questions.pain_line import FEWEST_ASKED, pain_line
from analysis.results import PainLine, Setting
from analysis.schema import STANDARD_VARIANT
from analysis.simulate import simulate_client

AT = Setting(lowering_s=2, rom_pct=100, place=9, provoked=False)
CHANCE, LEVEL = 0.2, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """One line held against its truth; widths and errors in octaves (log2) of load."""

    seed: int
    status: str
    in_95: bool
    in_80: bool
    lower_right: bool
    width_80: float
    error: float
    converged: bool


def score_client(seed: int, world: str = "W1", options: PainOptions | None = None) -> list[Scored]:
    """Every line of one simulated client, held against its truth."""
    client = simulate_client(seed, world)
    code = str(client.log.sets["client"].iloc[0])
    fit = fit_pain_model(client.log, client=code, options=options)
    assert fit.design is not None
    truths = {(key.exercise, key.works, key.side): key for key in client.truth.keys}
    scored = []
    for key, tried in fit.tried.items():
        asked = sum(
            t.n_asked
            for k, t in fit.tried.items()
            if (k.exercise, k.works, k.side) == (key.exercise, key.works, key.side)
        )
        if key.variant != STANDARD_VARIANT or asked < FEWEST_ASKED or tried.heaviest_kg is None:
            continue
        draws = line_draws(fit, fit.design, key, level=LEVEL, chance=CHANCE, at=AT)
        low95, low, middle, high, high95 = np.quantile(draws, [0.025, 0.1, 0.5, 0.9, 0.975])
        truth = client.truth.log2_line(truths[key.exercise, key.works, key.side], LEVEL, CHANCE)
        answer = pain_line(
            fit,
            exercise=key.exercise,
            variant=key.variant,
            side=key.side,
            works=key.works,
            level=LEVEL,
            at=AT,
        )
        scored.append(
            Scored(
                seed=seed,
                status=answer.status if isinstance(answer, PainLine) else "withheld",
                in_95=bool(low95 <= truth <= high95),
                in_80=bool(low <= truth <= high),
                lower_right=bool(low <= truth),
                width_80=float(high - low),
                error=float(middle - truth),
                converged=fit.convergence.converged,
            )
        )
    return scored


def coverage_table(scored: Iterable[Scored]) -> pd.DataFrame:
    """Coverage, width, bias and RMSE over all lines and by printed status, with standard errors by client."""
    frame = pd.DataFrame([{name: getattr(s, name) for name in Scored.__slots__} for s in scored])
    parts = [("all", frame), *frame.groupby("status")]
    return pd.DataFrame([_summary(str(name), part) for name, part in parts]).set_index("status")


def _summary(name: str, part: pd.DataFrame) -> dict[str, object]:
    return {
        "status": name,
        "lines": len(part),
        "cov95": part["in_95"].mean(),
        "se95": _clustered_error(part, "in_95"),
        "cov80": part["in_80"].mean(),
        "se80": _clustered_error(part, "in_80"),
        "lower90": part["lower_right"].mean(),
        "width80": part["width_80"].mean(),
        "bias": part["error"].mean(),
        "rmse": float(np.sqrt((part["error"] ** 2).mean())),
        "converged": part["converged"].mean(),
    }


def _clustered_error(part: pd.DataFrame, column: str) -> float:
    """Standard error of a mean over lines whose clients are the independent units."""
    off = (part[column].astype(float) - part[column].mean()).groupby(part["seed"]).sum()
    return float(np.sqrt((off**2).sum()) / len(part))


def main() -> None:
    """Print the coverage table of one world."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--world", default="W1")
    parser.add_argument("--clients", type=int, default=300, help="seeds 1 .. N")
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    chosen = parser.parse_args()
    seeds = range(1, chosen.clients + 1)
    with ProcessPoolExecutor(chosen.workers) as pool:
        done = pool.map(score_client, seeds, [chosen.world] * len(seeds), chunksize=4)
        scored = [line for lines in tqdm(done, total=len(seeds), unit="client") for line in lines]
    print(
        f"World {chosen.world}, seeds 1 to {chosen.clients}, {dt.date.today()}, model version {MODEL_VERSION}"
    )
    print(
        "Line at chance 0.2, level 2, lowering 2 s, full range, place 9; widths and errors in octaves of load"
    )
    print(coverage_table(scored).to_string(float_format=lambda value: f"{value:.3f}"))


if __name__ == "__main__":
    main()
