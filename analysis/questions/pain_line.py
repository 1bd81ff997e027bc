"""Where pain comes back: the load at which a stated share of sets would hurt (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, chance_draws, filled_setting, interval_kg, line_draws
from analysis.questions.chance_interval import chance_with_interval
from analysis.questions.line_key import checked_level, checked_share, find_line
from analysis.questions.line_reasons import (
    FEWEST_FOR_INTERVAL,
    Words,
    asked_with_load,
    open_words,
    withheld_answer,
)
from analysis.results import (
    ChanceAtLoad,
    ConditionChance,
    LineKey,
    LineStatus,
    PainLine,
    Setting,
    Tried,
    Withheld,
)

Floats = NDArray[np.float64]

FEWEST_ASKED = 6
FEWEST_LOADS = 2
STATUS_LEVEL = 0.8
"""The interval whose upper end decides the status, whatever interval is asked for."""
SURE = 0.9
"""Probability at which a line is said to lie beyond everything tried."""
STEP_WHERE_UNKNOWN = 0.10
"""Share of the load that stands for one equipment step where none is known."""


def pain_line(
    fit: PainFit,
    *,
    exercise: str,
    variant: str,
    side: str,
    works: str | None = None,
    level: int | None = None,
    chance: float = 0.2,
    confidence_level: float = 0.8,
    at: At = "usual",
) -> PainLine | Withheld:
    """Load at which pain of a level or more reaches a stated chance.

    Solves P(pain >= level | load) = chance for load at the setting `at`, marginal over good and bad days, draw
    by draw, and says only as much as the tried loads allow.

    Parameters
    ----------
    fit : PainFit
    exercise, variant : str
    side : {"left", "right", "midline"}
        The side that hurts.
    works : {"left", "right", "both"}, optional
        The side that works; None is the side that hurts where such sets exist, otherwise both.
    level : int, optional
        Pain that counts, 1 to 5 on the 0-10 scale; the client's own if None.
    chance : float, default 0.2
        Dimensionless, strictly between 0 and 1.
    confidence_level : float, default 0.8
        Dimensionless, strictly between 0 and 1.
    at : "usual" or Setting
        How the set is done; blanks are the exercise's usual.

    Returns
    -------
    PainLine
        Load in kilograms with its interval (quantiles of the draws) and status.
    Withheld
        If fewer than 6 sets were asked, or fewer than 2 loads tried.

    Raises
    ------
    OptionError
        If an argument is outside what is allowed, or no such sets were asked.

    Notes
    -----
    With logit P(pain >= j | day u) = offset + b (log2 load - centre) + u - c_j, the line of a draw is
    log2 load = centre + (c_level + a - offset) / b, where a solves E_u s(a + u) = chance.
    """
    level = checked_level(fit, level)
    chance = checked_share("chance", chance)
    confidence_level = checked_share("confidence_level", confidence_level)
    key = find_line(fit, exercise=exercise, variant=variant, side=side, works=works)
    tried = fit.tried[key]
    if level != fit.level:
        tried = replace(tried, n_painful=tried.n_at_level[level - 1])
    too_little = _too_little(tried)
    if too_little is not None:
        return too_little
    assert fit.design is not None
    setting = filled_setting(fit.design, key, at)
    if tried.heaviest_kg is None or tried.lightest_kg is None:
        return _without_load(fit, key, tried, setting, level, chance, confidence_level)
    log2_line = line_draws(fit, fit.design, key, level=level, chance=chance, at=at)
    shape = _line_shape(log2_line, tried, confidence_level)
    last, up = _chances(fit, key, tried, level, confidence_level, at)
    words = open_words(shape.status, tried, level)
    return PainLine(
        key=key,
        chance=chance,
        level=level,
        status=shape.status,
        load_kg=shape.load_kg,
        low_kg=shape.low_kg,
        high_kg=shape.high_kg,
        confidence_level=confidence_level,
        low95_kg=shape.low95_kg,
        high95_kg=shape.high95_kg,
        last=last,
        one_step_up=up,
        probability_above_heaviest=float((log2_line > np.log2(tried.heaviest_kg)).mean()),
        at=setting,
        conditions=(),
        tried=tried,
        reason=words.reason,
        remedy=words.remedy,
    )


def step_above_kg(tried: Tried, load_kg: float) -> float:
    """One equipment step above a load, kg; a tenth more where no step is known."""
    return load_kg + (tried.load_step_kg or STEP_WHERE_UNKNOWN * load_kg)


def _too_little(tried: Tried) -> Withheld | None:
    n_loads = len(tried.loads)
    needs_loads = n_loads > 0
    if tried.n_asked < FEWEST_ASKED or (needs_loads and n_loads < FEWEST_LOADS):
        return withheld_answer(tried, FEWEST_ASKED)
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shape:
    status: LineStatus
    load_kg: float | None = None
    low_kg: float | None = None
    high_kg: float | None = None
    low95_kg: float | None = None
    high95_kg: float | None = None


def _line_shape(log2_line: Floats, tried: Tried, confidence_level: float) -> _Shape:
    """Status of a line and the bounds that this status states."""
    assert tried.heaviest_kg is not None and tried.lightest_kg is not None  # noqa: PT018
    heaviest, lightest = tried.heaviest_kg, tried.lightest_kg
    low, middle, high = interval_kg(log2_line, confidence_level)
    low95, _, high95 = interval_kg(log2_line, 0.95)
    usual_high = interval_kg(log2_line, STATUS_LEVEL)[2]
    if (log2_line > np.log2(heaviest)).mean() >= SURE:
        return _Shape(
            status="above_tried", low_kg=min(float(low), heaviest), low95_kg=min(float(low95), heaviest)
        )
    if (log2_line < np.log2(lightest)).mean() >= SURE:
        return _Shape(status="below_tried", high_kg=float(high), high95_kg=float(high95))
    furthest = step_above_kg(tried, heaviest)
    if asked_with_load(tried) < FEWEST_FOR_INTERVAL or tried.n_painful == 0 or usual_high > furthest:
        return _Shape(status="lower_only", low_kg=float(low), low95_kg=float(low95))
    return _Shape(
        status="reached",
        load_kg=float(middle),
        low_kg=float(low),
        high_kg=float(high),
        low95_kg=float(low95),
        high95_kg=float(high95) if high95 <= furthest else None,
    )


def _chances(
    fit: PainFit, key: LineKey, tried: Tried, level: int, confidence_level: float, at: At
) -> tuple[ChanceAtLoad, ChanceAtLoad]:
    """Chance at the last load and at one step above it."""
    assert tried.last_load_kg is not None and fit.design is not None  # noqa: PT018
    loads = np.array([tried.last_load_kg, step_above_kg(tried, tried.last_load_kg)])
    draws = chance_draws(fit, fit.design, key, loads, level=level, at=at)
    last, up = (
        ChanceAtLoad(load_kg=float(load), chance=mean, low=low, high=high)
        for load, (mean, low, high) in zip(
            loads, (chance_with_interval(one, confidence_level) for one in draws.T), strict=True
        )
    )
    return last, up


def _without_load(
    fit: PainFit,
    key: LineKey,
    tried: Tried,
    setting: Setting,
    level: int,
    chance: float,
    confidence_level: float,
) -> PainLine:
    """The answer where no load can be told: chance at every stop and hold time tried."""
    assert fit.design is not None
    conditions = []
    for seen in tried.conditions:
        at = replace(setting, hold_s=seen.hold_s)
        if seen.range_stop in fit.design.range_ranks.get(key.exercise, {}):
            at = replace(at, range_stop=seen.range_stop, rom_pct=None)
        draws = chance_draws(fit, fit.design, key, np.array([np.nan]), level=level, at=at)
        mean, low, high = chance_with_interval(draws[:, 0], confidence_level)
        label = ", ".join(
            part
            for part in (seen.range_stop, f"{seen.hold_s:g} s hold" if seen.hold_s is not None else None)
            if part is not None
        )
        conditions.append(
            ConditionChance(
                label=label or "as usual",
                chance=mean,
                low=low,
                high=high,
                n_asked=seen.n_asked,
                n_painful=seen.n_painful,
            )
        )
    words: Words = open_words("no_load", tried, level)
    return PainLine(
        key=key,
        chance=chance,
        level=level,
        status="no_load",
        load_kg=None,
        low_kg=None,
        high_kg=None,
        confidence_level=confidence_level,
        low95_kg=None,
        high95_kg=None,
        last=None,
        one_step_up=None,
        probability_above_heaviest=None,
        at=setting,
        conditions=tuple(conditions),
        tried=tried,
        reason=words.reason,
        remedy=words.remedy,
    )
