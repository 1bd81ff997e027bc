"""What is also written down beside load and pain, made up to fit played sessions (layer: simulate)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from analysis.results import AskedSide
from analysis.simulated_person import Person
from analysis.simulated_sessions import set_log_odds
from analysis.simulated_worlds import ANCHOR_LEVEL, CUTPOINTS, session_day

ASKED = ("left", "right", "midline")


@dataclass(frozen=True, slots=True, kw_only=True)
class FurtherSide:
    """A second side asked in the same set: which, and how far its line is above the first one's (log2 kg)."""

    asked: AskedSide
    log2_above: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """How an exercise is done and logged.

    Attributes
    ----------
    reps, hold_s : int or None
        Repetitions or seconds, one of them.
    rest_s : int
    stops : mapping of int to str
        Range stop by percent of the full range; empty if percent is logged.
    band : str or None
        Name of the band; its sets have no load.
    loaded : bool
        False for work with the body alone.
    test_set : bool
        Whether its sets of usual tempo and full range are the repeated test.
    further : FurtherSide or None
    """

    reps: int | None = 8
    hold_s: int | None = None
    rest_s: int = 90
    stops: Mapping[int, str] = field(default_factory=dict)
    band: str | None = None
    loaded: bool = True
    test_set: bool = False
    further: FurtherSide | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """How a log is kept: shares of blank pain scores and of other blank cells, and where it usually hurts."""

    blank_pain_share: float = 0.03
    blank_share: float = 0.2
    usual_pain_at: str = "bottom"


def annotate_sets(
    rng: np.random.Generator,
    sets: pd.DataFrame,
    played: pd.DataFrame,
    person: Person,
    doses: Mapping[str, Dose],
    habits: Habits,
    days: tuple[int, ...] | None = None,
) -> pd.DataFrame:
    """Sets with everything else a careful coach writes down.

    Nothing here changes a load or the pain of the first asked side; a further side asked is drawn from the
    same equations as the first.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of chance.
    sets, played : DataFrame
        The same sets, as `analysis.simulated_log.sets_frame` writes them and as they were played.
    person : Person
        Whose sets they are.
    doses : mapping of str to Dose
        By exercise; the usual dose where there is none.
    habits : Habits
        How the log is kept.
    days : tuple of int, optional
        Day of each session; three a week if None.

    Returns
    -------
    DataFrame
        A new frame of sets.
    """
    main = (sets["block"] == "main").to_numpy()
    rows = sets.loc[main].reset_index(drop=True)
    dose = [doses.get(name, Dose()) for name in rows["exercise"]]
    scores = _asked_scores(rng, rows, played, person, dose, days)
    worst = scores.max(axis=1).fillna(0).astype("int64").to_numpy()
    for column, values in (
        _dose_columns(rows, dose)
        | _pain_columns(rng, worst, habits)
        | _effort_columns(rng, rows, worst, habits)
        | _decision_columns(played, worst)
        | _trial_columns(rows, dose)
    ).items():
        rows[column] = pd.Series(values, index=rows.index, dtype=rows[column].dtype)
    rows[scores.columns] = scores
    rows = _cut_short(rng, rows, worst)
    unasked = rng.random(len(rows)) < habits.blank_pain_share
    rows.loc[unasked, list(scores.columns)] = pd.NA
    rows.index = sets.index[main]
    return pd.concat([sets[~main], rows.astype(dict(sets.dtypes))]).sort_index()


def _asked_scores(
    rng: np.random.Generator,
    rows: pd.DataFrame,
    played: pd.DataFrame,
    person: Person,
    dose: list[Dose],
    days: tuple[int, ...] | None,
) -> pd.DataFrame:
    scores = rows[[f"pain_{side}" for side in ASKED]].copy()
    numbers = {name: played[name].to_numpy() for name in played.columns}
    for k in range(len(played)):
        further = dose[k].further
        if further is None:
            continue
        exercise = person.exercises[int(numbers["exercise_index"][k])]
        line = exercise.sides[int(numbers["side_index"][k])].log2_line + further.log2_above
        session = int(numbers["session_index"][k])
        log_odds = set_log_odds(
            person,
            exercise,
            log2_above_line=float(np.log2(numbers["load_kg"][k])) - line,
            lowering_s=float(numbers["lowering_s"][k]),
            rom_pct=float(numbers["rom_pct"][k]),
            place=float(numbers["place"][k]),
            prepared=float(numbers["prepared"][k]),
            alternative=bool(numbers["alternative"][k]),
            provoked=bool(numbers["provoked"][k]),
            week=(session_day(session) if days is None else days[session]) / 7,
        )
        latent = log_odds + CUTPOINTS[ANCHOR_LEVEL - 1] + numbers["day_effect"][k] + rng.logistic()
        scores.loc[k, f"pain_{further.asked}"] = int(np.searchsorted(CUTPOINTS, latent))
    return scores


def _dose_columns(rows: pd.DataFrame, dose: list[Dose]) -> dict[str, object]:
    rom = rows["rom_pct"].to_numpy()
    lowering = rows["tempo"].str.split("-").str[0]
    return {
        "reps": [pd.NA if d.reps is None else d.reps for d in dose],
        "target_reps": [pd.NA if d.reps is None else d.reps for d in dose],
        "hold_s": [np.nan if d.hold_s is None else d.hold_s for d in dose],
        "tempo": [
            None if d.reps is None else f"{s}-{1 if d.stops else 0}-1-0"
            for d, s in zip(dose, lowering, strict=True)
        ],
        "rest_s": [d.rest_s for d in dose],
        "range_stop": [d.stops.get(int(r)) for d, r in zip(dose, rom, strict=True)],
        "rom_pct": [np.nan if d.stops or d.reps is None else r for d, r in zip(dose, rom, strict=True)],
        "band": [d.band for d in dose],
        "load": [
            load if d.loaded and d.band is None else np.nan
            for d, load in zip(dose, rows["load"], strict=True)
        ],
        "unit": ["kg" if d.loaded and d.band is None else None for d in dose],
    }


def _pain_columns(rng: np.random.Generator, worst: np.ndarray, habits: Habits) -> dict[str, object]:
    n = len(worst)
    hurt = worst >= ANCHOR_LEVEL
    at = np.where(rng.random(n) < 0.75, habits.usual_pain_at, rng.choice(["middle", "throughout"], n))
    when = rng.choice(["building", "last reps", "first reps", "afterwards"], n, p=[0.45, 0.35, 0.12, 0.08])
    feel = np.where((worst >= 5) & (rng.random(n) < 0.25), "sharp", "ache")
    slight = rng.random(n) < np.where(worst >= 3, 0.6, 0.06)
    compensation = np.where(slight, np.where(worst >= 6, "clear", "slight"), "none")
    blank = np.array(None, dtype=object)
    return {
        "pain_at": np.where(hurt, at, blank),
        "pain_when": np.where(hurt, when, blank),
        "pain_feel": np.where(hurt, feel, blank),
        "compensation": np.where(rng.random(n) < habits.blank_share, blank, compensation),
    }


def _effort_columns(
    rng: np.random.Generator, rows: pd.DataFrame, worst: np.ndarray, habits: Habits
) -> dict[str, object]:
    """Reps in reserve and burn fall and rise over the rounds of an exercise, whatever the joint does."""
    n = len(rows)
    rounds = rows.groupby(["date", "exercise", "side"]).cumcount().to_numpy()
    rir = np.clip(4 - rounds + rng.integers(-1, 2, n), 0, 6)
    burn = np.clip(2 + rounds + rng.integers(0, 4, n), 0, 10)
    is_first = rounds == 0
    before = np.where(rng.random(n) < 0.25 + 0.1 * (worst >= 2), 1, 0)
    holds = rows["hold_s"].notna().to_numpy()
    return {
        "rir": np.where(holds | (rng.random(n) < habits.blank_share), np.nan, rir),
        "burn": pd.Series(np.where(rng.random(n) < habits.blank_share, np.nan, burn), dtype="Int64"),
        "pain_before": pd.Series(np.where(is_first, before, np.nan), dtype="Int64"),
        "felt": np.where(is_first & (rng.random(n) < 0.9), "target", np.array(None, dtype=object)),
        "stopped_for": np.where(rir == 0, "effort", "goal"),
    }


def _decision_columns(played: pd.DataFrame, worst: np.ndarray) -> dict[str, object]:
    """What was done next after a painful set, and why a load was chosen, read off the sets that followed."""
    side = played.groupby(["exercise_index", "side_index"])
    following = side[["session_index", "load_kg", "lowering_s", "rom_pct"]].shift(-1)
    response = np.select(
        [
            following["session_index"].isna() | (following["session_index"] != played["session_index"]),
            following["load_kg"] < played["load_kg"],
            following["rom_pct"] < played["rom_pct"],
            following["lowering_s"] > played["lowering_s"],
        ],
        ["", "lighter", "shorter range", "slower"],
        default="same",
    )
    lighter = played["load_kg"] < side["load_kg"].shift(1).fillna(0)
    chosen = np.select([played["backed_off"] == 1, lighter], ["feel", "pain"], default="plan")
    blank = np.array(None, dtype=object)
    return {
        "response": np.where((worst >= ANCHOR_LEVEL) & (response != ""), response, blank),
        "chosen_for": chosen,
    }


def _trial_columns(rows: pd.DataFrame, dose: list[Dose]) -> dict[str, object]:
    other = rows["variant"].notna()
    first_go = other & ~rows[other].duplicated(["exercise", "side", "variant"]).reindex(
        rows.index, fill_value=True
    )
    plain = rows["tempo"].str.startswith("2-") & (rows["rom_pct"] == 100) & ~other
    test = np.array([d.test_set for d in dose]) & plain
    return {
        "trial": first_go.astype("boolean").mask(~first_go),
        "test_set": pd.Series(test, dtype="boolean").mask(~test),
    }


def _cut_short(rng: np.random.Generator, rows: pd.DataFrame, worst: np.ndarray) -> pd.DataFrame:
    """Sets of 5 or more are often stopped, and now and then the score is forgotten over it."""
    stopped = (worst >= 5) & (rng.random(len(rows)) < 0.7)
    share = rng.uniform(0.4, 0.9, len(rows))
    forgotten = stopped & (rng.random(len(rows)) < 0.15)
    rows = rows.copy()
    rows.loc[stopped, "stopped_for"] = "pain"
    cut_reps = pd.Series(np.floor(rows["reps"].astype("float64") * share), dtype="Int64")
    rows["reps"] = rows["reps"].mask(stopped, cut_reps)
    rows["hold_s"] = rows["hold_s"].mask(stopped, np.round(rows["hold_s"] * share))
    rows.loc[forgotten, [f"pain_{side}" for side in ASKED]] = pd.NA
    return rows
