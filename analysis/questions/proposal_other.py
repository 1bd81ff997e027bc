"""Which other changes go with a proposal: more to do, or easier ways (layer: questions)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from analysis.questions.pain_line import FEWEST_ASKED, FEWEST_LOADS
from analysis.questions.proposal_case import Case
from analysis.questions.proposal_changes import Dose, easier_changes, harder_changes
from analysis.questions.proposal_decision import Decision
from analysis.questions.proposal_history import Exposure
from analysis.results import LineKey, Setting
from analysis.results_proposal import OtherChange, ProposalAction

MORE_WORK_DESPITE = frozenset(
    {
        "next_morning_not_logged",
        "target_not_logged",
        "reserve_not_logged",
        "limit",
        "chance_one_step_up",
        "reps_first",
        "step_not_known",
    }
)
"""Holds that do not come from the joint or from effort: more to do at the same load may be asked about."""


AFTER_SHARP = frozenset({"load", "range", "variant"})
EASIER_FOR = frozenset({"chance_at_last_load", "even_the_lightest", "sharp_pain", "stopped_for_pain"})
"""Holds that make the load of last time too much: easier ways are then asked about."""


def changes_of_line(
    case: Case,
    key: LineKey,
    decision: Decision,
    action: ProposalAction,
    last: Exposure,
    at: Setting,
    loads: Mapping[LineKey, float],
) -> tuple[OtherChange, ...]:
    """More to do at the same load where it only holds, easier ways where last time was too much.

    Parameters
    ----------
    case : Case
    key : LineKey
    decision : Decision
    action : str
    last : Exposure
        The last day with a load.
    at : Setting
        How the set is meant to be done.
    loads : mapping of LineKey to float
        What is proposed for the other lines, kg; an easier variant is taken at its own load.

    Returns
    -------
    tuple of OtherChange
        None that is predicted to hurt more often than may be; after sharp pain none at the load that gave it
        but with less range; none on the way back, where the other side of the set decides, or where
        the exercise is left out.
    """
    last_kg = last.heaviest_kg
    tried = case.fit.tried[key]
    too_little = tried.n_asked < FEWEST_ASKED or len(tried.loads) < FEWEST_LOADS
    codes = {hold.code for hold in decision.holds}
    if last_kg is None or too_little or action == "up" or decision.load_kg is None:
        return ()
    if action == "hold" and codes <= MORE_WORK_DESPITE:
        stop = None if decision.limit is None else decision.limit.max_range_stop
        dose = Dose(load_kg=decision.load_kg, at=at, lifting_s=last.lifting_s)
        return harder_changes(case.fit, key, dose, may_hurt=case.settings.may_hurt, furthest_stop=stop)
    if decision.way_back is not None or "other_side" in codes or not codes & EASIER_FOR:
        return ()
    dose = Dose(load_kg=last_kg, at=at, lifting_s=last.lifting_s)
    easier = _easier_variant(case, key, loads)
    made = easier_changes(case.fit, key, dose, lighter_kg=decision.load_kg, easier=easier)
    return tuple(
        one
        for one in made
        if one.predicted_chance <= case.settings.may_hurt
        and ("sharp_pain" not in codes or one.kind in AFTER_SHARP)
    )


def _easier_variant(case: Case, key: LineKey, loads: Mapping[LineKey, float]) -> tuple[LineKey, float] | None:
    """The nearest easier variant with a load proposed on this side, and that load."""
    order = case.log.variants[case.log.variants["exercise"] == key.exercise].sort_values("order")
    names: list[str] = order["variant"].tolist()
    if key.variant not in names:
        return None
    for name in reversed(names[: names.index(key.variant)]):
        other = replace(key, variant=name)
        if other in loads and case.fit.tried[other].n_asked >= FEWEST_ASKED:
            return other, loads[other]
    return None
