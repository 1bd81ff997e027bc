"""The simulated worlds have the distribution of their equations, by a second implementation of them.

`world_reference.json` holds means over clients, with standard errors, of the numbers in `summary`.
They were computed on 2026-11-25 by an independent second implementation of the same equations (a single loop
over sets in numpy, its own random streams; numpy 2.4, Python 3.11): 1,500 clients per world, 400 for the
year. Nothing of this package took part in them.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from analysis.simulate import WORLDS, play_world

REFERENCE = json.loads((Path(__file__).parent / "world_reference.json").read_text(encoding="utf-8"))
N_CLIENTS = {"W2": 120, "W3": 120, "W6": 120, "WY": 40}
N_CLIENTS_OF_A_MONTH = 250
MAX_Z = 4.0
"""Two-sided 6e-5 for one comparison; with about 440 of them 1 set of seeds in 40 would fail by chance. Seeds
are fixed."""
MAX_MEAN_SQUARE_Z = 1.8
"""The mean of z squared over the numbers of a world is 1 if the worlds agree, give or take .3 as they
are correlated; this catches many small shifts that no single number shows."""


MIN_SETS = 4
"""Exercise-sides with fewer sets are left out of the shares over exercise-sides."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlayedClient:
    """Sets of one client as arrays of equal length, the held-out session included, and some of the truth.

    Attributes
    ----------
    session, place, side, alternative, lowering_s, rom_pct, prepared, score, provoked : ndarray of int
        `side` numbers the exercise-sides from 0.
    load_kg : ndarray of float
    n_sessions : int
        Sessions before the held-out one.
    log2_line_first, log2_line_now, slope : ndarray, one value per exercise-side
        Load at which half of the sets hurt at 2, in week 0 and in the last training week; log-odds per
        doubling.
    day_sd : float
    effects : tuple of float
        Log-odds per second of lowering, percent of range, place, and for preparation.
    """

    session: np.ndarray
    place: np.ndarray
    side: np.ndarray
    alternative: np.ndarray
    load_kg: np.ndarray
    lowering_s: np.ndarray
    rom_pct: np.ndarray
    prepared: np.ndarray
    score: np.ndarray
    provoked: np.ndarray
    n_sessions: int
    log2_line_first: np.ndarray
    log2_line_now: np.ndarray
    slope: np.ndarray
    day_sd: float
    effects: tuple[float, float, float, float]


def summary(client: PlayedClient) -> dict[str, float]:
    """Numbers of one client, by name; means over clients are compared."""
    train = client.session < client.n_sessions
    score, side = client.score[train], client.side[train]
    hurt = score >= 2
    log2_load = np.log2(client.load_kg[train])
    above_line = log2_load - client.log2_line_first[side]
    slow, short = client.lowering_s[train] > 2, client.rom_pct[train] < 100
    prepared = client.prepared[train] == 1
    late, provoked = client.place[train] > 9, client.provoked[train] == 1
    session = client.session[train]
    hurt_by_session = np.bincount(session, hurt) / np.bincount(session)
    third = client.n_sessions / 3
    first, last = log2_load[session < third], log2_load[session >= 2 * third]
    n_by_side = np.bincount(side, minlength=len(client.slope))
    hurt_by_side = np.bincount(side, hurt, minlength=len(client.slope))
    enough = n_by_side >= MIN_SETS
    heaviest = np.full(len(client.slope), -np.inf)
    np.maximum.at(heaviest, side, log2_load)
    out = {f"score {k}": float(np.mean(score == k)) for k in range(6)}
    out |= {
        "score 6 or more": float(np.mean(score >= 6)),
        "mean score": float(np.mean(score)),
        "sets": float(len(score)),
        "log2 load above line, 10 %": float(np.quantile(above_line, 0.1)),
        "log2 load above line, median": float(np.median(above_line)),
        "log2 load above line, 90 %": float(np.quantile(above_line, 0.9)),
        "log2 load, last third over first": float(np.mean(last) - np.mean(first)),
        "sides never hurt": float(np.mean(hurt_by_side[enough] == 0)),
        "sides always hurt": float(np.mean(hurt_by_side[enough] == n_by_side[enough])),
        "lines above the heaviest load": float(np.mean((client.log2_line_now > heaviest)[enough])),
        "slow": float(np.mean(slow)),
        "short range": float(np.mean(short)),
        "prepared": float(np.mean(prepared)),
        "alternative": float(np.mean(client.alternative[train])),
        "provoked": float(np.mean(provoked)),
        "hurt and slow": float(np.mean(hurt & slow)),
        "hurt and short range": float(np.mean(hurt & short)),
        "hurt and late": float(np.mean(hurt & late)),
        "hurt and provoked": float(np.mean(hurt & provoked)),
        "hurt by session, variance": float(np.var(hurt_by_session)),
        "hurt in the next session": float(np.mean(client.score[~train] >= 2)),
        "line, gain": float(np.mean(client.log2_line_now - client.log2_line_first)),
        "line, gain spread": float(np.std(client.log2_line_now - client.log2_line_first)),
        "log slope": float(np.mean(np.log(client.slope))),
        "log slope squared": float(np.mean(np.log(client.slope) ** 2)),
        "day sd": client.day_sd,
        "day sd squared": client.day_sd**2,
    }
    for name, value in zip(("lowering", "range", "place", "preparation"), client.effects, strict=True):
        out[f"effect of {name}"] = value
        out[f"effect of {name}, squared"] = value**2
    return out


def played_client(seed: int, world: str) -> PlayedClient:
    """One client of this package's simulator, as arrays."""
    made = play_world(seed, world)
    sides = [(e, s) for e in made.person.exercises for s in e.sides]
    first_side = np.cumsum([0] + [len(e.sides) for e in made.person.exercises])
    last_week = made.played["session_index"].iloc[-1] - 1
    week = last_week // 3 + (0, 2, 4)[last_week % 3] / 7
    log2_first = np.array([s.log2_line for _, s in sides])
    slope = np.array([e.slope for e, _ in sides])
    course = np.array([made.person.trend.at(week) - e.drift_per_week * week for e, _ in sides])
    effects = made.person.effects
    column = {name: made.played[name].to_numpy() for name in made.played.columns}
    return PlayedClient(
        session=column["session_index"],
        place=column["place"],
        side=first_side[column["exercise_index"]] + column["side_index"],
        alternative=column["alternative"],
        load_kg=column["load_kg"],
        lowering_s=column["lowering_s"],
        rom_pct=column["rom_pct"],
        prepared=column["prepared"],
        score=column["score"],
        provoked=column["provoked"],
        n_sessions=made.n_sessions,
        log2_line_first=log2_first,
        log2_line_now=log2_first - course / slope,
        slope=slope,
        day_sd=effects.day_sd,
        effects=(effects.lowering_per_s, effects.rom_per_pct, effects.place_per_set, effects.prepared),
    )


def z_values(world: str) -> dict[str, float]:
    """Difference from the reference in standard errors of both, by name."""
    n_clients = N_CLIENTS.get(world, N_CLIENTS_OF_A_MONTH)
    rows = [summary(played_client(seed, world)) for seed in range(n_clients)]
    reference = REFERENCE["worlds"][world]["summary"]
    assert set(rows[0]) == set(reference)
    z = {}
    for name, known in reference.items():
        values = np.array([row[name] for row in rows])
        std_error = np.hypot(values.std(ddof=1) / np.sqrt(n_clients), known["std_error"])
        if std_error == 0:
            assert values.mean() == known["mean"], name
            continue
        z[name] = float((values.mean() - known["mean"]) / std_error)
    return z


def test_every_world_has_a_reference():
    made_here = {name for name in WORLDS if not name.startswith("W")}
    assert set(WORLDS) - made_here == set(REFERENCE["worlds"])


@pytest.mark.parametrize("world", sorted(REFERENCE["worlds"]))
def test_world_agrees_with_the_second_implementation(world: str):
    z = z_values(world)
    assert len(z) >= 35
    far = {name: round(value, 1) for name, value in z.items() if abs(value) >= MAX_Z}
    assert not far
    assert np.mean(np.square(list(z.values()))) < MAX_MEAN_SQUARE_Z
