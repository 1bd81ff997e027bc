"""Makes `month.csv` and `year.csv`: simulated pain scores of one client, by no model the project fits.

    python tests/benchmarks/data/make.py           (--check compares instead of writing)

Scores 0 to 10 come from a cumulative logit model with every load drawn at random round the exercise's own, a slope
per exercise that is normal (and so may be nearly flat), and effects of session, exercise, and exercise and side.
Three quarters of the scores are 0. The year has 150 sessions of 5 exercises, 2 sets and both sides (3,000 rows);
the month 12 sessions of 3 exercises, 3 sets and both sides (216 rows), of the same client.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd

HERE = Path(__file__).parent
N_EXERCISES = 12
CUTPOINTS = np.array([1.9, 2.5, 3.1, 3.9, 4.7, 5.5, 6.3, 7.2, 8.2, 9.4])
SLOPE, SLOPE_SD = 4.0, 1.0
"""Logits per e-fold of load."""
LOWERING, RANGE, ORDER, WEEK = -0.25, 0.02, 0.04, -0.02
"""Logits per second, per percent of the range, per set, per week."""
SESSION_SD, EXERCISE_SD, SIDE_SD = 0.6, 0.8, 0.5
COLUMNS = ["session", "week", "exercise", "side", "exside", "order", "load", "lload", "ecc", "rom", "pain"]


@dataclass(frozen=True, slots=True)
class Person:
    """The exercises' reference loads (kg), and their effects."""

    load_kg: dict[str, float]
    effect: dict[str, float]
    slope: dict[str, float]
    side: dict[tuple[str, str], float]


def person(rng: np.random.Generator) -> Person:
    """One client."""
    names = [f"E{i + 1:02d}" for i in range(N_EXERCISES)]

    def each(values: np.ndarray) -> dict[str, float]:
        return dict(zip(names, values.tolist(), strict=True))

    loads = each(np.round(np.exp(rng.uniform(np.log(4), np.log(60), N_EXERCISES)), 1))
    effect = each(rng.normal(0, EXERCISE_SD, N_EXERCISES))
    slope = each(rng.normal(0, SLOPE_SD, N_EXERCISES))
    side = {(name, side): float(rng.normal(0, SIDE_SD)) for name in names for side in "LR"}
    return Person(loads, effect, slope, side)


def rows(
    rng: np.random.Generator, client: Person, *, sessions: int, exercises: int, sets: int
) -> pd.DataFrame:
    """Sets of both sides in every session, three sessions a week."""
    found = []
    for session in range(sessions):
        day, week, order = rng.normal(0, SESSION_SD), session / 3.0, 0
        for name in rng.choice(list(client.load_kg), exercises, replace=False):
            typical = client.load_kg[name]
            planned = typical * np.exp(0.006 * (week - 25) + rng.normal(0, 0.12))
            for _ in range(sets):
                for side in "LR":
                    order += 1
                    load = max(0.5, round(planned * np.exp(rng.normal(0, 0.08)) * 2) / 2)
                    lowering = float(rng.integers(1, 7))
                    percent = float(np.clip(round(rng.normal(85, 12) / 5) * 5, 40, 100))
                    log_load = np.log(load / typical)
                    eta = (SLOPE + client.slope[name]) * log_load + LOWERING * (lowering - 3)
                    eta += RANGE * (percent - 85) + ORDER * (order - 10) + WEEK * (week - 25)
                    eta += day + client.effect[name] + client.side[name, side]
                    pain = int((eta + rng.logistic() > CUTPOINTS).sum())
                    found.append(
                        (
                            f"S{session + 1:03d}",
                            round(week, 3),
                            str(name),
                            side,
                            f"{name}:{side}",
                            order,
                            load,
                            round(log_load, 6),
                            lowering,
                            percent,
                            pain,
                        )
                    )
    return pd.DataFrame(found, columns=COLUMNS)


def both() -> dict[str, pd.DataFrame]:
    """The two files."""
    rng = np.random.default_rng(20261)
    client = person(rng)
    year = rows(rng, client, sessions=150, exercises=5, sets=2)
    month = rows(np.random.default_rng(20262), client, sessions=12, exercises=3, sets=3)
    return {"month.csv": month, "year.csv": year}


def main() -> None:
    """Write the files, or compare them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="compare with the stored files, write nothing")
    chosen = parser.parse_args()
    for name, frame in both().items():
        text = frame.to_csv(index=False)
        if not chosen.check:
            (HERE / name).write_text(text, encoding="utf-8")
        elif (HERE / name).read_text(encoding="utf-8") != text:
            sys.exit(f"{name} is not what make.py makes.")


if __name__ == "__main__":
    main()
