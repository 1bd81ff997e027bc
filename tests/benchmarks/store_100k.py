"""A log of 100,000 sets into a store and out of it: python tests/benchmarks/store_100k.py (time of the processor)."""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from analysis.log import log_from_frames, write_log
from dashboard.store.backup import back_up
from dashboard.store.export import export_logs
from dashboard.store.forget import forget
from dashboard.store.history import undo
from dashboard.store.import_plan import plan_import, read_logs
from dashboard.store.imports import carry_out_import
from dashboard.store.schema_version import open_store
from tests.benchmarks.check_100k import long_log
from tests.benchmarks.measure import heading

OWNER = "ana"
Made = TypeVar("Made")


def timed(what: str, run: Callable[[], Made]) -> Made:
    """Run once and print how long it took and the most memory so far."""
    wall, cpu = time.perf_counter(), time.process_time()
    made = run()
    most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(f"  {what:38s} {cpu:6.1f} s of the processor, {wall:6.1f} s, {most_mb:6.0f} MB at most", flush=True)
    return made


def main() -> None:
    """Every step once, on SQLite."""
    print(heading())
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_log(log_from_frames(**long_log()), folder / "long")
        store = open_store(str(folder / "store.sqlite"))
        logs = timed("read", lambda: read_logs([folder / "long"]))
        plan = timed("plan", lambda: plan_import(store, OWNER, logs))
        timed("write", lambda: carry_out_import(store, OWNER, plan, change_id="first"))
        again = timed("plan the same again", lambda: plan_import(store, OWNER, logs))
        assert not again.new
        assert not again.changed
        timed("export and read back", lambda: export_logs(store, OWNER, folder / "out"))
        timed("back up and read back", lambda: back_up(store, folder / "copy.sqlite"))
        timed("forget one of 50 clients", lambda: forget(store, OWNER, "C-7"))
        timed("undo the import", lambda: undo(store, OWNER, change_id="undo"))
        store.close()


if __name__ == "__main__":
    main()
