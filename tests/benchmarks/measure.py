"""Timing of a call, and the lines that say where and when a table was measured."""

from __future__ import annotations

import datetime as dt
import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Seconds:
    """Median time of a call: on the wall clock, and of the processor, which a busy machine disturbs less."""

    wall: float
    cpu: float


def measure(run: Callable[[], object], repetitions: int) -> Seconds:
    """Median times of a call, after one that is not counted when there are several."""
    if repetitions > 1:
        run()
    walls, cpus = [], []
    for _ in range(repetitions):
        wall, cpu = time.perf_counter(), time.process_time()
        run()
        walls.append(time.perf_counter() - wall)
        cpus.append(time.process_time() - cpu)
    return Seconds(statistics.median(walls), statistics.median(cpus))


def heading() -> str:
    """Machine, load, date and versions."""
    packages = ", ".join(f"{name} {version(name)}" for name in ("numpy", "scipy", "pandas", "statsmodels"))
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    return (
        f"{dt.datetime.now():%Y-%m-%d %H:%M}, {_processor()}, {os.cpu_count()} cores, load {load:.1f}, "
        f"{platform.system()}\nPython {platform.python_version()}, {packages}, "
        f"OPENBLAS_NUM_THREADS={os.environ.get('OPENBLAS_NUM_THREADS', 'not set')}"
    )


def _processor() -> str:
    listed = Path("/proc/cpuinfo")
    names = [
        line.partition(":")[2].strip()
        for line in (listed.read_text(encoding="utf-8").splitlines() if listed.exists() else [])
        if line.startswith("model name")
    ]
    return names[0] if names else platform.processor() or platform.machine()


def row(what: str, seconds: Seconds, remark: str = "") -> str:
    """One line of a table."""
    return f"  {what:42s}{_time(seconds.cpu):>10s}{_time(seconds.wall):>10s}  {remark}".rstrip()


def _time(seconds: float) -> str:
    return f"{1000 * seconds:.1f} ms" if seconds < 1 else f"{seconds:.2f} s"
