"""One line's load for the next session: caps, reasons to hold, what the chance of pain allows (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.client_settings import ClientSettings
from analysis.questions.mornings import Morning
from analysis.questions.proposal_history import Exposure, heaviest_quiet_kg
from analysis.questions.proposal_holds import log_holds
from analysis.questions.proposal_loads import (
    NEARLY,
    Risk,
    allowed_load_kg,
    equipment_loads_kg,
    heaviest_at_most,
    next_step_kg,
    step_as_share,
)
from analysis.questions.proposal_reasons import (
    CANNOT_SAY,
    NO_QUIET_LOAD,
    NOTHING_ALLOWED,
    STEP_NOT_KNOWN,
    chance_holds,
    limit_hold,
    reps_first,
    way_back_holds,
)
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results import Tried
from analysis.results_proposal import Hold, LimitInForce, ProposalAction, WayBack

Floats = NDArray[np.float64]

SECOND_PAINFUL = 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Decision:
    """What is decided for one line, before both sides of a set are brought together.

    Attributes
    ----------
    days : tuple of Exposure
        Days of the line, oldest first.
    action : str or None
        ``leave_out`` or ``stop_today``; None where a load decides.
    load_kg, if_cleared_kg, quiet_kg : float or None
    step_kg, step_share : float or None
    first_reps : int or None
    holds : tuple of Hold
        Most binding first; kept also where the load goes up in the end, and dropped there by the caller.
    way_back : WayBack or None
    limit : LimitInForce or None
    """

    days: tuple[Exposure, ...]
    action: ProposalAction | None = None
    load_kg: float | None = None
    if_cleared_kg: float | None = None
    quiet_kg: float | None = None
    step_kg: float | None = None
    step_share: float | None = None
    first_reps: int | None = None
    holds: tuple[Hold, ...] = ()
    way_back: WayBack | None = None
    limit: LimitInForce | None = None


def left_out(
    days: tuple[Exposure, ...], limit: LimitInForce | None, back: WayBack | None, *, day: dt.date
) -> Decision | None:
    """Whether the exercise is left out or ends for today; None where a load is to be decided.

    Parameters
    ----------
    days : tuple of Exposure
    limit : LimitInForce or None
    back : WayBack or None
    day : date
        Day of the session; sets of that day make it one that is under way.

    Returns
    -------
    Decision or None
    """
    last = days[-1]
    hold: Hold | None = None
    action: ProposalAction = "leave_out"
    if limit is not None and limit.leave_out:
        hold = Hold(code="limit", reason=f"left out by {limit.by or 'a limit'}", remedy="")
    elif last.day == day and (last.feels or last.left_it):
        action = "stop_today"
        what = " and ".join(last.feels) or "it was left"
        hold = Hold(
            code="stop_today",
            reason=f"{what} today: stop this exercise for today",
            remedy="Ask tomorrow morning; if it comes back, see a clinician.",
        )
    elif last.day == day and last.n_painful >= SECOND_PAINFUL:
        action = "stop_today"
        hold = Hold(
            code="second_painful_set",
            reason="second painful set today: leave this movement for today",
            remedy="Train elsewhere; ask tomorrow morning.",
        )
    elif back is not None and back.advice == "leave_out":
        hold = Hold(
            code="flare",
            reason="flare not settled, and this hurt in it",
            remedy="Back in once a morning is usual, near 70 % of the last quiet load.",
        )
    if hold is None:
        return None
    return Decision(days=days, action=action, holds=(hold,), way_back=back, limit=limit)


def without_load(
    days: tuple[Exposure, ...],
    *,
    mornings: Mapping[dt.date, Morning],
    client: ClientSettings,
    settings: ProposalSettings,
    back: WayBack | None,
    limit: LimitInForce | None,
) -> Decision:
    """Bands, holds and bodyweight: as last time, with whatever speaks against more."""
    holds = (*way_back_holds(back), *log_holds(days[-1], mornings, client, settings))
    return Decision(days=days, holds=holds, way_back=back, limit=limit)


def decided_load(
    tried: Tried,
    days: tuple[Exposure, ...],
    risk: Risk | None,
    *,
    mornings: Mapping[dt.date, Morning],
    client: ClientSettings,
    settings: ProposalSettings,
    back: WayBack | None,
    limit: LimitInForce | None,
    usual_reps: float | None,
    day: dt.date,
) -> Decision:
    """The load of one line.

    Parameters
    ----------
    tried : Tried
        With a load term.
    days : tuple of Exposure
        Oldest first; the last one with a load.
    risk : Risk or None
        None while too little was asked: the load then stays at or below a quiet one.
    mornings : mapping of date to Morning
    client : ClientSettings
    settings : ProposalSettings
    back : WayBack or None
    limit : LimitInForce or None
    usual_reps : float or None
        Stand in for a target that is not logged.
    day : date

    Returns
    -------
    Decision
    """
    last = days[-1]
    quiet = heaviest_quiet_kg(days, since=day - dt.timedelta(days=settings.quiet_days + 1), until=day)
    lightest = tried.lightest_kg if tried.lightest_kg is not None else tried.loads[0].load_kg
    known = lightest if quiet is None else quiet
    loads = equipment_loads_kg(tried, known)
    up = next_step_kg(loads, known) if quiet is not None and tried.load_step_kg else None
    most = known if up is None else up
    ceiling = np.inf if limit is None or limit.max_load_kg is None else limit.max_load_kg
    if heaviest_at_most(loads, ceiling) is None:
        nothing = Hold(code="limit", reason="the limit lies below the lightest load there is", remedy="")
        return Decision(days=days, action="leave_out", holds=(nothing,), way_back=back, limit=limit)
    within = loads[loads <= most + NEARLY]
    free = known if risk is None else allowed_load_kg(within, quiet, risk, settings)
    nothing_allowed = free is None
    wanted = float(within[0]) if free is None else free
    chosen = _at_most(loads, min(wanted, ceiling))

    holds: list[Hold] = [NOTHING_ALLOWED] if nothing_allowed else []
    if chosen < wanted - NEARLY:
        holds.append(limit_hold(limit))
    cleared = chosen
    last_kg = last.heaviest_kg if last.heaviest_kg is not None else known
    reasons = [*way_back_holds(back), *log_holds(last, mornings, client, settings)]
    if quiet is None:
        reasons.append(NO_QUIET_LOAD)
    if risk is None:
        reasons.append(Hold(code=CANNOT_SAY, reason=f"{tried.n_asked} asked sets, cannot say yet", remedy=""))
    if reasons:
        chosen = min(chosen, _at_most(loads, min(known, last_kg)))
    if back is not None and back.advice == "lighten":
        chosen = min(chosen, _at_most(loads, _restart_kg(back, lightest, settings)))
    more_reps = reps_first(up, quiet, last, usual_reps, settings)
    if more_reps is not None and up is not None and chosen > known + NEARLY:
        chosen = known
        share = 100 * step_as_share(up - known, known)
        reason = f"the next step is {share:.0f} % more: first {more_reps} reps"
        reasons.append(Hold(code="reps_first", reason=reason, remedy=""))
    by_chance = chance_holds(risk, wanted, quiet, up, last_kg, settings)
    if quiet is not None and up is None:
        reasons.append(STEP_NOT_KNOWN)
    ordered = (
        [*holds, *by_chance, *reasons] if wanted < min(known, last_kg) else [*holds, *reasons, *by_chance]
    )
    return Decision(
        days=days,
        load_kg=chosen,
        if_cleared_kg=cleared,
        quiet_kg=quiet,
        step_kg=None if up is None else up - known,
        step_share=None if up is None else step_as_share(up - known, known),
        first_reps=more_reps,
        holds=tuple(ordered),
        way_back=back,
        limit=limit,
    )


def _restart_kg(back: WayBack, lightest_kg: float, settings: ProposalSettings) -> float:
    """Where the way back stands: a share of the last quiet load, or what was quiet since."""
    start = lightest_kg if back.last_quiet_kg is None else settings.restart_share * back.last_quiet_kg
    return max(start, back.quiet_since_kg or 0.0)


def _at_most(loads: Floats, cap: float) -> float:
    """Heaviest load within a cap, the lightest there is where none is."""
    found = heaviest_at_most(loads, cap)
    return float(loads[0]) if found is None else found
