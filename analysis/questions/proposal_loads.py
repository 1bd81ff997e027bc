"""Loads the equipment has, and which of them the chance of pain allows (layer: questions)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Tried

Floats = NDArray[np.float64]

NEARLY = 1e-6
"""Loads closer together than this, in kg, are one load: pounds do not convert to round kilograms."""
ACSM_LEAST, ACSM_MOST = 0.02, 0.10
"""Ratamess et al. 2009, Med Sci Sports Exerc 41:687-708: raise the load 2 to 10 %."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Risk:
    """What the model says of the loads of one line.

    Attributes
    ----------
    log2_line : ndarray, shape (n_draws,)
        Draws of the load, log2 kg, at which the chance reaches the share that may hurt.
    mean_chance : callable
        Mean chance of pain at a load in kg; rises with it.
    """

    log2_line: Floats
    mean_chance: Callable[[float], float]


def equipment_loads_kg(tried: Tried, anchor_kg: float) -> Floats:
    """Loads there are, up to one step above the heaviest of the anchor and the loads tried.

    Parameters
    ----------
    tried : Tried
        Loads tried and the step of the equipment; where no step is known only the loads tried are sure.
    anchor_kg : float
        A load that exists; the others are whole steps from it.

    Returns
    -------
    ndarray, shape (n_loads,), kg
        Lightest first, all above 0; with bodyweight none below the lightest tried.
    """
    known = [load.load_kg for load in tried.loads] + [anchor_kg]
    if tried.load_step_kg:
        step = tried.load_step_kg
        floor = min(known) if tried.load_basis == "bodyweight" else 0.0
        fewest = int(np.ceil((floor - anchor_kg) / step - NEARLY))
        most = int(np.floor((max(known) - anchor_kg) / step + NEARLY)) + 1
        known += [anchor_kg + count * step for count in range(fewest, most + 1)]
    loads = np.unique(np.round([load for load in known if load > NEARLY], 9))
    return loads[np.append(True, np.diff(loads) > NEARLY)]


def heaviest_at_most(loads_kg: Floats, cap_kg: float) -> float | None:
    """Heaviest load there is that is not above a cap; None where all are."""
    within = loads_kg[loads_kg <= cap_kg + NEARLY]
    return float(within[-1]) if len(within) else None


def next_step_kg(loads_kg: Floats, load_kg: float) -> float | None:
    """Lightest load there is above a load."""
    above = loads_kg[loads_kg > load_kg + NEARLY]
    return float(above[0]) if len(above) else None


def allowed_load_kg(
    loads_kg: Floats, quiet_kg: float | None, risk: Risk, settings: ProposalSettings
) -> float | None:
    """Heaviest load that the chance of pain allows.

    A load above the heaviest quiet one needs even the pessimistic reading within `may_hurt`; at or below it the
    mean within `held_share` of that is enough. Where no load was quiet lately the mean decides among the loads given.

    Parameters
    ----------
    loads_kg : ndarray, shape (n_loads,), kg
        Lightest first, already within the caps.
    quiet_kg : float or None
    risk : Risk
    settings : ProposalSettings

    Returns
    -------
    float or None
        None where not even the lightest qualifies.
    """
    known = [_by_quantile(loads_kg, risk, settings)]
    held = _by_mean(loads_kg, risk, settings.held_share * settings.may_hurt)
    if held is not None and quiet_kg is not None:
        held = heaviest_at_most(loads_kg, min(held, quiet_kg))
    known.append(held)
    return max((load for load in known if load is not None), default=None)


def _by_quantile(loads_kg: Floats, risk: Risk, settings: ProposalSettings) -> float | None:
    """A draw's chance is within the limit exactly where the load is at or under that draw's line."""
    pessimistic = np.quantile(risk.log2_line, 1.0 - settings.pessimistic_share)
    within = loads_kg[np.log2(loads_kg) <= pessimistic]
    return float(within[-1]) if len(within) else None


def _by_mean(loads_kg: Floats, risk: Risk, limit: float) -> float | None:
    """By bisection, since the chance rises with load."""
    low, high = 0, len(loads_kg)
    while low < high:
        middle = (low + high) // 2
        if risk.mean_chance(float(loads_kg[middle])) <= limit:
            low = middle + 1
        else:
            high = middle
    return float(loads_kg[low - 1]) if low else None


def acsm_range_kg(load_kg: float) -> tuple[float, float]:
    """2 and 10 % above a load (ACSM 2009)."""
    return load_kg * (1.0 + ACSM_LEAST), load_kg * (1.0 + ACSM_MOST)


def step_as_share(step_kg: float, load_kg: float) -> float:
    """A step as a share of the load it is added to: 2.5 kg on 20 kg is .125."""
    return step_kg / load_kg


def volume_load_kg(*, n_sets: int, reps: float, load_kg: float) -> float:
    """Sets times reps times load; each side of one-sided work counts for itself (common practice)."""
    return n_sets * reps * load_kg


def time_under_tension_s(phases_s: Sequence[float], reps: float) -> float:
    """Seconds of lowering, pauses and lifting, times reps; an X counts 1 s (common practice)."""
    return float(sum(phases_s)) * reps
