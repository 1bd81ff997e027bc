"""How often the log ratio of the sides, and the change of the line, hold the truth; run as a script it prints a table.

    python tests/simulation/sides_and_change.py --world W2 --clients 200 --workers 2 --out sides.csv

Everything in octaves. Sides: left line over right line, base variants. Change: the line now over the line on the
exercise's first day and 28 days ago, one line an exercise. Standard errors are clustered by client.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np
import pandas as pd
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.models.line_on_day import days_with_sets, line_draws_on_day
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.questions.line_change import CLAIM_DAYS, DAYS_BACK
from analysis.questions.line_change import SURE as SURE_MOVED
from analysis.questions.sides import SURE, load_at_equal_pain, side_keys
from analysis.results import Setting
from analysis.results_sides import LoadAtEqualPain
from analysis.schema import STANDARD_VARIANT
from analysis.simulate import SimulatedClient, simulate_client
from tests.simulation.study_lines import Row, true_setting

CHANCE = 0.2
N_DRAWS = 800
QUANTILES = {"q025": 0.025, "q10": 0.1, "q50": 0.5, "q90": 0.9, "q975": 0.975}


def client_rows(seed: int, *, world: str, n_draws: int = N_DRAWS) -> list[Row]:
    """Every ratio of sides and every change of one simulated client, with its truth.

    Parameters
    ----------
    seed : int
    world : str
    n_draws : int
        Fewest draws of the fit.

    Returns
    -------
    list of dict
    """
    client = simulate_client(seed, world)
    name = str(client.log.sets["client"].iloc[0])
    fit = fit_pain_model(client.log, client=name, options=PainOptions(n_draws=n_draws))
    named = {"seed": seed, "world": world}
    return [named | row for row in (*_side_rows(fit, client), *_change_rows(fit, client))]


def _side_rows(fit: PainFit, client: SimulatedClient) -> Iterator[Row]:
    assert fit.design is not None
    for key in side_keys(fit):
        if key.variant != STANDARD_VARIANT:
            continue
        known = true_setting(fit.design, key.left, Setting())
        draws, truth = (
            one[0] - one[1]
            for one in (
                [
                    line_draws(fit, fit.design, line, level=fit.level, chance=CHANCE)
                    for line in (key.left, key.right)
                ],
                [client.truth.log2_line(line, fit.level, CHANCE, at=known) for line in (key.left, key.right)],
            )
        )
        answer = load_at_equal_pain(fit, key)
        stated = isinstance(answer, LoadAtEqualPain)
        yield {
            "what": "sides",
            "status": f"{answer.left.status}, {answer.right.status}"
            if isinstance(answer, LoadAtEqualPain)
            else "withheld",
            "stated": stated,
            "stated_low": answer.low if isinstance(answer, LoadAtEqualPain) else None,
            "stated_high": answer.high if isinstance(answer, LoadAtEqualPain) else None,
            "sure": SURE,
            "days": 0,
        } | _scored(np.asarray(draws), float(truth))


def _change_rows(fit: PainFit, client: SimulatedClient) -> Iterator[Row]:
    assert fit.design is not None
    done = set()
    for key in fit.tried:
        if key.exercise in done or key.variant != STANDARD_VARIANT or fit.tried[key].heaviest_kg is None:
            continue
        done.add(key.exercise)
        days = days_with_sets(fit.design, key.exercise)
        known = true_setting(fit.design, key, Setting())
        recent = days[days >= DAYS_BACK]
        for what, back in (
            ("change, first", days.max()),
            ("change, 28 days", recent.min() if recent.size else 0),
        ):
            if back == 0:
                continue
            now, then = (
                line_draws_on_day(fit, fit.design, key, days_back=int(one), level=fit.level, chance=CHANCE)
                for one in (0, back)
            )
            week = client.truth.last_week
            truth_now, truth_then = (
                client.truth.log2_line(key, fit.level, CHANCE, at=known, week=when)
                for when in (week, week - back / 7)
            )
            hurt = any(t.n_painful for k, t in fit.tried.items() if k.exercise == key.exercise)
            scored = _scored(now - then, truth_now - truth_then)
            yield {
                "what": what,
                "status": "hurt" if hurt else "never painful",
                "stated": hurt,
                "stated_low": scored["q10"] if hurt else None,
                "stated_high": scored["q90"] if hurt else None,
                "sure": SURE_MOVED,
                "days": int(back),
            } | scored


def _scored(draws: np.ndarray, truth: float) -> Row:
    ends = dict(zip(QUANTILES, np.quantile(draws, list(QUANTILES.values())).tolist(), strict=True))
    above = float((draws > 0).mean())
    return ends | {"truth": truth, "probability_above": above}


def coverage_table(rows: pd.DataFrame) -> pd.DataFrame:
    """Coverage, width, and how often a direction that was said was right, by kind of answer.

    Parameters
    ----------
    rows : DataFrame
        Of `client_rows`.

    Returns
    -------
    DataFrame
        One row for all, one for those stated, one for each status.
    """
    scored = rows.assign(
        in_95=(rows["q025"] <= rows["truth"]) & (rows["truth"] <= rows["q975"]),
        in_80=(rows["q10"] <= rows["truth"]) & (rows["truth"] <= rows["q90"]),
        low_right=(rows["stated_low"].astype(float) <= rows["truth"]).where(rows["stated_low"].notna()),
        high_right=(rows["truth"] <= rows["stated_high"].astype(float)).where(rows["stated_high"].notna()),
        width80=rows["q90"] - rows["q10"],
        error=rows["q50"] - rows["truth"],
    )
    up, sure = scored["probability_above"], scored["sure"]
    said = (up >= sure) | (up <= 1 - sure)
    said &= (scored["what"] == "sides") | (scored["days"] >= CLAIM_DAYS)
    scored["said"] = said
    scored["said_right"] = ((up > 0.5) == (scored["truth"] > 0)).where(said)
    cells = []
    for what, part in scored.groupby("what", sort=False):
        groups = [("all", part), ("stated", part[part["stated"]])]
        groups += [(str(status), one) for status, one in part.groupby("status")]
        cells += [{"what": what, "status": status} | _cell(one) for status, one in groups if len(one)]
    return pd.DataFrame(cells)


def _cell(part: pd.DataFrame) -> Row:
    by_client = part.groupby("seed")["in_95"].agg(["sum", "size"])
    share = part["in_95"].mean()
    residual = by_client["sum"] - share * by_client["size"]
    return {
        "n": len(part),
        "cov95": share,
        "cov95_se": float(np.sqrt((residual**2).sum()) / len(part)),
        "cov80": part["in_80"].mean(),
        "low_right": part["low_right"].astype(float).mean(),
        "high_right": part["high_right"].astype(float).mean(),
        "width80": part["width80"].mean(),
        "bias": part["error"].mean(),
        "said": part["said"].mean(),
        "said_right": part["said_right"].astype(float).mean(),
    }


def run(*, world: str, seeds: Iterable[int], n_draws: int = N_DRAWS, workers: int = 1) -> pd.DataFrame:
    """Rows of many clients, with a progress bar.

    Parameters
    ----------
    world : str
    seeds : iterable of int
    n_draws : int
    workers : int
        Processes; 1 runs everything in this one.

    Returns
    -------
    DataFrame
    """
    seeds = list(seeds)
    job = partial(client_rows, world=world, n_draws=n_draws)
    if workers == 1:
        found = [row for seed in tqdm(seeds, unit="client") for row in job(seed)]
    else:
        with ProcessPoolExecutor(workers) as pool:
            done = tqdm(pool.map(job, seeds), total=len(seeds), unit="client")
            found = [row for rows in done for row in rows]
    return pd.DataFrame(found)


def main() -> None:
    """Simulate, fit, score and print."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--world", default="W2")
    parser.add_argument("--clients", type=int, default=200)
    parser.add_argument("--seed-from", type=int, default=1)
    parser.add_argument("--draws", type=int, default=N_DRAWS)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--out", type=Path)
    chosen = parser.parse_args()
    # One thread a process: the workers share the cores already.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    seeds = range(chosen.seed_from, chosen.seed_from + chosen.clients)
    rows = run(world=chosen.world, seeds=seeds, n_draws=chosen.draws, workers=chosen.workers)
    if chosen.out is not None:
        rows.to_csv(chosen.out, index=False, float_format="%.6g")
    print(coverage_table(rows).to_string(index=False, float_format=lambda value: f"{value:.3f}"))


if __name__ == "__main__":
    main()
