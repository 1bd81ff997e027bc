"""Results kept with a log: worked out once, handed out apart, gone with the log."""

from __future__ import annotations

import datetime as dt
import gc
import weakref

import pandas as pd

from analysis.derive import derive_sets
from analysis.kept import MOST, kept
from analysis.training_log import TrainingLog
from tests.small_logs import small_log, squat


def counting() -> tuple[object, list[str]]:
    asked: list[str] = []

    @kept
    def frame(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> pd.DataFrame:
        asked.append(client)
        return pd.DataFrame({"client": [client]})

    return frame, asked


def test_it_is_worked_out_once_for_each_log_client_and_day() -> None:
    frame, asked = counting()
    log = small_log([squat(0, 1, 8.0, 0)])
    for day in (None, None, dt.date(2026, 6, 1), dt.date(2026, 6, 1)):
        frame(log, "a", as_of=day)
    frame(log, "b")
    assert asked == ["a", "a", "b"]
    frame(small_log([squat(0, 1, 8.0, 0)]), "a")
    assert asked == ["a", "a", "b", "a"]


def test_an_edited_copy_does_not_change_what_is_kept() -> None:
    log = small_log([squat(0, 1, 8.0, 0)])
    first = derive_sets(log, "T-01")
    first["load_kg"] = 99.0
    first.loc[0, "reps"] = 1
    second = derive_sets(log, "T-01")
    assert second["load_kg"].tolist() == [8.0]
    assert second["reps"].tolist() == [8]


def test_the_oldest_goes_first() -> None:
    frame, asked = counting()
    log = small_log([squat(0, 1, 8.0, 0)])
    for number in range(MOST + 1):
        frame(log, str(number))
    frame(log, str(MOST))
    frame(log, "0")
    assert asked == [*(str(number) for number in range(MOST + 1)), "0"]


def test_nothing_keeps_a_log_alive() -> None:
    log = small_log([squat(0, 1, 8.0, 0)])
    derive_sets(log, "T-01")
    seen = weakref.ref(log)
    del log
    gc.collect()
    assert seen() is None
