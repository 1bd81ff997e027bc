"""What was done and felt on each variant of an exercise, in the coach's order (layer: questions)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.questions.done_sets import DoneSet
from analysis.results_harder import Rung


def rungs_of(sets: Sequence[DoneSet], order: Sequence[str]) -> tuple[Rung, ...]:
    """Every variant in its order, tried or not; variants without a place in it are left out.

    Parameters
    ----------
    sets : sequence of DoneSet
        Of one exercise and working side.
    order : sequence of str
        The easiest first.

    Returns
    -------
    tuple of Rung
    """
    return tuple(_rung(variant, [one for one in sets if one.variant == variant]) for variant in order)


def _rung(variant: str, mine: Sequence[DoneSet]) -> Rung:
    loads = [one.load_kg for one in mine if one.load_kg is not None]
    return Rung(
        variant=variant,
        n_sets=len(mine),
        n_asked=sum(bool(one.scores) for one in mine),
        n_painful=sum(bool(one.hurt) for one in mine),
        n_trials=sum(one.trial for one in mine),
        heaviest_kg=max(loads) if loads else None,
        last_day=max((one.day for one in mine), default=None),
    )
