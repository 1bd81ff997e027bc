"""The simulation study: how often the answers hold, in every simulated world; run as a script.

    python tests/simulation/study.py --clients 400 --workers 2 --out study.csv
    python tests/simulation/study.py --worlds W1 W8 --clients 50 --seed-from 1001 --out small.csv
    python tests/simulation/study.py --table study.csv

Writes three files: the scores of each client (``study.scores.jsonl.gz``, JSON lines), the tables as
``study.csv`` and the same for reading as ``study.md``. A stopped study goes on where it stopped when it is
started again; finished clients are not run twice. A client whose fit fails is counted, with seed and message.
"""

from __future__ import annotations

import argparse
import datetime as dt
import multiprocessing
import os
import signal
import sys
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from pathlib import Path

import pandas as pd
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.models.pain_fit import MODEL_VERSION
from analysis.simulate import WORLDS
from tests.simulation.study_client import ClientScores, Job, score_client
from tests.simulation.study_journal import append_scores, finished_jobs, read_scores
from tests.simulation.study_markdown import markdown
from tests.simulation.study_sheets import SHEETS
from tests.simulation.study_tables import study_table

N_DRAWS = 800


def scores_path(out: Path) -> Path:
    """File of the scores that belongs to a table."""
    return out.with_suffix(".scores.jsonl.gz")


def run_study(
    *, worlds: Sequence[str], seeds: Iterable[int], n_draws: int, workers: int, out: Path
) -> pd.DataFrame:
    """Score every client that is not in the file yet, then write the tables.

    Parameters
    ----------
    worlds : sequence of str
    seeds : iterable of int
        The same in every world.
    n_draws : int
        Fewest draws of a fit.
    workers : int
        Processes; 1 runs everything in this one.
    out : Path
        The CSV of the tables; the other files lie beside it.

    Returns
    -------
    DataFrame
        The tables in one long frame.

    Raises
    ------
    SystemExit
        If the file of scores was made by another model version or number of draws.
    """
    path = scores_path(out)
    done = finished_jobs(path)
    for job in done:
        if (job.n_draws, job.model_version) != (n_draws, MODEL_VERSION):
            raise SystemExit(
                f"{path} holds clients of model version {job.model_version} with {job.n_draws} draws; "
                f"this is version {MODEL_VERSION} with {n_draws}. Choose another --out."
            )
    seeds = list(seeds)
    for world in worlds:
        jobs = [Job(world=world, seed=seed, n_draws=n_draws) for seed in seeds]
        waiting = [job for job in jobs if job not in done]
        with tqdm(total=len(jobs), initial=len(jobs) - len(waiting), desc=world, unit="client") as bar:
            failures = 0
            for scores in _scored(waiting, workers):
                append_scores(path, scores)
                if scores.failure is not None:
                    failures += 1
                    bar.set_postfix(failed=failures)
                    bar.write(f"{world}, seed {scores.job.seed}: {scores.failure}")
                bar.update()
    return write_tables(out)


def _scored(jobs: Sequence[Job], workers: int) -> Iterator[ClientScores]:
    """Scores in the order in which they are ready."""
    if workers == 1:
        yield from map(score_client, jobs)
        return
    with ProcessPoolExecutor(
        workers,
        mp_context=multiprocessing.get_context("spawn"),
        initializer=signal.signal,
        initargs=(signal.SIGINT, signal.SIG_IGN),
    ) as pool:
        running = {pool.submit(score_client, job) for job in jobs}
        try:
            while running:
                ready, running = wait(running, return_when=FIRST_COMPLETED)
                for future in ready:
                    yield future.result()
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def write_tables(out: Path) -> pd.DataFrame:
    """Make both tables again from the scores."""
    scores = read_scores(scores_path(out))
    table = study_table(scores)
    stamp = _stamp(scores["clients"])
    table.assign(**stamp).to_csv(out, index=False, float_format="%.6g")
    failed = scores["clients"][scores["clients"]["failure"].notna()]
    heading = (
        "# Simulation study\n\n"
        f"{stamp['date']}, model version {stamp['model_version']}, at least {stamp['n_draws']} draws a fit. "
        "Lines, widths and errors in octaves (log2) of load; limits in brackets are 95 %, from 1,000 bootstrap "
        "resamples of clients. Fixed setting: 2 s lowering, full range, place 9; usual: the exercise's own "
        "medians. Both with nothing sore yet that day."
    )
    if len(failed):
        heading += "\n\nFailed fits:\n\n" + "\n".join(
            f"* {row.world}, seed {row.seed}: {row.failure}" for row in failed.itertuples()
        )
    out.with_suffix(".md").write_text(markdown(table, heading=heading, sheets=SHEETS), encoding="utf-8")
    return table


def _stamp(clients: pd.DataFrame) -> dict[str, object]:
    return {
        "date": dt.date.today().isoformat(),
        "model_version": str(clients["model_version"].iloc[0]),
        "n_draws": int(clients["n_draws"].iloc[0]),
    }


def main() -> None:
    """Run the study, or make its tables again."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--worlds", nargs="+", default=list(WORLDS), choices=list(WORLDS), metavar="WORLD")
    parser.add_argument("--clients", type=int, default=400, help="clients of each world")
    parser.add_argument("--seed-from", type=int, default=1, help="first seed")
    parser.add_argument("--draws", type=int, default=N_DRAWS, help="fewest draws of a fit")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--out", type=Path, default=Path("study.csv"))
    parser.add_argument("--table", type=Path, help="only make the tables of this study again")
    chosen = parser.parse_args()
    if chosen.table is not None:
        write_tables(chosen.table)
        return
    # One thread a process: the workers share the cores already. Read when a worker imports numpy.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # A request to end is like Ctrl-C, so that no worker is left behind.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        run_study(
            worlds=chosen.worlds,
            seeds=range(chosen.seed_from, chosen.seed_from + chosen.clients),
            n_draws=chosen.draws,
            workers=chosen.workers,
            out=chosen.out,
        )
    except KeyboardInterrupt:
        sys.exit(f"Stopped. {scores_path(chosen.out)} keeps the finished clients; the same command goes on.")


if __name__ == "__main__":
    main()
