"""Time of each screen's script once its answers are kept, and of a what-if over an empty rerun; run as a script.

    python tests/benchmarks/screen_scripts.py [--client Y-20]

Only the script counts, in time of its own thread: what the server and the browser add is the same for every screen.
Bars, two cores: 60 ms a script with a fitted year kept; a what-if at most 100 ms more than an empty rerun.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import streamlit
from streamlit.runtime.scriptrunner import script_runner
from streamlit.testing.v1 import AppTest

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks.measure import heading

ROOT = Path(__file__).parents[2]
SCREENS = (
    *("clients", "today", "month", "pain_line", "effects", "what_next"),
    *("harder", "sides", "check_in", "log"),
)
REPETITIONS = 9


def timed_scripts() -> list[tuple[float, float]]:
    """From now on every script run adds its thread's processor time and its wall time here, milliseconds."""
    times: list[tuple[float, float]] = []
    run: Callable[..., Any] = script_runner.exec_func_with_error_handling

    def run_and_time(*args: Any, **kwargs: Any) -> Any:
        cpu, wall = time.thread_time(), time.perf_counter()
        try:
            return run(*args, **kwargs)
        finally:
            times.append((1000 * (time.thread_time() - cpu), 1000 * (time.perf_counter() - wall)))

    script_runner.exec_func_with_error_handling = run_and_time
    return times


def median_ms(times: list[tuple[float, float]], rerun: Callable[[], object]) -> tuple[float, float]:
    """Median processor and wall time of a few runs, milliseconds."""
    del times[:]
    for _ in range(REPETITIONS):
        rerun()
    return statistics.median(cpu for cpu, _ in times), statistics.median(wall for _, wall in times)


def main() -> None:
    """Print one line a screen."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--client", default="Y-20", help="a sample client")
    chosen = parser.parse_args()
    os.environ["EBBLINE_LOGS"] = str(ROOT / "sample_logs" / chosen.client)
    times = timed_scripts()
    print(f"{heading()}, streamlit {streamlit.__version__}; {chosen.client}, median of {REPETITIONS}")
    print(f"  {'script of the screen':30s}{'processor':>12s}{'wall':>12s}")
    for screen in SCREENS:
        app = opened(screen)
        cpu, wall = median_ms(times, app.run)
        print(f"  {screen:30s}{cpu:9.1f} ms{wall:9.1f} ms", flush=True)
    app = opened("today")
    empty, _ = median_ms(times, app.run)
    asked, _ = median_ms(times, lambda: app.button(key="what if asked").click().run())
    print(f"  {'what-if, over an empty rerun':30s}{asked - empty:9.1f} ms")


def opened(screen: str) -> AppTest:
    """One screen with everything kept."""
    app = AppTest.from_file(str(ROOT / "dashboard" / "app.py"), default_timeout=600)
    app.run()
    if screen != "clients":
        app.switch_page(f"views/{screen}.py").run()
    if app.exception:
        raise SystemExit(f"{screen}: {app.exception[0].message}")
    return app


if __name__ == "__main__":
    main()
