"""Tables of the study, on scores whose answer is known: perfect, shifted, and right as often as they say."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy.stats import norm

from tests.simulation.study_bootstrap import ratio, resamples
from tests.simulation.study_lines import QUANTILES
from tests.simulation.study_next_tables import forecast_cells
from tests.simulation.study_tables import study_table

N_CLIENTS, N_LINES = 400, 10


def made_scores(*, shift: float = 0.0, half_width: float = 0.5) -> dict[str, pd.DataFrame]:
    """Lines whose middle lies `shift` above the truth, all printed whole."""
    truth = np.linspace(3.0, 5.0, 40)
    names = {"q025": -2.0, "q10": -1.0, "q50": 0.0, "q90": 1.0, "q975": 2.0}
    lines = pd.DataFrame({name: truth + shift + at * half_width for name, at in names.items()})
    lines = lines.assign(truth=truth, world="W1", seed=np.repeat(np.arange(4), 10), kind="base")
    lines = lines.assign(setting="fixed", chance=0.2, status="reached", n_asked=20, heaviest=6.0)
    return {"clients": clients(4), "lines": lines}


def clients(n: int) -> pd.DataFrame:
    frame = pd.DataFrame({"world": "W1", "seed": np.arange(n), "failure": None, "converged": True})
    return frame.assign(fit_draws=800, seconds=0.3, n_asked=200, unasked_share=0.0)


def row(scores: dict[str, pd.DataFrame], **where: object) -> pd.Series:
    table = study_table(scores)
    chosen = table[table["table"] == where.pop("table", "lines")]
    for name, value in where.items():
        chosen = chosen[chosen[name] == value]
    assert len(chosen) == 1
    return chosen.iloc[0]


def test_the_truth_put_in_as_the_estimate_is_perfect() -> None:
    every = row(made_scores(), status="all")
    for name in ("cov95", "cov80", "lower90", "printed_right"):
        assert (every[name], every[f"{name}_low"], every[f"{name}_high"]) == (1.0, 1.0, 1.0)
    assert every["bias"] == pytest.approx(0.0, abs=1e-12)
    assert every["rmse"] == pytest.approx(0.0, abs=1e-12)
    assert every["width80"] == pytest.approx(1.0)
    assert every["open_share"] == 0.0


def test_a_shifted_estimate_is_caught() -> None:
    high, low = (row(made_scores(shift=shift), status="all") for shift in (0.7, -0.7))
    assert (high["cov95"], high["cov80"], high["lower90"], high["printed_right"]) == (1.0, 0.0, 0.0, 0.0)
    assert (low["cov95"], low["cov80"], low["lower90"]) == (1.0, 0.0, 1.0)
    assert (high["bias"], low["bias"]) == (pytest.approx(0.7), pytest.approx(-0.7))
    assert high["rmse"] == pytest.approx(0.7)


@pytest.mark.parametrize(
    ("status", "shift", "right"),
    [
        ("lower_only", -0.7, 1.0),
        ("lower_only", 0.7, 0.0),
        ("below_tried", 0.7, 1.0),
        ("below_tried", -0.7, 0.0),
        ("above_tried", 0.4, 1.0),
    ],
)
def test_a_status_is_held_to_the_bounds_it_states(status: str, shift: float, right: float) -> None:
    scores = made_scores(shift=shift)
    scores["lines"]["status"] = status
    assert row(scores, status=status)["printed_right"] == right


def test_above_tried_states_no_more_than_the_heaviest_load() -> None:
    scores = made_scores(shift=0.7)
    scores["lines"] = scores["lines"].assign(status="above_tried", heaviest=2.0)
    assert row(scores, status="above_tried")["printed_right"] == 1.0
    assert row(scores, status="above_tried")["lower90"] == 0.0


def test_every_status_is_a_share_and_withheld_ones_are_counted() -> None:
    scores = made_scores()
    scores["lines"].loc[:9, "status"] = "withheld: few sets"
    scores["lines"].loc[10:14, "status"] = "lower_only"
    assert row(scores, status="all")["open_share"] == pytest.approx(15 / 40)
    assert row(scores, status="withheld: few sets")["share"] == pytest.approx(10 / 40)
    assert np.isnan(row(scores, status="withheld: few sets")["printed_right"])


def test_alternative_variants_count_from_six_sets() -> None:
    scores = made_scores()
    scores["lines"] = scores["lines"].assign(kind="alternative", n_asked=[5] * 30 + [6] * 10)
    assert row(scores, status="all")["lines"] == 10
    assert row(scores, status="reached")["lines"] == 40


def test_a_chance_a_hair_outside_its_interval_is_told_apart() -> None:
    chances = made_scores(shift=0.505, half_width=0.5)["lines"].assign(where="last load", mean=0.0)
    cell = row({"clients": clients(4), "chances": chances}, table="chances", status="all")
    assert (cell["cov80"], cell["near80"], cell["cov95"]) == (0.0, 1.0, 1.0)
    far = made_scores(shift=0.52, half_width=0.5)["lines"].assign(where="last load", mean=0.0)
    assert row({"clients": clients(4), "chances": far}, table="chances", status="all")["near80"] == 0.0


def honest_scores(seed: int, shared: float) -> dict[str, pd.DataFrame]:
    """Lines with normal errors of which a share is common to a client; the intervals say the truth."""
    rng = np.random.default_rng(seed)
    client = np.repeat(np.arange(N_CLIENTS), N_LINES)
    z = np.sqrt(shared) * rng.normal(size=N_CLIENTS)[client]
    z = z + np.sqrt(1.0 - shared) * rng.normal(size=client.size)
    lines = pd.DataFrame({name: z + norm.ppf(q) for name, q in QUANTILES.items()})
    lines = lines.assign(truth=0.0, world="W1", seed=client, kind="base", setting="fixed", chance=0.2)
    return {"clients": clients(N_CLIENTS), "lines": lines.assign(status="reached", n_asked=20, heaviest=6.0)}


def test_honest_intervals_are_found_honest_and_the_limits_are_of_clients() -> None:
    alone, together = (row(honest_scores(3, shared), status="all") for shared in (0.0, 0.9))
    for cell in (alone, together):
        for name, level in (("cov95", 0.95), ("cov80", 0.8), ("lower90", 0.9)):
            assert cell[f"{name}_low"] <= level <= cell[f"{name}_high"]
    wide = {name: cell["cov80_high"] - cell["cov80_low"] for name, cell in (("a", alone), ("t", together))}
    # Independent lines: 2 x 1.96 sqrt(.8 x .2 / 4000).
    assert wide["a"] == pytest.approx(0.0248, rel=0.15)
    assert wide["t"] > 1.8 * wide["a"]


def test_limits_cover_what_they_should() -> None:
    """Over 200 samples of 60 clients the 95 % limits hold the true mean, give or take four standard errors."""
    rng = np.random.default_rng(8)
    drawn = resamples(60)
    client = np.repeat(np.arange(60), 5)
    held = []
    for _ in range(200):
        values = rng.normal(size=60)[client] + rng.normal(size=300)
        limits = ratio(drawn, client, values)
        held.append(limits.low <= 0.0 <= limits.high)
    assert 0.95 - 4 * np.sqrt(0.95 * 0.05 / 200) - 0.015 <= np.mean(held)


def test_a_client_counted_twice_is_still_one_client() -> None:
    drawn = resamples(30)
    values = np.random.default_rng(2).normal(size=30)
    once = ratio(drawn, np.arange(30), values)
    twice = ratio(drawn, np.repeat(np.arange(30), 2), np.repeat(values, 2))
    assert (once.value, once.low, once.high) == pytest.approx((twice.value, twice.low, twice.high))


def test_a_ratio_of_two_columns_and_rows_that_do_not_count() -> None:
    drawn = resamples(3)
    top, bottom = np.array([1.0, 2.0, np.nan, 4.0]), np.array([2.0, 2.0, 1.0, np.nan])
    assert ratio(drawn, np.array([0, 1, 1, 2]), top, bottom).value == pytest.approx(3.0 / 4.0)
    assert np.isnan(ratio(drawn, np.array([0]), np.array([np.nan])).value)


def forecasts() -> pd.DataFrame:
    hurt = np.array([1.0, 0.0, 0.0, 1.0])
    rows = pd.DataFrame({"hurt": hurt, "model": hurt, "client_rate": 0.5, "side_rate": [0.9, 0.1, 0.1, 0.9]})
    return rows.assign(firth=[0.5, 0.5, 0.5, np.nan], truth=0.4, client=[0, 0, 1, 1])


def test_scores_of_forecasts_by_hand() -> None:
    cells = {str(cell["forecast"]): cell for cell in forecast_cells(forecasts(), resamples(2))}
    assert cells["model"]["lines"] == 3
    assert cells["model"]["brier"] == 0.0
    assert cells["model"]["log_loss"] == pytest.approx(0.0, abs=1e-8)
    assert cells["client_rate"]["brier"] == 0.25
    assert cells["client_rate"]["log_loss"] == pytest.approx(np.log(2.0))
    assert cells["side_rate"]["brier_of_client_rate"] == pytest.approx(0.01 / 0.25)
    assert cells["side_rate"]["log_loss"] == pytest.approx(-np.log(0.9))
    assert cells["truth"]["mean_forecast"] == pytest.approx(0.4)
    assert cells["truth"]["mean_hurt"] == pytest.approx(1.0 / 3.0)
