"""How often effects hold the truth, and how often strong ones are shown; run as a script.

    python tests/simulation/effects_study.py --clients 200 --kind drawn
    python tests/simulation/effects_study.py --clients 200 --kind mixed --world W2

``drawn``: clients as the world makes them. ``mixed``: each effect of each client is by chance none at all, or
twice its prior sd in either direction (being sore already only upwards), to see strong ones found and absent
ones left alone. Coverage is over all effects, shown or not, so that nothing is selected.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from tqdm import tqdm

# Started by its path, a script finds its own folder only.
sys.path.insert(0, str(Path(__file__).parents[2]))

from analysis.design_terms import TERM_NAMES, TERMS
from analysis.models.pain_fit import PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.brings_it_on import in_the_model, leading_key
from analysis.questions.effects import (
    KNOWN_SHARE,
    LOG_SLOPE_PRIOR_SD,
    MORE_LOAD,
    VARIANT_PRIOR_SD,
    says_more_than_prior,
)
from analysis.questions.effects_changes import changes
from analysis.questions.effects_size import effect_size
from analysis.questions.effects_usual import eta_of_usual, usual_set
from analysis.results import LineKey, Setting
from analysis.simulated_coach import draw_habits
from analysis.simulated_log import sets_frame, simulated_log
from analysis.simulated_person import Person, draw_person
from analysis.simulated_sessions import Conditions, play_sessions, random_plan
from analysis.simulated_truth import WorldTruth
from analysis.simulated_worlds import session_day, world_named
from analysis.training_log import TrainingLog

N_DRAWS = 800
SURE = 0.95
SIMULATED = ("lowering_s", "rom_pct", "place", "prepared", "provoked")
"""Terms of the model that the simulated clients have; the others are left at nothing and tell of null effects."""
ABSENT = ("set_number",)


def strong(term: str) -> float:
    """Twice the prior sd of a term, log-odds for one unit of its column."""
    return 2.0 * TERMS[TERM_NAMES.index(term)].prior_sd


def mixed_person(rng: np.random.Generator, person: Person) -> Person:
    """The same client with effects that are by chance nothing or strong."""

    def one(term: str) -> float:
        return strong(term) * float(rng.choice([0.0, 0.0, -1.0, 1.0]))

    effects = replace(
        person.effects,
        lowering_per_s=one("lowering_s"),
        rom_per_pct=one("rom_pct") / 10.0,
        place_per_set=one("place") / 5.0,
        prepared=one("prepared"),
        provoked=abs(one("provoked")),
    )
    exercises = tuple(
        replace(e, alternative_effect=2.0 * VARIANT_PRIOR_SD * float(rng.choice([0.0, 0.0, -1.0, 1.0])))
        for e in person.exercises
    )
    return replace(person, effects=effects, exercises=exercises)


def made_client(seed: int, world: str, kind: str) -> tuple[TrainingLog, WorldTruth]:
    """A client's log and the truth behind it."""
    family = world_named(world)
    rng = np.random.default_rng([seed, 4])
    person = draw_person(rng, family)
    if kind == "mixed":
        person = mixed_person(rng, person)
    conditions = Conditions(
        n_sessions=family.n_sessions,
        plan=random_plan(sum(e.two_sided for e in person.exercises), family.n_exercises),
        habits=draw_habits(rng),
    )
    played = play_sessions(rng, person, conditions)
    log = simulated_log(sets_frame(played, person, client="S-0001"), person, client="S-0001")
    last_week = session_day(family.n_sessions - 1) / 7
    return log, WorldTruth(person=person, last_week=last_week, rounds_scores=False)


def true_log_odds(truth: WorldTruth) -> dict[str, float]:
    """What each term truly adds, log-odds for one unit of its column."""
    effects = truth.effects
    return {
        "lowering_s": effects.lowering_per_s,
        "rom_pct": 10.0 * effects.rom_per_pct,
        "place": 5.0 * effects.place_per_set,
        "prepared": effects.prepared,
        "provoked": effects.provoked,
    } | dict.fromkeys(ABSENT, 0.0)


def true_points(truth: WorldTruth, key: LineKey, load_kg: float, at: Setting) -> float:
    """True expected score, 5 and more counted as 5."""
    return sum(truth.chance_at(key, load_kg, level, at=at) for level in range(1, 6))


def score(seed: int, world: str, kind: str, n_draws: int) -> list[dict[str, object]]:
    """Every effect of one client beside its truth."""
    log, truth = made_client(seed, world, kind)
    fit = fit_pain_model(log, client="S-0001", options=PainOptions(n_draws=n_draws))
    assert fit.design is not None
    observed = in_the_model(fit, log)
    key = leading_key(fit, tuple(one for one in fit.tried if one.variant == "standard"))
    usual = usual_set(fit, observed, key)
    assert usual.load_kg is not None
    at = {name: fit.design.usual[key.exercise][name] for name in ("lowering_s", "rom_pct", "place")}
    expected = true_log_odds(truth)
    rows = []

    def row(
        term: str, step: NDArray[np.float64], eta: NDArray[np.float64], known: bool, true: float
    ) -> dict[str, object]:
        found = effect_size(fit, eta, step, confidence_level=0.8)
        low95, high95 = np.quantile(step, [0.025, 0.975])
        return {
            "seed": seed,
            "term": term,
            "truth": true,
            "value": found.log_odds.value,
            "in95": bool(low95 <= true <= high95),
            "in80": bool(found.log_odds.low <= true <= found.log_odds.high),
            "shown": known,
            "sure": bool((found.probability_direction or 0.0) >= SURE),
            "right": bool(found.log_odds.value * true > 0),
            "points": found.points.value,
            "points_low95": found.points_low95,
            "points_high95": found.points_high95,
            "true_points": np.nan,
        }

    slope = fit.slopes[:, fit.design.exercises.index(key.exercise)]
    one = row(
        "load",
        slope * MORE_LOAD,
        usual.eta,
        bool(np.log(slope).std() < KNOWN_SHARE * LOG_SLOPE_PRIOR_SD),
        truth.slope(key) * MORE_LOAD,
    )
    before = true_points(truth, key, usual.load_kg, Setting(**at))
    rows.append(one | {"true_points": true_points(truth, key, 1.1 * usual.load_kg, Setting(**at)) - before})
    for change in changes(fit.design, key):
        if change.term not in expected:
            continue
        beta = fit.coefficients[:, change.column]
        one = row(
            change.term,
            beta * change.step,
            usual.eta + beta * change.start,
            says_more_than_prior(beta, TERMS[change.column].prior_sd),
            expected[change.term] * change.step,
        )
        if change.term in ("lowering_s", "rom_pct", "place"):
            ends = [Setting(**at | {change.term: value}) for value in (change.before, change.after)]
            first, second = (true_points(truth, key, usual.load_kg, end) for end in ends)
            one |= {"true_points": second - first}
        rows.append(one)
    for exercise, variant in fit.design.variants:
        side = next(key for key in fit.tried if key.exercise == exercise)
        base = LineKey(exercise=exercise, variant="standard", side=side.side, works=side.works)
        load = usual_set(fit, observed, base).load_kg or 1.0
        eta = eta_of_usual(fit, fit.design, base, load)
        other = LineKey(exercise=exercise, variant=variant, side=side.side, works=side.works)
        step = eta_of_usual(fit, fit.design, other, load) - eta
        effect = truth.exercise(exercise).alternative_effect
        rows.append(row("variant", step, eta, says_more_than_prior(step, VARIANT_PRIOR_SD), effect))
    return rows


def run(seeds: Iterable[int], *, world: str, kind: str, n_draws: int = N_DRAWS) -> pd.DataFrame:
    """Effects of many clients, one row each."""
    rows = [row for seed in tqdm(list(seeds), unit="client") for row in score(seed, world, kind, n_draws)]
    frame = pd.DataFrame(rows)
    inside = (frame["points_low95"] <= frame["true_points"]) & (
        frame["true_points"] <= frame["points_high95"]
    )
    return frame.assign(points95=inside.where(frame["true_points"].notna()).astype("float64"))


def summary(frame: pd.DataFrame) -> pd.DataFrame:
    """Coverage of all; of strong ones the share shown and of those sure and right; of null ones the share sure."""
    null = frame["truth"] == 0.0
    big = frame["truth"].abs() >= [
        2.0 * VARIANT_PRIOR_SD - 1e-9
        if term == "variant"
        else np.inf
        if term == "load"
        else strong(term) - 1e-9
        for term in frame["term"]
    ]

    def of(part: pd.DataFrame) -> dict[str, float]:
        strong_ones, nulls = part[big[part.index]], part[null[part.index]]
        return {
            "n": len(part),
            "cov95": part["in95"].mean(),
            "cov80": part["in80"].mean(),
            "points95": part["points95"].mean(),
            "shown": part["shown"].mean(),
            "n_strong": len(strong_ones),
            "strong_shown": strong_ones["shown"].mean(),
            "strong_sure_right": (strong_ones["sure"] & strong_ones["right"]).mean(),
            "n_null": len(nulls),
            "null_sure": nulls["sure"].mean(),
        }

    by_term = {str(term): of(part) for term, part in frame.groupby("term", sort=False)}
    but_prepared = frame[frame["term"] != "prepared"]
    return pd.DataFrame(by_term | {"all": of(frame), "all but preparation": of(but_prepared)}).T


def main() -> None:
    """Run the study and print its table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--world", default="W2")
    parser.add_argument("--kind", choices=("drawn", "mixed"), default="drawn")
    parser.add_argument("--clients", type=int, default=200)
    parser.add_argument("--seed-from", type=int, default=1)
    parser.add_argument("--draws", type=int, default=N_DRAWS)
    parser.add_argument("--out", type=Path, help="CSV of every effect")
    chosen = parser.parse_args()
    seeds = range(chosen.seed_from, chosen.seed_from + chosen.clients)
    frame = run(seeds, world=chosen.world, kind=chosen.kind, n_draws=chosen.draws)
    if chosen.out is not None:
        frame.to_csv(chosen.out, index=False)
    print(summary(frame).round(3).to_string())


if __name__ == "__main__":
    main()
