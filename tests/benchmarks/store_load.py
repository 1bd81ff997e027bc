"""Writers and readers on one store: errors, lost updates and the time of a save, beside its bar.

python tests/benchmarks/store_load.py                          8 writers, 8 readers, 60 s, each database
python tests/benchmarks/store_load.py --seconds 10 --only sqlite
"""

from __future__ import annotations

import argparse
import multiprocessing as mp
import os
import sqlite3
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass
from multiprocessing.synchronize import Barrier
from pathlib import Path
from threading import Thread
from uuid import uuid4

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dashboard.store.database_source import StoreSource
from dashboard.store.drafts import DraftMark, put_draft
from dashboard.store.engine import Store
from dashboard.store.records import Edit, save, stored_rows
from dashboard.store.refusals import Conflict, StoreError
from dashboard.store.schema_version import open_store
from tests.benchmarks.measure import heading
from tests.store.entries import a_set
from tests.store.servers import HOW_TO_GET_ONE, Server, server_programs

OWNER = "ana"
BAR_P99_S = 0.25
COUNTED = "counter"
"""Id of the one set that every writer raises by one, reading it first: what is lost would show."""


READY: Barrier


@dataclass(slots=True)
class Tally:
    """What one writer or reader did."""

    times_s: list[float]
    cpu_s: float = 0.0
    n_raised: int = 0
    n_lost_races: int = 0
    errors: tuple[str, ...] = ()


def write(store: Store, number: int, seconds: float, pause_s: float) -> Tally:
    """Enter sets of one's own client, each kept as a draft first, and raise the counter every fourth time."""
    tally, done = Tally(times_s=[]), 0
    client = f"K-{number}"
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        done += 1
        day = f"2026-{done // 28 // 14 % 12 + 1:02d}-{done // 14 % 28 + 1:02d}"
        cells = a_set(done % 14 + 1, client=client, date=day, session=done // 4704 + 1)
        mark = DraftMark(name=f"draft {number}", number=done)
        edit = Edit(table="sets", id=uuid4().hex, cells=cells)
        try:
            put_draft(store, OWNER, mark, client=client, content=str(cells))
            begun, cpu = time.perf_counter(), time.thread_time()
            save(store, OWNER, [edit], change_id=uuid4().hex, draft=mark)
            tally.times_s.append(time.perf_counter() - begun)
            tally.cpu_s += time.thread_time() - cpu
            if done % 4 == 0:
                raise_counter(store, tally)
        except StoreError as error:
            tally.errors += (str(error),)
        time.sleep(pause_s)
    return tally


def raise_counter(store: Store, tally: Tally) -> None:
    """Read the counter, add one, save it over what was read; after a lost race read again."""
    while True:
        (row,) = stored_rows(store, OWNER, "sets", client="all", date="2026-01-01")
        # The note makes each edit one of its own: two equal ones are no lost race.
        cells = {**row.cells, "load": str(int(row.cells["load"]) + 1), "note": uuid4().hex}
        try:
            save(
                store,
                OWNER,
                [Edit(table="sets", id=row.id, cells=cells, seen=row.revision)],
                change_id=uuid4().hex,
            )
        except Conflict:
            tally.n_lost_races += 1
            continue
        tally.n_raised += 1
        return


def read(source: StoreSource, seconds: float, pause_s: float) -> Tally:
    """Look at the clients and at one log, over and over."""
    tally = Tally(times_s=[])
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        begun = time.perf_counter()
        try:
            source.clients(OWNER)
            source.log(OWNER, "all")
        except StoreError as error:
            tally.errors += (str(error),)
        tally.times_s.append(time.perf_counter() - begun)
        time.sleep(pause_s)
    return tally


def in_a_process(address: str, number: int, seconds: float, pause_s: float, *, writes: bool) -> Tally:
    """A writer or reader with a store of its own, begun when all are ready."""
    store = open_store(address)
    source = StoreSource(store)
    source.log(OWNER, "all")
    READY.wait()
    tally = write(store, number, seconds, pause_s) if writes else read(source, seconds, pause_s)
    store.close()
    return tally


def share(barrier: Barrier) -> None:
    """Give a new process what all wait at."""
    global READY
    READY = barrier


def load(name: str, address: str, asked: argparse.Namespace) -> None:
    """Run all of them at once and print what came of it."""
    people, seconds, pause_s = asked.people, asked.seconds, asked.pause
    store = open_store(address)
    counter = a_set(1, client="all", date="2026-01-01", load=0)
    save(store, OWNER, [Edit(table="sets", id=COUNTED, cells=counter)], change_id="first")
    if asked.processes:
        context = mp.get_context("spawn")
        with context.Pool(2 * people, share, (context.Barrier(2 * people),)) as pool:
            found = [
                pool.apply_async(in_a_process, (address, i, seconds, pause_s), {"writes": i < people})
                for i in range(2 * people)
            ]
            tallies = [one.get() for one in found]
    else:
        source = StoreSource(store)  # one for all, as the server has
        with ThreadPoolExecutor(2 * people) as threads:
            writing = [threads.submit(write, store, i, seconds, pause_s) for i in range(people)]
            reading = [threads.submit(read, source, seconds, pause_s) for _ in range(people)]
            tallies = [one.result() for one in (*writing, *reading)]
    writers, readers = tallies[:people], tallies[people:]
    n_saved = sum(len(one.times_s) for one in writers)
    n_there = sum(len(stored_rows(store, OWNER, "sets", client=f"K-{i}")) for i in range(people))
    (row,) = stored_rows(store, OWNER, "sets", client="all")
    store.close()
    n_raised = sum(one.n_raised for one in writers)
    errors = [error for one in (*writers, *readers) for error in one.errors]
    times = np.concatenate([one.times_s for one in writers])
    p50, p99 = np.quantile(times, [0.5, 0.99])
    looks = np.concatenate([one.times_s for one in readers])
    print(
        f"{name}: {people} writers, {people} readers ({'processes' if asked.processes else 'threads'}),"
        f" {seconds:g} s, {pause_s:g} s between saves\n"
        f"  {len(errors)} errors, {n_saved - n_there + n_raised - int(row.cells['load'])} lost updates"
        f" ({sum(one.n_lost_races for one in writers)} races lost, told and done again)\n"
        f"  {n_saved} saves: median {p50 * 1000:.0f} ms, p99 {p99 * 1000:.0f} ms,"
        f" longest {times.max() * 1000:.0f} ms (bar of p99: {BAR_P99_S * 1000:.0f} ms);"
        f" {sum(one.cpu_s for one in writers) / n_saved * 1000:.0f} ms of the processor each\n"
        f"  {len(looks)} looks: p99 {np.quantile(looks, 0.99) * 1000:.0f} ms",
        flush=True,
    )
    for error in sorted(set(errors)):
        print(f"  {errors.count(error)} x {error}")


def locked_out(address: str, seconds: float) -> None:
    """A save while another program holds the lock."""
    store = open_store(address)
    file = str(store.file)

    def hold() -> None:
        with closing(sqlite3.connect(file, isolation_level=None)) as connection:
            connection.execute("BEGIN EXCLUSIVE")
            time.sleep(seconds)
            connection.execute("ROLLBACK")

    thread = Thread(target=hold)
    thread.start()
    time.sleep(0.2)
    begun = time.perf_counter()
    edit = Edit(table="sets", id="locked", cells=a_set(1, client="L-1"))
    save(store, OWNER, [edit], change_id="locked")
    waited = time.perf_counter() - begun
    thread.join()
    n_there = len(stored_rows(store, OWNER, "sets", client="L-1"))
    store.close()
    print(
        f"SQLite, locked by another program for {seconds:g} s: saved after {waited:.1f} s, {n_there} of 1 there"
    )


def main() -> None:
    """Both databases, one after the other."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--people", type=int, default=8, help="writers, and as many readers")
    parser.add_argument("--pause", type=float, default=0.5, help="seconds between two saves of a writer")
    parser.add_argument(
        "--processes", action="store_true", help="each a process; else threads, as in the server"
    )
    parser.add_argument("--only", choices=["sqlite", "postgresql"])
    asked = parser.parse_args()
    print(heading())
    if asked.only != "postgresql":
        with tempfile.TemporaryDirectory() as folder:
            address = f"{folder}/store.sqlite"
            load("SQLite", address, asked)
            locked_out(address, 10)
    if asked.only != "sqlite":
        programs = server_programs()
        if programs is None:
            print(HOW_TO_GET_ONE)
            return
        with Server(programs) as server:
            load("PostgreSQL", server.url("postgres"), asked)


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    main()
