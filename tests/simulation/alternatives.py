"""The pain model with one choice made otherwise, scored on the same clients as the model as it is; run as a script.

    python tests/simulation/alternatives.py --worlds W1 W3 W8 --clients 100 --workers 2 --out-dir tries
    python tests/simulation/alternatives.py --only walk_by_calendar slope_wider --worlds W3 --clients 40 --out-dir tries

Writes a study of each alternative (see ``study.py``) into the folder and prints the lines at chance .2 side by
side. What was kept and what was not stands in DEVELOPERS.md.
"""

from __future__ import annotations

import argparse
import functools
import os
import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from unittest import mock

import numpy as np
import pandas as pd

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis import design as design_module
from analysis.design_centres import load_centres
from analysis.models import pain_layout, pain_model
from analysis.simulate import WORLDS
from tests.simulation import study
from tests.simulation.study_client import ClientScores, Job, score_client

AS_IT_IS = "as it is"
Patches = tuple[tuple[object, str, object], ...]


def _log_sd(**changed: tuple[float, float]) -> Patches:
    return ((pain_layout, "LOG_SD", pain_layout.LOG_SD | changed),)


def _calendar_weeks() -> Patches:
    """Weeks end with the last session instead of before it: the last session shares its offset with its week."""

    def build(observed: pd.DataFrame, **orders: pd.DataFrame) -> design_module.Design:
        week = -(observed["days_back"].astype("int64") // 7)
        return design_module.build_design(observed.assign(week=week), **orders)

    return ((pain_model, "build_design", build), (pain_layout, "week_middle", float))


def _first_load_centre() -> Patches:
    """Loads centred at the first load of each exercise and variant, which no answer has yet moved."""

    def centres(
        observed: pd.DataFrame, variants: pd.DataFrame
    ) -> tuple[dict[str, str], dict[tuple[str, str], float]]:
        base, _ = load_centres(observed, variants)
        loaded = observed[observed["load_term_kg"].notna()].sort_values("days_back", ascending=False)
        first = loaded.groupby(["exercise", "variant"], sort=False)["load_term_kg"].first()
        return base, {(str(e), str(v)): float(np.log2(kg)) for (e, v), kg in first.items()}

    return ((design_module, "load_centres", centres),)


def _last_weeks(n_weeks: int) -> Patches:
    """Only the answers of the last weeks."""

    def build(observed: pd.DataFrame, **orders: pd.DataFrame) -> design_module.Design:
        recent = observed[observed["days_back"] < 7 * n_weeks].reset_index(drop=True)
        return design_module.build_design(recent, **orders)

    return ((pain_model, "build_design", build),)


def _slope(mean: float, sd: float) -> Patches:
    return ((pain_layout, "LOG_SLOPE", (float(np.log(mean)), sd)),)


ALTERNATIVES: dict[str, Callable[[], Patches]] = {
    AS_IT_IS: lambda: (),
    "walk_by_calendar": _calendar_weeks,
    "walk_looser": lambda: _log_sd(week=(float(np.log(0.4)), 0.6)),
    "slope_wider": lambda: _slope(2.5, 1.0),
    "slopes_differ_more": lambda: _log_sd(slope=(float(np.log(0.4)), 0.4)),
    "sides_wider": lambda: _log_sd(exercise_side=(float(np.log(1.5)), 0.5)),
    "variants_wider": lambda: _log_sd(variant=(float(np.log(1.5)), 0.7)),
    "first_load_centre": _first_load_centre,
    "first_cutpoint_wider": lambda: ((pain_layout, "FIRST_CUTPOINT", (1.5, 4.0)),),
    "cutpoint_not_by_weeks": lambda: ((pain_layout, "CUTPOINT_SD_PER_WEEK", 0.0),),
    "last_12_weeks": lambda: _last_weeks(12),
    "last_26_weeks": lambda: _last_weeks(26),
}
"""Name to what is set otherwise: object, attribute, value."""


def score_otherwise(name: str, job: Job) -> ClientScores:
    """Scores of one client under an alternative."""
    with ExitStack() as stack:
        for target, attribute, value in ALTERNATIVES[name]():
            stack.enter_context(mock.patch.object(target, attribute, value))
        return score_client(job)


def compared(tables: dict[str, pd.DataFrame]) -> pd.DataFrame:
    """Lines at chance .2 of all base variants, world by world, one row an alternative."""
    parts = []
    for name, table in tables.items():
        lines = table[(table["table"] == "lines") & (table["setting"] == "fixed") & (table["chance"] == 0.2)]
        parts.append(lines[lines["kind"] == "base"].assign(alternative=name))
    shown = [
        "world",
        "status",
        "alternative",
        "lines",
        "cov95",
        "cov80",
        "lower90",
        "width80",
        "bias",
        "rmse",
    ]
    joined = pd.concat(parts)
    wanted = joined[joined["status"].isin(["all", "reached"])]
    return wanted[shown].sort_values(["world", "status"], kind="stable")


def main() -> None:
    """Run some alternatives and print them side by side."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--only", nargs="+", default=list(ALTERNATIVES), choices=list(ALTERNATIVES))
    parser.add_argument("--worlds", nargs="+", default=["W1", "W3", "W7", "W8"], choices=list(WORLDS))
    parser.add_argument("--clients", type=int, default=100)
    parser.add_argument("--seed-from", type=int, default=20_001)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--out-dir", type=Path, required=True)
    chosen = parser.parse_args()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    chosen.out_dir.mkdir(parents=True, exist_ok=True)
    tables = {}
    for name in chosen.only:
        print(name, file=sys.stderr)
        with mock.patch.object(study, "score_client", functools.partial(score_otherwise, name)):
            tables[name] = study.run_study(
                worlds=chosen.worlds,
                seeds=range(chosen.seed_from, chosen.seed_from + chosen.clients),
                n_draws=study.N_DRAWS,
                workers=chosen.workers,
                out=chosen.out_dir / f"{name.replace(' ', '_')}.csv",
            )
    print(compared(tables).to_string(index=False, float_format=lambda value: f"{value:.3f}"))


if __name__ == "__main__":
    main()
