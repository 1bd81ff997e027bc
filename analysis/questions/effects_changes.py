"""Which one change of the usual set each term of the model is asked about (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.design import Design
from analysis.design_terms import TERM_NAMES, TERMS
from analysis.models.prediction import filled_setting
from analysis.results import LineKey

FULL_PCT = 100.0
MORE_REPS, MORE_HOLD_S, LATER_SETS, LATER_PLACES = 2.0, 10.0, 2.0, 5.0
"""Changes asked about: repetitions, seconds of a hold, sets later in the exercise, sets later in the session."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of the usual set.

    Attributes
    ----------
    term : str
        Of `design_terms.TERMS`.
    per : str
    before, after : float, str or None
        In the term's own unit; None where the exercise never logged it.
    start : float
        Column of the term before the change, minus its usual value.
    step : float
        How far the change moves that column.
    """

    term: str
    per: str
    before: float | str | None
    after: float | str | None
    start: float
    step: float

    @property
    def column(self) -> int:
        """Position of the term."""
        return TERM_NAMES.index(self.term)


def changes(design: Design, key: LineKey) -> tuple[Change, ...]:
    """Every change that can be asked about for an exercise, in a fixed order.

    Parameters
    ----------
    design : Design
    key : LineKey

    Returns
    -------
    tuple of Change
        Without those that do not belong to the exercise, such as the seconds of a hold for repetitions.
    """
    usual = design.usual[key.exercise]
    found = [
        _seconds("lowering_s", usual["lowering_s"]),
        _seconds("pause_s", usual["pause_s"]),
        _range(design, key),
    ]
    if np.isfinite(usual["reps"]):
        reps = max(usual["reps"], 1.0)
        found.append(_doublings("reps", "2 reps", reps, MORE_REPS))
    if np.isfinite(usual["hold_s"]):
        found.append(_doublings("hold_s", "10 s", max(usual["hold_s"], 1.0), MORE_HOLD_S))
    number, place = usual["set_number"], usual["place"]
    found += [
        Change(
            term="set_number",
            per="2 sets",
            before=1.0,
            after=1.0 + LATER_SETS,
            start=(1.0 - number) / _scale("set_number") if np.isfinite(number) else 0.0,
            step=LATER_SETS / _scale("set_number"),
        ),
        Change(
            term="place",
            per="5 sets",
            before=place if np.isfinite(place) else None,
            after=place + LATER_PLACES if np.isfinite(place) else None,
            start=0.0,
            step=LATER_PLACES / _scale("place"),
        ),
        _switch("prepared", "done", -usual["prepared"]),
        _switch("provoked", "already sore today", 0.0),
        Change(term="pain_on_arrival", per="1 point", before=None, after=None, start=0.0, step=1.0),
    ]
    return tuple(found)


def _scale(term: str) -> float:
    return TERMS[TERM_NAMES.index(term)].scale


def _seconds(term: str, usual: float) -> Change:
    known = bool(np.isfinite(usual))
    return Change(
        term=term,
        per="1 s",
        before=usual if known else None,
        after=usual + 1.0 if known else None,
        start=0.0,
        step=1.0 / _scale(term),
    )


def _doublings(term: str, per: str, usual: float, more: float) -> Change:
    step = float(np.log2((usual + more) / usual))
    return Change(term=term, per=per, before=usual, after=usual + more, start=0.0, step=step)


def _switch(term: str, per: str, start: float) -> Change:
    return Change(term=term, per=per, before="no", after="yes", start=start, step=1.0)


def _range(design: Design, key: LineKey) -> Change:
    """One stop further, or 10 points more range; down from the usual where that is the full range already."""
    if key.exercise in design.furthest_rank:
        return _stop(design, key)
    usual_pct = design.usual[key.exercise]["rom_pct"]
    step_pct = _scale("rom_pct")
    if not np.isfinite(usual_pct):
        return Change(term="rom_pct", per="10 points", before=None, after=None, start=0.0, step=1.0)
    start = 0.0 if usual_pct + step_pct <= FULL_PCT else -1.0
    before_pct = usual_pct + start * step_pct
    return Change(
        term="rom_pct",
        per="10 points",
        before=before_pct,
        after=before_pct + step_pct,
        start=start,
        step=1.0,
    )


def _stop(design: Design, key: LineKey) -> Change:
    ranks = design.range_ranks.get(key.exercise, {})
    stops = sorted(ranks, key=lambda stop: ranks[stop])
    usual = filled_setting(design, key, "usual").range_stop
    if usual is None or len(stops) < 2:
        return Change(term="range_rank", per="1 stop", before=usual, after=None, start=0.0, step=1.0)
    at = min(stops.index(usual), len(stops) - 2)
    return Change(
        term="range_rank",
        per="1 stop",
        before=stops[at],
        after=stops[at + 1],
        start=float(at - stops.index(usual)),
        step=1.0,
    )
