"""Reasons from the log why a load does not go up next time, each with what would lift it (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from analysis.client_settings import ClientSettings
from analysis.questions.mornings import UP_POINTS, Morning
from analysis.questions.proposal_history import Exposure
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results_proposal import Hold

ONE_DAY = dt.timedelta(days=1)


def log_holds(
    last: Exposure,
    mornings: Mapping[dt.date, Morning],
    client: ClientSettings,
    settings: ProposalSettings,
) -> tuple[Hold, ...]:
    """What the last time of a line says against a step up.

    Parameters
    ----------
    last : Exposure
        The last day of the line.
    mornings : mapping of date to Morning
        Every logged morning.
    client : ClientSettings
    settings : ProposalSettings

    Returns
    -------
    tuple of Hold
        The strictest first; empty where nothing speaks against it.
    """
    found = (
        _feel(last),
        _stopped(last),
        _morning(last.day + ONE_DAY, mornings, client, settings),
        _latest_morning(last.day, mornings, client),
        _compensation(last),
        _goal(last, settings),
        _reserve(last, settings),
    )
    seen: dict[str, Hold] = {}
    for hold in found:
        if hold is not None:
            seen.setdefault(hold.code, hold)
    return tuple(seen.values())


def morning_is_usual(morning: Morning | None, client: ClientSettings) -> bool | None:
    """Whether a morning was within the client's usual and the limit agreed; None where it cannot be told.

    A score under 2 cannot be 2 above anything, so it needs no usual.
    """
    if morning is None:
        return None
    if client.limit_next_morning is not None and morning.pain > client.limit_next_morning:
        return False
    if morning.usual is None:
        return True if morning.pain < UP_POINTS else None
    return not morning.up


def _morning(
    day: dt.date, mornings: Mapping[dt.date, Morning], client: ClientSettings, settings: ProposalSettings
) -> Hold | None:
    morning = mornings.get(day)
    if morning is None:
        if not settings.needs_next_morning:
            return None
        return Hold(
            code="next_morning_not_logged",
            reason=f"next morning, {day.isoformat()}, not logged yet",
            remedy=f"Log the joint pain on getting up on {day.isoformat()}.",
        )
    match morning_is_usual(morning, client):
        case False:
            return _above_usual(morning)
        case None:
            return Hold(
                code="usual_morning_not_known",
                reason=f"next morning {morning.pain}, usual not known yet",
                remedy="Log the joint pain of four mornings within two weeks.",
            )
        case _:
            return None


def _latest_morning(
    since: dt.date, mornings: Mapping[dt.date, Morning], client: ClientSettings
) -> Hold | None:
    """The newest morning after the last time, where another session may have stirred the joint up."""
    after = [day for day in mornings if day > since]
    if not after or morning_is_usual(mornings[max(after)], client) is not False:
        return None
    return _above_usual(mornings[max(after)])


def _above_usual(morning: Morning) -> Hold:
    usual = "" if morning.usual is None else f", usually {morning.usual:g}"
    return Hold(
        code="morning_above_usual",
        reason=f"morning of {morning.day.isoformat()} above usual: {morning.pain}{usual}",
        remedy="Repeat the load until a next morning is usual.",
    )


def _feel(last: Exposure) -> Hold | None:
    if not last.feels:
        return None
    return Hold(
        code="sharp_pain",
        reason=f"{' and '.join(last.feels)} pain last time".replace("giving way pain", "giving way"),
        remedy="Use an easier variant or a shorter range; if it comes back, see a clinician.",
    )


def _stopped(last: Exposure) -> Hold | None:
    if not last.stopped_for_pain:
        return None
    return Hold(
        code="stopped_for_pain",
        reason="a set was stopped for pain last time",
        remedy="Finish every set without stopping for pain.",
    )


def _compensation(last: Exposure) -> Hold | None:
    if not last.compensation_clear:
        return None
    return Hold(
        code="clear_compensation",
        reason="clear compensation last time",
        remedy="Do the load without clear compensation first.",
    )


def _goal(last: Exposure, settings: ProposalSettings) -> Hold | None:
    if last.goal_met is False:
        return Hold(
            code="target_not_met",
            reason="target reps not met last time",
            remedy="Reach the target in every working set.",
        )
    if last.goal_met is None and settings.needs_target:
        return Hold(
            code="target_not_logged",
            reason="target reps not logged",
            remedy="Log target_reps, or that the set was stopped at its goal.",
        )
    return None


def _reserve(last: Exposure, settings: ProposalSettings) -> Hold | None:
    if last.least_rir is None:
        if not settings.needs_reserve:
            return None
        return Hold(
            code="reserve_not_logged",
            reason="reps in reserve not logged",
            remedy="Log rir, or an rpe of 7 or more.",
        )
    if last.least_rir < settings.least_rir:
        return Hold(
            code="too_little_reserve",
            reason=f"{last.least_rir:g} rep{'' if last.least_rir == 1 else 's'} in reserve last time",
            remedy=f"Keep {settings.least_rir:g} reps or more in reserve.",
        )
    return None
