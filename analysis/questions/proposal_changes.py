"""What else could change than the load, one thing at a time, with its predicted pain and dose (layer: questions)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import chance_draws, filled_setting
from analysis.questions.chance_interval import chance_with_interval
from analysis.questions.proposal_case import CONFIDENCE_LEVEL
from analysis.questions.proposal_loads import time_under_tension_s, volume_load_kg
from analysis.results import LineKey, Setting
from analysis.results_proposal import ChangeKind, OtherChange

LOWERING_S = 2.0
PAUSE_S = 1.0
REPS = 2.0
FEWEST_REPS = 3.0
ROM_POINTS = 10.0
FULL_RANGE = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose:
    """The set that other changes are held against: how it is done now.

    Attributes
    ----------
    load_kg : float
    at : Setting
        Blanks filled in.
    lifting_s : float or None
        Seconds of lifting; not a term of the model.
    """

    load_kg: float
    at: Setting
    lifting_s: float | None


def harder_changes(
    fit: PainFit, key: LineKey, dose: Dose, *, may_hurt: float, furthest_stop: str | None
) -> tuple[OtherChange, ...]:
    """Changes that give more to do at the same load, as far as they stay within the share that may hurt.

    Parameters
    ----------
    fit : PainFit
    key : LineKey
    dose : Dose
        The load proposed, done as usual.
    may_hurt : float
    furthest_stop : str or None
        A stop that limits.csv does not allow to be passed.

    Returns
    -------
    tuple of OtherChange
        Least predicted pain first: slower lowering, a longer pause, more range, more reps.
    """
    at = dose.at
    options = [*_tempo(at), *_range(fit, key, at, up=True, furthest_stop=furthest_stop)]
    if at.reps is not None:
        options.append(("reps", replace(at, reps=at.reps + REPS)))
    made = (_change(fit, key, dose, kind, dose.load_kg, setting) for kind, setting in options)
    return _ranked([one for one in made if one.predicted_chance <= may_hurt])


def easier_changes(
    fit: PainFit,
    key: LineKey,
    dose: Dose,
    *,
    lighter_kg: float | None,
    easier: tuple[LineKey, float] | None,
) -> tuple[OtherChange, ...]:
    """Changes instead of the load done last, each with what training it gives up.

    Parameters
    ----------
    fit : PainFit
    key : LineKey
    dose : Dose
        The load done last, done as usual.
    lighter_kg : float or None
        The lighter load proposed.
    easier : (LineKey, float) or None
        The next easier variant that was done, and its last load, kg.

    Returns
    -------
    tuple of OtherChange
        Least predicted pain first: the lighter load, slower lowering, less range, fewer reps, the easier variant.
    """
    at = dose.at
    made: list[OtherChange] = []
    if lighter_kg is not None:
        made.append(_change(fit, key, dose, "load", lighter_kg, at))
    options = [*_tempo(at)[:1], *_range(fit, key, at, up=False, furthest_stop=None)]
    if at.reps is not None and at.reps - REPS >= FEWEST_REPS:
        options.append(("reps", replace(at, reps=at.reps - REPS)))
    made += [_change(fit, key, dose, kind, dose.load_kg, setting) for kind, setting in options]
    if easier is not None:
        other, load_kg = easier
        made.append(_change(fit, other, dose, "variant", load_kg, at))
    return _ranked(made)


def _tempo(at: Setting) -> list[tuple[ChangeKind, Setting]]:
    found: list[tuple[ChangeKind, Setting]] = []
    if at.lowering_s is not None:
        found.append(("lowering", replace(at, lowering_s=at.lowering_s + LOWERING_S)))
    if at.pause_s is not None:
        found.append(("pause", replace(at, pause_s=at.pause_s + PAUSE_S)))
    return found


def _range(
    fit: PainFit, key: LineKey, at: Setting, *, up: bool, furthest_stop: str | None
) -> Iterator[tuple[ChangeKind, Setting]]:
    """One named stop further or shorter; ten points of measured range where there are no stops."""
    assert fit.design is not None
    ranks = fit.design.range_ranks.get(key.exercise, {})
    if ranks and at.range_stop in ranks:
        allowed = ranks.get(furthest_stop or "", np.inf)
        wanted = ranks[at.range_stop] + (1.0 if up else -1.0)
        stop = next((name for name, rank in ranks.items() if rank == wanted and rank <= allowed), None)
        if stop is not None:
            yield "range", filled_setting(fit.design, key, replace(at, range_stop=stop, rom_pct=None))
        return
    if at.rom_pct is None or furthest_stop is not None:
        return
    wanted_pct = at.rom_pct + (ROM_POINTS if up else -ROM_POINTS)
    if 0.0 < wanted_pct <= FULL_RANGE:
        yield "range", replace(at, rom_pct=wanted_pct)


def _change(
    fit: PainFit, key: LineKey, dose: Dose, kind: ChangeKind, load_kg: float, at: Setting
) -> OtherChange:
    assert fit.design is not None
    draws = chance_draws(fit, fit.design, key, np.array([load_kg]), level=fit.level, at=at)[:, 0]
    mean, low, high = chance_with_interval(draws, CONFIDENCE_LEVEL)
    tension, volume = _dose(load_kg, at, dose.lifting_s)
    tension_before, volume_before = _dose(dose.load_kg, dose.at, dose.lifting_s)
    return OtherChange(
        kind=kind,
        variant=key.variant,
        load_kg=load_kg,
        at=at,
        predicted_chance=mean,
        low=low,
        high=high,
        time_under_tension_s=tension,
        volume_kg=volume,
        tension_share=_share(tension, tension_before),
        volume_share=_share(volume, volume_before),
    )


def _dose(load_kg: float, at: Setting, lifting_s: float | None) -> tuple[float | None, float | None]:
    """Seconds under tension and kilograms moved in one set."""
    if at.reps is None:
        return at.hold_s, None
    phases = (at.lowering_s, at.pause_s, lifting_s)
    known = [value for value in phases if value is not None]
    tension = time_under_tension_s(known, at.reps) if len(known) == len(phases) else None
    return tension, volume_load_kg(n_sets=1, reps=at.reps, load_kg=load_kg)


def _share(value: float | None, before: float | None) -> float | None:
    return value / before if value is not None and before else None


def _ranked(made: list[OtherChange]) -> tuple[OtherChange, ...]:
    return tuple(sorted(made, key=lambda one: one.predicted_chance))
