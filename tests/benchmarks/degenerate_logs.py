"""Every public question put to random degenerate logs, or a fit to simulated clients of every world.

    python tests/benchmarks/degenerate_logs.py --logs 10000 --workers 2 --seed 1
    python tests/benchmarks/degenerate_logs.py --worlds --logs 1000 --workers 2
    python tests/benchmarks/degenerate_logs.py --replay 4711

Log number i is made of seed ``seed + i``. A log that fails is written to ``--out`` with its kinds and the traceback;
``--replay`` runs one seed again and lets the exception through.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import sys
import traceback
import warnings
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tqdm import tqdm

from analysis.log import write_log
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.simulate import WORLDS, simulate_client
from tests.property.degenerate import degenerate_log
from tests.property.degenerate_checks import check_degenerate

FEW_DRAWS = 128
FULL_EVERY = 19
"""One log in so many is fitted with the usual options; a prime, so that every world gets its share."""
LINES = 2
"""Lines of each log that are put to the questions about one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How one log went: what was counted, and the traceback where it failed."""

    seed: int
    name: str
    counts: dict[str, int]
    failure: str | None


def options_of(seed: int) -> PainOptions:
    """The usual options for one seed in `FULL_EVERY`, few draws for the others."""
    return PainOptions() if seed % FULL_EVERY == 0 else PainOptions(n_draws=FEW_DRAWS)


def ask_log(seed: int) -> dict[str, int]:
    """Put all questions to the log of a seed; raises where an answer is not sound."""
    return check_degenerate(degenerate_log(seed), options_of(seed), n_lines=LINES)


def fit_world(seed: int) -> dict[str, int]:
    """Fit one simulated client; the seed chooses the world as well."""
    world = world_of(seed)
    made = simulate_client(seed, world)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        fit = fit_pain_model(made.log, client=str(made.log.sets["client"].iloc[0]), options=options_of(seed))
    name = f"fits of {world}" if fit.convergence.converged else f"fits of {world}, not converged"
    return {name: 1}


def world_of(seed: int) -> str:
    """World of a seed: all in turn."""
    return tuple(WORLDS)[seed % len(WORLDS)]


def outcome(seed: int, *, worlds: bool) -> Outcome:
    """Run one seed and keep what went wrong."""
    name = world_of(seed) if worlds else "degenerate log"
    try:
        counts = fit_world(seed) if worlds else ask_log(seed)
    except Exception:
        return Outcome(seed=seed, name=name, counts={}, failure=traceback.format_exc())
    return Outcome(seed=seed, name=name, counts=counts, failure=None)


def keep(failed: Outcome, out: Path, *, worlds: bool) -> None:
    """Write the log of a failure, how it was made, and the traceback."""
    folder = out / str(failed.seed)
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    (folder / "traceback.txt").write_text(failed.failure or "", encoding="utf-8")
    if worlds:
        write_log(simulate_client(failed.seed, failed.name).log, folder / "log")
        return
    made = degenerate_log(failed.seed)
    write_log(made.log, folder / "log")
    told = {"kinds": made.kinds, "as_of": str(made.as_of), "clients": made.clients}
    (folder / "kinds.json").write_text(json.dumps(told, indent=2), encoding="utf-8")


def main() -> int:
    """Run, print what was counted and which seeds failed; the exit code is 1 when any did."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--logs", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1, help="seed of the first log")
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--worlds", action="store_true", help="fit simulated clients instead")
    parser.add_argument("--replay", type=int, metavar="SEED", help="run this seed alone")
    parser.add_argument("--out", type=Path, default=Path("degenerate_failures"))
    chosen = parser.parse_args()
    if chosen.replay is not None:
        print(fit_world(chosen.replay) if chosen.worlds else ask_log(chosen.replay))
        return 0
    seeds = range(chosen.seed, chosen.seed + chosen.logs)
    counts: Counter[str] = Counter()
    failed: list[Outcome] = []
    with ProcessPoolExecutor(chosen.workers) as pool:
        done = pool.map(partial(outcome, worlds=chosen.worlds), seeds, chunksize=4)
        for one in tqdm(done, total=len(seeds), unit="log", mininterval=5.0):
            counts.update(one.counts)
            if one.failure is not None:
                failed.append(one)
                keep(one, chosen.out, worlds=chosen.worlds)
    for name, n in sorted(counts.items()):
        print(f"{n:8d}  {name}")
    print(f"{len(seeds)} run, seeds {seeds[0]} to {seeds[-1]}, {len(failed)} failed")
    for one in failed:
        print(f"  --replay {one.seed}  {(one.failure or '').strip().splitlines()[-1][:120]}")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
