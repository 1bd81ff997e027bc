"""What must not change an answer: units, row order, session labels, names, dates, which side is called left."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import line_draws
from analysis.results import LineKey
from analysis.schema import KG_PER_LB
from analysis.simulate import simulate_client
from analysis.training_log import TrainingLog

FEW = PainOptions(n_draws=640)
SAME = 1e-6
"""Answers that must not differ, on log2 load."""
OTHER_UNIT = 1e-3
"""Pounds change the centre in the last digits; draws then differ by rounding."""
MIRRORED = 0.08
"""Swapped sides are drawn with other random numbers: a few Monte Carlo errors of a median, on log2 load."""


@pytest.fixture(scope="module")
def log() -> TrainingLog:
    return simulate_client(5, "W1").log


def changed(log: TrainingLog, sets: pd.DataFrame, **others: pd.DataFrame) -> TrainingLog:
    names = (
        "clients",
        "sites",
        "pains",
        "sessions",
        "days",
        "tasks",
        "events",
        "exercises",
        "variants",
        "ranges",
    )
    frames = {name: others.get(name, log.frame(name)) for name in (*names, "limits")}
    return TrainingLog(sets=sets, **frames)


def fitted(log: TrainingLog) -> PainFit:
    return fit_pain_model(log, client=str(log.sets["client"].iloc[0]), options=FEW)


def medians(fit: PainFit) -> dict[LineKey, float]:
    assert fit.design is not None
    return {
        key: float(np.median(line_draws(fit, fit.design, key, level=2, chance=0.2)))
        for key, tried in fit.tried.items()
        if tried.heaviest_kg is not None
    }


@pytest.fixture(scope="module")
def before(log: TrainingLog) -> dict[LineKey, float]:
    return medians(fitted(log))


def assert_same(after: dict[LineKey, float], before: dict[LineKey, float], tolerance: float) -> None:
    assert after.keys() == before.keys()
    for key, value in before.items():
        assert after[key] == pytest.approx(value, abs=tolerance), key


def test_row_order(log: TrainingLog, before: dict[LineKey, float]) -> None:
    shuffled = log.sets.sample(frac=1.0, random_state=3, ignore_index=True)
    assert_same(medians(fitted(changed(log, shuffled))), before, SAME)


def test_session_labels(log: TrainingLog, before: dict[LineKey, float]) -> None:
    relabelled = log.sets.assign(session=(log.sets["session"].fillna(1) + 4).astype("Int64"))
    sessions = log.sessions.assign(session=(log.sessions["session"].fillna(1) + 4).astype("Int64"))
    assert_same(medians(fitted(changed(log, relabelled, sessions=sessions))), before, SAME)


def test_dates_shifted_together(log: TrainingLog, before: dict[LineKey, float]) -> None:
    shift = pd.Timedelta(days=100)
    dated = {
        name: log.frame(name).assign(date=log.frame(name)["date"] + shift)
        for name in ("sessions", "days", "events", "tasks", "pains")
    }
    moved = log.sets.assign(date=log.sets["date"] + shift)
    assert_same(medians(fitted(changed(log, moved, **dated))), before, SAME)


def test_names_of_exercises(log: TrainingLog, before: dict[LineKey, float]) -> None:
    names = {name: f"Z{99 - i}" for i, name in enumerate(log.sets["exercise"].unique())}
    renamed = {
        name: log.frame(name).assign(exercise=log.frame(name)["exercise"].map(lambda e: names.get(e, e)))
        for name in ("exercises", "variants", "ranges")
    }
    fit = fitted(changed(log, log.sets.assign(exercise=log.sets["exercise"].map(names)), **renamed))
    back = {new: old for old, new in names.items()}
    after = {
        LineKey(exercise=back[k.exercise], variant=k.variant, side=k.side, works=k.works): v
        for k, v in medians(fit).items()
    }
    assert_same(after, before, SAME)


def test_pounds(log: TrainingLog, before: dict[LineKey, float]) -> None:
    in_pounds = log.sets.assign(load=log.sets["load"] / KG_PER_LB, unit="lb")
    assert_same(medians(fitted(changed(log, in_pounds))), before, OTHER_UNIT)


def test_swapping_sides_swaps_the_lines(log: TrainingLog, before: dict[LineKey, float]) -> None:
    other = {"left": "right", "right": "left", "both": "both", "midline": "midline"}
    sets = log.sets
    swapped = sets.assign(
        side=sets["side"].map(other), pain_left=sets["pain_right"], pain_right=sets["pain_left"]
    )
    sites = log.sites.assign(side=log.sites["side"].map(lambda s: other.get(s, s)))
    fit = fitted(changed(log, swapped, sites=sites))
    after = {
        LineKey(exercise=k.exercise, variant=k.variant, side=other[k.side], works=other[k.works]): v  # type: ignore[arg-type]
        for k, v in medians(fit).items()
    }
    assert_same(after, before, MIRRORED)
