"""What the next session can try, one proposal for each exercise and side (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace

from analysis.client_settings import client_settings
from analysis.derive import derive_sets
from analysis.models.pain_fit import PainFit
from analysis.observations import answers
from analysis.questions.mornings import mornings as logged_mornings
from analysis.questions.pain_line import FEWEST_ASKED, FEWEST_LOADS
from analysis.questions.proposal_case import Case, allowed_setting, line_risk, predicted_chance
from analysis.questions.proposal_condition import condition_seen
from analysis.questions.proposal_decision import Decision, decided_load, left_out, without_load
from analysis.questions.proposal_history import Exposure, exposures_by_line, two_for_two
from analysis.questions.proposal_limits import limit_in_force, limits_on
from analysis.questions.proposal_loads import NEARLY, acsm_range_kg
from analysis.questions.proposal_other import changes_of_line
from analysis.questions.proposal_settings import ProposalSettings
from analysis.questions.proposal_way_back import flare_days, trained_days, way_back
from analysis.results import LineKey, Tried
from analysis.results_proposal import Hold, Proposal, ProposalAction
from analysis.training_log import TrainingLog

ONE_DAY = dt.timedelta(days=1)
OTHER_SIDE = Hold(code="other_side", reason="the other side of the same set allows no more", remedy="")
NOT_ABOVE_EARLIER = Hold(
    code="session_under_way",
    reason="during a session the proposal can only go down",
    remedy="",
)
STRICTNESS: dict[ProposalAction | None, int] = {None: 0, "leave_out": 1, "stop_today": 2}


def next_session_day(fit: PainFit) -> dt.date:
    """First day the next session can fall on: the day after the last sets, or the last logged day after them."""
    if fit.last_set_day is None or fit.last_set_day < fit.as_of:
        return fit.as_of
    return fit.last_set_day + ONE_DAY


def proposals(
    log: TrainingLog,
    fit: PainFit,
    *,
    day: dt.date | None = None,
    settings: ProposalSettings | None = None,
    earlier: Iterable[Proposal] = (),
) -> tuple[Proposal, ...]:
    """One proposal for each exercise, variant and side done in the last twelve weeks.

    Parameters
    ----------
    log : TrainingLog
    fit : PainFit
        Of that log.
    day : date, optional
        Day of the session; `next_session_day` if None. The day of the last sets means a session under way.
    settings : ProposalSettings, optional
        Common practice where None.
    earlier : iterable of Proposal, optional
        Made before the session; while it is under way nothing goes above them.

    Returns
    -------
    tuple of Proposal
        In order of first appearance; empty where nothing was asked.

    Notes
    -----
    A load above the heaviest quiet one of three weeks needs the 80 % quantile of its chance within the share that
    may hurt and is one equipment step at most; at or below it the mean is enough. limits.csv is always kept.
    """
    if fit.design is None:
        return ()
    settings = settings or ProposalSettings()
    day = day or next_session_day(fit)
    client = client_settings(log, fit.client, as_of=fit.as_of)
    sets = derive_sets(log, fit.client, as_of=fit.as_of)
    mornings = {one.day: one for one in logged_mornings(log, fit.client, as_of=fit.as_of)}
    answered = answers(sets, client)
    oldest = day - dt.timedelta(days=settings.shown_days)
    case = Case(
        log=log,
        fit=fit,
        answered=answered,
        days=exposures_by_line(sets, answered, since=oldest),
        trained=trained_days(sets),
        limits=limits_on(log, fit.client, day=day),
        client=client,
        mornings=mornings,
        flares=flare_days(log, fit.client, mornings, as_of=fit.as_of),
        settings=settings,
        day=day,
    )
    decisions = {
        key: decision for key in fit.tried if (decision := _decision(case, key, fit.tried[key])) is not None
    }
    before = {one.key: one for one in earlier}
    together = _one_set_one_load(_not_above(decisions, before))
    loads = {key: one.load_kg for key, one in together.items() if one.load_kg is not None}
    return tuple(_proposal(case, key, decision, loads) for key, decision in together.items())


def _decision(case: Case, key: LineKey, tried: Tried) -> Decision | None:
    """Decision of one line; None where it was not done lately, or only as preparation."""
    days = case.days.get(key, ())
    if not days:
        return None
    limit = limit_in_force(case.limits, case.log.ranges, case.client, key.exercise, tried.load_basis)
    same = [one for one in case.days if replace(one, variant=key.variant) == key]
    back = way_back(
        days,
        [exposure for one in same for exposure in case.days[one]],
        case.trained.get((key.exercise, key.works), ()),
        case.flares,
        case.mornings,
        case.client,
        case.settings,
        day=case.day,
    )
    out = left_out(days, limit, back, day=case.day)
    if out is not None:
        return out
    if tried.lightest_kg is None or all(one.heaviest_kg is None for one in days):
        return without_load(
            days,
            mornings=case.mornings,
            client=case.client,
            settings=case.settings,
            back=back,
            limit=limit,
        )
    at = allowed_setting(case, key, limit)
    enough = tried.n_asked >= FEWEST_ASKED and len(tried.loads) >= FEWEST_LOADS
    return decided_load(
        tried,
        days,
        line_risk(case, key, at) if enough else None,
        mornings=case.mornings,
        client=case.client,
        settings=case.settings,
        back=back,
        limit=limit,
        usual_reps=at.reps,
        day=case.day,
    )


def _not_above(
    decisions: dict[LineKey, Decision], before: Mapping[LineKey, Proposal]
) -> dict[LineKey, Decision]:
    """Nothing above what was proposed before the session began."""
    kept: dict[LineKey, Decision] = {}
    for key, one in decisions.items():
        cap = before[key].load_kg if key in before else None
        if one.load_kg is not None and cap is not None and one.load_kg > cap + NEARLY:
            kept[key] = replace(one, load_kg=cap, holds=(NOT_ABOVE_EARLIER, *one.holds))
        else:
            kept[key] = one
    return kept


def _one_set_one_load(decisions: dict[LineKey, Decision]) -> dict[LineKey, Decision]:
    """Sides that are asked in the same set get the lower of their loads, and the stricter of their ends."""
    groups: dict[tuple[str, str, str], list[Decision]] = {}
    for key, one in decisions.items():
        groups.setdefault((key.exercise, key.variant, key.works), []).append(one)
    together: dict[LineKey, Decision] = {}
    for key, one in decisions.items():
        group = groups[key.exercise, key.variant, key.works]
        strictest = max(group, key=lambda other: STRICTNESS[other.action])
        lowest = min((other.load_kg for other in group if other.load_kg is not None), default=None)
        if STRICTNESS[strictest.action] > STRICTNESS[one.action]:
            holds = (*strictest.holds, OTHER_SIDE)
            together[key] = replace(one, action=strictest.action, load_kg=None, holds=holds)
        elif lowest is not None and one.load_kg is not None and one.load_kg > lowest + NEARLY:
            together[key] = replace(one, load_kg=lowest, holds=(OTHER_SIDE, *one.holds))
        else:
            together[key] = one
    return together


def _proposal(case: Case, key: LineKey, decision: Decision, loads: Mapping[LineKey, float]) -> Proposal:
    tried = case.fit.tried[key]
    last = _last_loaded(decision.days)
    last_kg = last.heaviest_kg
    at = allowed_setting(case, key, decision.limit)
    action = decision.action or _action(decision.load_kg, last_kg)
    load = decision.load_kg if decision.action is None else None
    return Proposal(
        key=key,
        day=case.day,
        may_hurt=case.settings.may_hurt,
        level=case.fit.level,
        action=action,
        load_kg=load,
        predicted=predicted_chance(case, key, tried, load, at),
        holds=() if action == "up" else decision.holds,
        if_cleared_kg=decision.if_cleared_kg,
        last_kg=last_kg,
        last_day=decision.days[-1].day,
        quiet_kg=decision.quiet_kg,
        step_kg=decision.step_kg,
        step_share=decision.step_share,
        first_reps=decision.first_reps,
        acsm_kg=None if decision.quiet_kg is None else acsm_range_kg(decision.quiet_kg),
        two_for_two=two_for_two(decision.days, more_reps=case.settings.more_reps),
        other_changes=changes_of_line(case, key, decision, action, last, at, loads),
        way_back=decision.way_back,
        limit=decision.limit,
        condition=condition_seen(case.answered, key, day=case.day) if load is None else None,
        at=at,
        tried=tried,
    )


def _last_loaded(days: tuple[Exposure, ...]) -> Exposure:
    """The last day with a load, the last day of all where none has one."""
    return next((one for one in reversed(days) if one.heaviest_kg is not None), days[-1])


def _action(load_kg: float | None, last_kg: float | None) -> ProposalAction:
    if load_kg is None or last_kg is None or abs(load_kg - last_kg) <= NEARLY:
        return "hold"
    return "up" if load_kg > last_kg else "lighter"
