"""Time of checking a log of 100,000 sets, in process; prints the best and the median of five runs.

Run with ``OPENBLAS_NUM_THREADS=1 python tests/benchmarks/check_100k.py`` from the project's root.
"""

from __future__ import annotations

import datetime as dt
import statistics
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd

from analysis.log import check_log, log_from_frames, write_log

N_CLIENTS, N_SESSIONS, N_SETS = 50, 100, 20
TODAY = dt.date(2028, 1, 1)


def long_log(seed: int = 20260302) -> dict[str, pd.DataFrame]:
    """Frames of 50 clients with 100 sessions of 20 sets; every tenth set has its own note."""
    rng = np.random.default_rng(seed)
    client, session, place = (
        index.ravel() for index in np.indices((N_CLIENTS, N_SESSIONS, N_SETS), dtype=np.int64)
    )
    n_rows = client.size
    exercise = place // 4
    names = np.array(
        ["step-down", "split squat", "calf raise", "hinge with dumbbells", "wall sit"], dtype=object
    )
    pain = rng.choice(11, n_rows, p=[0.6, 0.15, 0.1, 0.05, 0.04, 0.02, 0.01, 0.01, 0.01, 0.005, 0.005])
    left = place % 2 == 0
    note = np.array(
        [f"set {i} on the back stairs" if i % 10 == 0 else None for i in range(n_rows)], dtype=object
    )
    sets = pd.DataFrame(
        {
            "client": np.char.add("C-", client.astype(str)),
            "date": pd.Timestamp("2026-01-05") + pd.to_timedelta(2 * session, unit="D"),
            "session": 1,
            "set": place + 1,
            "block": np.where(exercise == 0, "ramp-up", "main"),
            "kind": "working",
            "exercise": names[exercise],
            "variant": np.where(place % 3 == 0, "low box", None),
            "side": np.where(left, "left", "right"),
            "load": rng.choice([8.0, 10.0, 12.5, 14.0, 16.0], n_rows),
            "unit": "kg",
            "load_basis": "per hand",
            "reps": rng.integers(6, 13, n_rows),
            "target_reps": 10,
            "tempo": rng.choice(["3-1-1-0", "4-0-X-1"], n_rows),
            "range_stop": rng.choice(["box 45 cm", "box 30 cm", "full"], n_rows),
            "rom_pct": rng.choice([70.0, 85.0, 100.0], n_rows),
            "rir": rng.integers(0, 5, n_rows).astype(float),
            "rest_s": rng.choice([60.0, 90.0, 120.0], n_rows),
            "pain_left": pd.array(np.where(left, pain, -1), dtype="Int64"),
            "pain_right": pd.array(np.where(left, -1, pain), dtype="Int64"),
            "burn": rng.integers(0, 8, n_rows),
            "compensation": "none",
            "stopped_for": "goal",
            "logged_by": "coach",
            "note": note,
        }
    )
    for column in ("pain_left", "pain_right"):
        sets[column] = sets[column].where(sets[column] >= 0)
    days = pd.DataFrame(
        {
            "client": np.repeat(np.char.add("C-", np.arange(N_CLIENTS).astype(str)), 200),
            "date": np.tile(pd.date_range("2026-01-05", periods=200), N_CLIENTS),
            "pain_morning": rng.integers(0, 4, N_CLIENTS * 200),
        }
    )
    return {"sets": sets, "days": days}


def main() -> None:
    """Write the log to a temporary folder, check it five times, print the seconds."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long"
        write_log(log_from_frames(**long_log()), path)
        seconds = []
        for _ in range(5):
            start = time.perf_counter()
            found = check_log(path, today=TODAY)
            seconds.append(time.perf_counter() - start)
    print(f"rows {found.n_rows}, problems {len(found.problems)}, remarks {len(found.remarks)}")
    print(f"check_log: best {min(seconds):.2f} s, median {statistics.median(seconds):.2f} s (bar 1.5 s)")


if __name__ == "__main__":
    main()
