"""Forecasts of the next session: the first set of each exercise and side, by the model and by simpler ways.

Later sets of a session are left out: their loads depend on how the first ones went, which makes any honest
forecast look wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pandas as pd
from scipy.special import expit

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import chance_draws
from analysis.questions.pain_line import FEWEST_ASKED, FEWEST_LOADS
from analysis.results import LineKey, Setting
from analysis.schema import STANDARD_VARIANT
from analysis.simulate import SimulatedClient
from tests.simulation.study_firth import fit_firth

Row = dict[str, object]


def next_session_rows(fit: PainFit, client: SimulatedClient) -> list[Row]:
    """Whether each first set of the next session hurt, and its chance by each way of forecasting.

    Parameters
    ----------
    fit : PainFit
    client : SimulatedClient

    Returns
    -------
    list of dict
        ``model``: mean chance at that set's load and covariates, over days; ``client_rate`` and ``side_rate``:
        painful sets plus one half over sets plus one; ``firth``: logistic regression of that side on log2
        load, None under 6 sets or 2 loads; ``truth``: the chance by the equations that made the set. Sides
        the model has never seen are left out.
    """
    if fit.design is None:
        return []
    asked = asked_sets(client.log.sets)
    client_rate = _rate(asked["hurt"])
    rows = []
    for key, load_kg, at, hurt in _first_sets(client):
        model_key = key if key in fit.tried else replace(key, variant=STANDARD_VARIANT)
        if model_key not in fit.tried:
            continue
        own = asked[(asked["exercise"] == key.exercise) & (asked["works"] == key.works)]
        draws = chance_draws(fit, fit.design, model_key, np.array([load_kg]), level=fit.level, at=at)
        rows.append(
            {
                "exercise": key.exercise,
                "variant": key.variant,
                "side": key.side,
                "load_kg": load_kg,
                "hurt": float(hurt >= fit.level),
                "truth": client.truth.chance_at(key, load_kg, fit.level, at=at),
                "model": float(draws.mean()),
                "client_rate": client_rate,
                "side_rate": _rate(own["hurt"]),
                "firth": _firth_chance(own, load_kg),
            }
        )
    return rows


def asked_sets(sets: pd.DataFrame) -> pd.DataFrame:
    """Sets with an answer: exercise, variant, side that works, day, load and whether it hurt at 2 or more."""
    pain = sets[["pain_left", "pain_right", "pain_midline"]].max(axis=1)
    asked = pain.notna()
    rows = sets[asked]
    return pd.DataFrame(
        {
            "exercise": rows["exercise"],
            "variant": rows["variant"].fillna(STANDARD_VARIANT),
            "works": rows["side"],
            "date": rows["date"],
            "load_kg": rows["load"],
            "hurt": (pain[asked] >= 2).to_numpy(bool),
        }
    )


def _first_sets(client: SimulatedClient) -> Iterator[tuple[LineKey, float, Setting, int]]:
    last = client.played[client.played["session_index"] == client.played["session_index"].max()]
    first = last.drop_duplicates(["exercise_index", "side_index"])
    for played in first.itertuples():
        exercise = client.truth.person.exercises[played.exercise_index]
        side = exercise.sides[played.side_index]
        key = LineKey(
            exercise=exercise.name,
            variant=exercise.alternative if played.alternative else STANDARD_VARIANT,
            side=side.asked,
            works=side.works,
        )
        at = Setting(
            lowering_s=played.lowering_s,
            rom_pct=played.rom_pct,
            place=played.place,
            set_number=1,
            prepared=bool(played.prepared),
            provoked=bool(played.provoked),
        )
        yield key, float(played.load_kg), at, int(played.score)


def _rate(hurt: pd.Series) -> float:
    return float((hurt.sum() + 0.5) / (len(hurt) + 1.0))


def _firth_chance(own: pd.DataFrame, load_kg: float) -> float | None:
    if len(own) < FEWEST_ASKED or own["load_kg"].nunique() < FEWEST_LOADS:
        return None
    intercept, slope = fit_firth(np.log2(own["load_kg"].to_numpy(float)), own["hurt"].to_numpy(float))
    return float(expit(intercept + slope * np.log2(load_kg)))
