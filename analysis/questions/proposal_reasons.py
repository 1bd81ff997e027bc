"""Reasons for a load that come from limits, the way back, the equipment and the chance of pain (layer: questions)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.questions.proposal_history import Exposure
from analysis.questions.proposal_loads import NEARLY, Risk, step_as_share
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results_proposal import Hold, LimitInForce, WayBack

NOTHING_ALLOWED = Hold(
    code="even_the_lightest",
    reason="even the lightest load is predicted to hurt too often",
    remedy="Try an easier variant or a shorter range.",
)
NO_QUIET_LOAD = Hold(
    code="no_quiet_load",
    reason="no quiet load in the last three weeks",
    remedy="One day with every set quiet at a load lifts this.",
)
STEP_NOT_KNOWN = Hold(
    code="step_not_known",
    reason="the step of the equipment is not known",
    remedy="Give load_step in exercises.csv.",
)
CANNOT_SAY = "cannot_say_yet"


def limit_hold(limit: LimitInForce | None) -> Hold:
    """The reason that a limit gives, with who set it."""
    by = limit.by if limit is not None and limit.by else "limits.csv"
    return Hold(code="limit", reason=f"limit set by {by}", remedy="")


def way_back_holds(back: WayBack | None) -> Sequence[Hold]:
    """The reason that a flare or a break gives, with what is left of the way; nothing where there is neither."""
    if back is None:
        return ()
    what = "flare" if back.kind == "flare" else "break"
    left = back.n_needed - back.n_quiet
    sessions = "one quiet session" if left == 1 else f"{left} quiet sessions"
    return (
        Hold(
            code=back.kind,
            reason=f"on the way back after the {what} of {back.since.isoformat()}",
            remedy=f"Back up after {sessions} more, each with a usual morning.",
        ),
    )


def reps_first(
    up: float | None,
    quiet: float | None,
    last: Exposure,
    usual_reps: float | None,
    settings: ProposalSettings,
) -> int | None:
    """Reps to reach at the quiet load before a step that is large; None where it is small or they are reached."""
    if up is None or quiet is None or step_as_share(up - quiet, quiet) <= settings.reps_first_above + NEARLY:
        return None
    target = last.target_reps if last.target_reps is not None else usual_reps
    if target is None:
        return None
    wanted = round(target) + settings.more_reps
    there = last.heaviest_kg is not None and last.heaviest_kg >= quiet - NEARLY
    reached = there and last.last_reps is not None and last.last_reps >= wanted
    return None if reached else wanted


def chance_holds(
    risk: Risk | None,
    wanted: float,
    quiet: float | None,
    up: float | None,
    last_kg: float,
    settings: ProposalSettings,
) -> Sequence[Hold]:
    """Why the chance of pain does not allow the step up, or not even the last load."""
    if risk is None or (up is not None and wanted > up - NEARLY):
        return ()
    dial = f"{settings.may_hurt * 10:g} of 10"
    if wanted < last_kg - NEARLY:
        mean = risk.mean_chance(last_kg)
        if mean <= settings.held_share * settings.may_hurt:
            return ()
        spare = ", with nothing to spare" if round(mean * 10) == round(settings.may_hurt * 10) else ""
        return (
            Hold(
                code="chance_at_last_load",
                reason=f"at the last load about {mean * 10:.0f} of 10 would hurt{spare}",
                remedy=f"The load is the heaviest at which {dial} may hurt.",
            ),
        )
    if quiet is None or up is None:
        return ()
    return (
        Hold(
            code="chance_one_step_up",
            reason=f"one step up, more than {dial} could hurt",
            remedy="More quiet sets at this load make the estimate surer.",
        ),
    )
