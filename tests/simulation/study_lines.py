"""Holds the pain lines, and the chances at loads, of one fitted client against the truth; one row an answer.

Loads, lines and their errors are in octaves (log2 kg).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np

from analysis.design import Design
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import chance_draws, filled_setting, line_draws
from analysis.questions.chance_interval import stated_low
from analysis.questions.pain_line import (
    FEWEST_ASKED,
    STATUS_LEVEL,
    _line_shape,
    _too_little,
    step_above_kg,
)
from analysis.results import LineKey, Setting, Tried
from analysis.schema import STANDARD_VARIANT
from analysis.simulated_truth import WorldTruth

FIXED = Setting(lowering_s=2, rom_pct=100, place=9, provoked=False)
SETTINGS = {"fixed": FIXED, "usual": Setting()}
CHANCES = (0.2, 0.5)
QUANTILES = {"q025": 0.025, "q10": 0.1, "q50": 0.5, "q90": 0.9, "q975": 0.975}
NEVER_ASKED = "withheld: never asked"

Row = dict[str, object]


def answer_rows(fit: PainFit, truth: WorldTruth) -> tuple[list[Row], list[Row]]:
    """Every line, and the chances at the last load and one step above it, with their truth.

    Parameters
    ----------
    fit : PainFit
    truth : WorldTruth

    Returns
    -------
    lines : list of dict
        For each exercise, side and variant, setting and chance: the status that would be printed, the truth
        and the quantiles of the draws; the quantiles are absent where nothing was asked.
    chances : list of dict
        The same for the chance at two loads, with the status of the line at chance .2.
    """
    lines: list[Row] = [
        row for key in truth.keys if key not in fit.tried for row in _never_asked_rows(fit, truth, key)
    ]
    chances: list[Row] = []
    if fit.design is None:
        return lines, chances
    for key, tried in fit.tried.items():
        if tried.heaviest_kg is None:
            continue
        for name, at in SETTINGS.items():
            named = _key_row(key, tried) | {"setting": name}
            known = true_setting(fit.design, key, at)
            status = {}
            for chance in CHANCES:
                draws = line_draws(fit, fit.design, key, level=fit.level, chance=chance, at=at)
                status[chance] = printed_status(draws, tried)
                lines.append(
                    named
                    | {"chance": chance, "status": status[chance]}
                    | {"truth": truth.log2_line(key, fit.level, chance, at=known)}
                    | _quantiles(draws)
                )
            shared = named | {"status": status[CHANCES[0]]}
            chances.extend(shared | row for row in _chance_rows(fit, truth, key, tried, at, known))
    return lines, chances


def printed_status(log2_line: np.ndarray, tried: Tried) -> str:
    """What the product would say about a line with these draws."""
    if _too_little(tried) is not None:
        return "withheld: few sets" if tried.n_asked < FEWEST_ASKED else "withheld: one load"
    return _line_shape(log2_line, tried, STATUS_LEVEL).status


def true_setting(design: Design, key: LineKey, at: Setting) -> Setting:
    """The setting with the model's own usual values, so that estimate and truth speak of the same set."""
    share = design.usual[key.exercise]["prepared"]
    filled = filled_setting(design, key, at)
    return replace(filled, prepared=share if filled.prepared is None else filled.prepared)  # type: ignore[arg-type]


def _chance_rows(
    fit: PainFit, truth: WorldTruth, key: LineKey, tried: Tried, at: Setting, known: Setting
) -> Iterator[Row]:
    assert fit.design is not None
    last = tried.last_load_kg
    assert last is not None
    loads = np.array([last, step_above_kg(tried, last)])
    draws = chance_draws(fit, fit.design, key, loads, level=fit.level, at=at)
    for i, where in enumerate(("last load", "one step up")):
        yield {
            "where": where,
            "load_kg": loads[i],
            "truth": truth.chance_at(key, float(loads[i]), fit.level, at=known),
            "mean": draws[:, i].mean(),
        } | _stated_chance(_quantiles(draws[:, i]))


def _stated_chance(quantiles: dict[str, float]) -> dict[str, float]:
    """Quantiles of a chance with the lower ends as the product states them."""
    return quantiles | {name: stated_low(quantiles[name]) for name in ("q025", "q10")}


def _quantiles(draws: np.ndarray) -> dict[str, float]:
    return dict(zip(QUANTILES, np.quantile(draws, list(QUANTILES.values())).tolist(), strict=True))


def _key_row(key: LineKey, tried: Tried) -> Row:
    return {
        "exercise": key.exercise,
        "variant": key.variant,
        "side": key.side,
        "works": key.works,
        "kind": "base" if key.variant == STANDARD_VARIANT else "alternative",
        "n_asked": tried.n_asked,
        "n_painful": tried.n_painful,
        "heaviest": np.log2(tried.heaviest_kg),
    }


def _never_asked_rows(fit: PainFit, truth: WorldTruth, key: LineKey) -> Iterator[Row]:
    for setting, chance in product(SETTINGS, CHANCES):
        yield {
            "exercise": key.exercise,
            "variant": key.variant,
            "side": key.side,
            "works": key.works,
            "kind": "base",
            "n_asked": 0,
            "n_painful": 0,
            "setting": setting,
            "chance": chance,
            "status": NEVER_ASKED,
            "truth": truth.log2_line(key, fit.level, chance),
        }
