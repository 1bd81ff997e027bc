"""Draws of chances and of pain lines at any load, setting and week (layer: models)."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from analysis.design import Design, trend_weeks, week_middle
from analysis.design_terms import SIDE_CODE, TERMS
from analysis.errors import OptionError
from analysis.numerics.day_average import chance_over_days, logit_for_chance
from analysis.numerics.intervals import central_interval
from analysis.results import LineKey, Setting

Floats = NDArray[np.float64]
At = Setting | Literal["usual"]

LOG2_KG_BOUND = 20.0
"""Lines are stated within 2^-20 and 2^20 kg, a milligram and a thousand tonnes: beyond is not told apart."""


class NamedPosterior(Protocol):
    """Draws under their names, as `PainFit` and `NamedDraws` hold them."""

    @property
    def cutpoints(self) -> Floats: ...
    @property
    def intercepts(self) -> Floats: ...
    @property
    def slopes(self) -> Floats: ...
    @property
    def drifts(self) -> Floats: ...
    @property
    def variant_offsets(self) -> Floats: ...
    @property
    def coefficients(self) -> Floats: ...
    @property
    def week_offsets(self) -> Floats: ...
    @property
    def day_sd(self) -> Floats: ...


def filled_setting(design: Design, key: LineKey, at: At) -> Setting:
    """The setting with its blanks replaced by what is usual for the exercise.

    Parameters
    ----------
    design : Design
    key : LineKey
    at : Setting or "usual"

    Returns
    -------
    Setting

    Raises
    ------
    OptionError
        If `at` is neither, or names a range stop that this exercise does not have.
    """
    if at == "usual":
        at = Setting()
    if not isinstance(at, Setting):
        raise OptionError(f'at is {at!r}; give "usual" or a Setting.')
    usual = design.usual[key.exercise]
    ranks = design.range_ranks.get(key.exercise, {})
    stop = at.range_stop
    if stop is not None and stop not in ranks:
        known = ", ".join(ranks) or "none"
        raise OptionError(f"range_stop is {stop!r}; {key.exercise} has: {known}.")
    if stop is None and ranks and np.isfinite(usual["range_rank"]) and at.rom_pct is None:
        nearest = min(ranks, key=lambda name: abs(ranks[name] - usual["range_rank"]))
        stop = nearest

    rom_pct = at.rom_pct
    if rom_pct is None and at.range_stop is not None:
        rom_pct = design.stop_rom_pct.get(key.exercise, {}).get(at.range_stop)

    def filled(name: str) -> float | None:
        given = getattr(at, name)
        value = usual[name] if given is None else float(given)
        return float(value) if np.isfinite(value) else None

    return replace(
        at,
        lowering_s=filled("lowering_s"),
        pause_s=filled("pause_s"),
        rom_pct=filled("rom_pct") if rom_pct is None else rom_pct,
        reps=filled("reps"),
        hold_s=filled("hold_s"),
        place=filled("place"),
        set_number=filled("set_number"),
        range_stop=stop,
    )


def setting_row(design: Design, key: LineKey, at: At) -> Floats:
    """Covariates of a setting, shape (n_terms,), in the order of `TERMS`."""
    setting = filled_setting(design, key, at)
    usual = design.usual[key.exercise]
    ranks = design.range_ranks.get(key.exercise, {})
    furthest = design.furthest_rank.get(key.exercise)
    rank = ranks.get(setting.range_stop or "", furthest)

    def doublings(value: float | None, typical: float) -> float:
        if value is None or not np.isfinite(typical):
            return 0.0
        return float(np.log2(max(value, 1.0) / max(typical, 1.0)))

    raw = {
        "lowering_s": setting.lowering_s,
        "pause_s": setting.pause_s,
        "rom_pct": setting.rom_pct,
        "range_rank": 0.0
        if rank is None or furthest is None or furthest not in ranks.values()
        else rank - furthest,
        "reps": doublings(setting.reps, usual["reps"]),
        "hold_s": doublings(setting.hold_s, usual["hold_s"]),
        "place": setting.place,
        "set_number": setting.set_number,
        "prepared": usual["prepared"] if setting.prepared is None else float(setting.prepared),
        "provoked": float(setting.provoked),
        "pain_on_arrival": 0.0,
        "side": SIDE_CODE[key.side],
    }
    values = [raw[term.name] for term in TERMS]
    return np.array(
        [
            0.0 if value is None else (value - term.reference) / term.scale
            for value, term in zip(values, TERMS, strict=True)
        ]
    )


def offset_draws(posterior: NamedPosterior, design: Design, key: LineKey, at: At, *, week: int = 0) -> Floats:
    """Predictor at the centre of the load, shape (n_draws,), logit scale.

    Parameters
    ----------
    posterior : NamedPosterior
    design : Design
    key : LineKey
    at : Setting or "usual"
    week : int, default 0
        Block of seven days before the last session, 0 for its day; past weeks must have data.

    Returns
    -------
    ndarray, shape (n_draws,)
    """
    side = design.side_index(key)
    offset = posterior.intercepts[:, side] + posterior.coefficients @ setting_row(design, key, at)
    own = design.variant_index(key)
    if own is not None:
        offset = offset + posterior.variant_offsets[:, own]
    if week < 0:
        exercise = design.exercises.index(key.exercise)
        offset = offset + posterior.drifts[:, exercise] * trend_weeks(week_middle(week))
        offset = offset + posterior.week_offsets[:, design.weeks.index(week)]
    return np.asarray(offset)


def line_draws(
    posterior: NamedPosterior,
    design: Design,
    key: LineKey,
    *,
    level: int,
    chance: float,
    at: At = "usual",
    week: int = 0,
) -> Floats:
    """Draws of log2 of the load in kg at which pain of `level` or more reaches `chance`.

    Solves  E_u s(offset + b log2(load) - b centre + u - c_level) = chance  for the load, where u ~ N(0, sd_day^2).

    Parameters
    ----------
    posterior : NamedPosterior
    design : Design
    key : LineKey
        With a load term.
    level : int
        1 to 5.
    chance : float
        Strictly between 0 and 1.
    at : Setting or "usual"
    week : int, default 0

    Returns
    -------
    ndarray, shape (n_draws,)
    """
    needed = logit_for_chance(chance, posterior.day_sd) + posterior.cutpoints[:, level - 1]
    slope = posterior.slopes[:, design.exercises.index(key.exercise)]
    offset = offset_draws(posterior, design, key, at, week=week)
    return np.asarray(design.centre_log2_kg[key.exercise, key.variant] + (needed - offset) / slope)


def interval_kg(log2_line: Floats, confidence_level: float) -> Floats:
    """Low end, median and high end of a line.

    A line of many years ago, or of a slope near zero, may lie hundreds of doublings away from any load.

    Parameters
    ----------
    log2_line : ndarray, shape (n_draws,)
        Draws of `line_draws`.
    confidence_level : float
        Strictly between 0 and 1.

    Returns
    -------
    ndarray, shape (3,), kg
        Above zero and finite; see `LOG2_KG_BOUND`.
    """
    ends = central_interval(log2_line, confidence_level)
    return np.asarray(np.exp2(np.clip(ends, -LOG2_KG_BOUND, LOG2_KG_BOUND)))


def chance_draws(
    posterior: NamedPosterior,
    design: Design,
    key: LineKey,
    loads_kg: Floats,
    *,
    level: int,
    at: At = "usual",
    week: int = 0,
) -> Floats:
    """Draws of the chance of pain of `level` or more at some loads.

    Parameters
    ----------
    posterior : NamedPosterior
    design : Design
    key : LineKey
    loads_kg : ndarray, shape (n_loads,), kg
        Empty of meaning, and one NaN, for a line without a load term.
    level : int
    at : Setting or "usual"
    week : int, default 0

    Returns
    -------
    ndarray, shape (n_draws, n_loads)
    """
    slope = posterior.slopes[:, design.exercises.index(key.exercise)]
    offset = offset_draws(posterior, design, key, at, week=week) - posterior.cutpoints[:, level - 1]
    loads = np.asarray(loads_kg, dtype=float)
    octaves = np.zeros(loads.size)
    loaded = np.isfinite(loads)
    if loaded.any():
        octaves[loaded] = np.log2(loads[loaded]) - design.centre_log2_kg[key.exercise, key.variant]
    a = offset[:, None] + slope[:, None] * octaves
    return chance_over_days(a, posterior.day_sd[:, None])
