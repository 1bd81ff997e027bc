"""Tables of the forecasts of the next session and of the proposals."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pandas as pd
from scipy.special import logit

from tests.simulation.study_bootstrap import Cell, Resamples, limited, ratio
from tests.simulation.study_firth import fit_firth

FORECASTS = ("model", "client_rate", "side_rate", "firth", "truth")
NEAREST_TO_CERTAIN = 1e-9
SAME = 1e-9
"""Forecasts closer together than this, in log-odds, have no slope."""
TOO_OFTEN = (0.25, 0.30)


def forecast_cells(rows: pd.DataFrame, drawn: Resamples) -> Iterator[Cell]:
    """Brier score and log loss of each way of forecasting, on the sets that all of them forecast."""
    rows = rows[rows[list(FORECASTS)].notna().all(axis=1)]
    if rows.empty:
        return
    client, hurt = rows["client"].to_numpy(np.int64), rows["hurt"].to_numpy(float)
    chances = {name: rows[name].to_numpy(float) for name in FORECASTS}
    losses = {name: _log_loss(chance, hurt) for name, chance in chances.items()}
    rate = chances["client_rate"]
    for name, chance in chances.items():
        off = logit(np.clip(chance, NEAREST_TO_CERTAIN, 1.0 - NEAREST_TO_CERTAIN))
        yield (
            {"forecast": name, "lines": len(rows), "clients": rows["client"].nunique()}
            | limited("brier", ratio(drawn, client, (chance - hurt) ** 2))
            | limited("log_loss", ratio(drawn, client, losses[name]))
            | limited("brier_of_client_rate", ratio(drawn, client, (chance - hurt) ** 2, (rate - hurt) ** 2))
            | limited("log_loss_of_client_rate", ratio(drawn, client, losses[name], losses["client_rate"]))
            | {"mean_forecast": chance.mean(), "mean_hurt": hurt.mean()}
            | {"calibration_slope": fit_firth(off, hurt)[1] if np.ptp(off) > SAME else np.nan}
        )


def proposal_cells(rows: pd.DataFrame, drawn: Resamples) -> Iterator[Cell]:
    """What each rule's loads would do: true chance of pain, load given up, and how often loads go down."""
    for rule, part in rows.groupby("rule", sort=False):
        client = part["client"].to_numpy(np.int64)
        truth = part["truth"].to_numpy(float)
        change = np.sign(np.round(part["load_kg"] - part["last_kg"], 6)).to_numpy(float)
        quiet = part["last_quiet"].to_numpy(bool)
        yield (
            {"rule": rule, "lines": len(part), "clients": part["client"].nunique()}
            | limited("mean_truth", ratio(drawn, client, truth))
            | {
                key: value
                for limit in TOO_OFTEN
                for key, value in limited(
                    f"over_{limit * 100:.0f}", ratio(drawn, client, (truth > limit).astype(float))
                ).items()
            }
            | limited("given_up", ratio(drawn, client, part["given_up"].to_numpy(float)))
            | {
                "up": (change > 0).mean(),
                "hold": (change == 0).mean(),
                "down": (change < 0).mean(),
                "down_after_quiet": (change[quiet] < 0).mean() if quiet.any() else np.nan,
                "none_feasible": (~part["feasible"].to_numpy(bool)).mean(),
                "no_quiet_load": (~part["any_quiet"].to_numpy(bool)).mean(),
            }
        )


def _log_loss(chance: np.ndarray, hurt: np.ndarray) -> np.ndarray:
    chance = np.clip(chance, NEAREST_TO_CERTAIN, 1.0 - NEAREST_TO_CERTAIN)
    return -(hurt * np.log(chance) + (1.0 - hurt) * np.log1p(-chance))
