"""The way back after a flare or a break, per exercise and side (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from itertools import pairwise

import pandas as pd

from analysis.client_settings import ClientSettings
from analysis.questions.mornings import Morning
from analysis.questions.proposal_history import Exposure, heaviest_quiet_kg
from analysis.questions.proposal_holds import ONE_DAY, morning_is_usual
from analysis.questions.proposal_settings import ProposalSettings
from analysis.results_proposal import WayBack, WayBackAdvice
from analysis.training_log import TrainingLog

FLARE_DAYS = 42
"""A flare that began longer ago than this no longer decides (common practice)."""


def flare_days(
    log: TrainingLog, client: str, mornings: Mapping[dt.date, Morning], *, as_of: dt.date
) -> tuple[dt.date, ...]:
    """First days of the flares up to a day, logged as such or seen in the mornings, oldest first."""
    rows = log.events[(log.events["client"] == client) & (log.events["event"] == "flare")]
    logged = {day.date() for day in rows["date"]}
    seen = {morning.day for morning in mornings.values() if morning.flare_begins}
    return tuple(sorted(day for day in logged | seen if day <= as_of))


def way_back(
    days: Sequence[Exposure],
    of_exercise: Sequence[Exposure],
    trained: Sequence[dt.date],
    flares: Sequence[dt.date],
    mornings: Mapping[dt.date, Morning],
    client: ClientSettings,
    settings: ProposalSettings,
    *,
    day: dt.date,
) -> WayBack | None:
    """Where a line stands after the latest flare or break, until enough sessions were quiet.

    Parameters
    ----------
    days : sequence of Exposure
        Days of the line, oldest first.
    of_exercise : sequence of Exposure
        Days of the exercise and side in any variant: a quiet session of another variant counts as well.
    trained : sequence of date
        Days on which the exercise was done with that working side, in any variant.
    flares : sequence of date
        First day of each flare.
    mornings : mapping of date to Morning
    client : ClientSettings
    settings : ProposalSettings
    day : date
        Day of the next session.

    Returns
    -------
    WayBack or None
        None once it is over, or where there was neither.
    """
    flare = next((one for one in reversed(flares) if 0 <= (day - one).days <= FLARE_DAYS), None)
    gap = _latest_break(trained, settings, day)
    if flare is None and gap is None:
        return None
    if gap is not None and (flare is None or gap >= flare):
        return _after(
            days, of_exercise, mornings, client, settings, kind_is_flare=False, since=gap, first=gap + ONE_DAY
        )
    assert flare is not None
    return _after(days, of_exercise, mornings, client, settings, kind_is_flare=True, since=flare, first=flare)


def _latest_break(trained: Sequence[dt.date], settings: ProposalSettings, day: dt.date) -> dt.date | None:
    """Last day before the latest break that is recent, or that still lasts."""
    for before, after in reversed(list(pairwise([*sorted(set(trained)), day]))):
        if (day - after).days > FLARE_DAYS:
            return None
        if (after - before).days >= settings.break_days:
            return before
    return None


def _after(
    days: Sequence[Exposure],
    of_exercise: Sequence[Exposure],
    mornings: Mapping[dt.date, Morning],
    client: ClientSettings,
    settings: ProposalSettings,
    *,
    kind_is_flare: bool,
    since: dt.date,
    first: dt.date,
) -> WayBack | None:
    told: dict[dt.date, bool] = {}
    for one in of_exercise:
        if one.day >= first:
            usual = morning_is_usual(mornings.get(one.day + ONE_DAY), client)
            fine = usual or (usual is None and not settings.needs_next_morning)
            told[one.day] = told.get(one.day, True) and one.quiet and bool(fine)
    n_quiet = sum(told.values())
    if n_quiet >= settings.sessions_back:
        return None
    window = dt.timedelta(days=settings.quiet_days)
    before = [one for one in days if one.day < first]
    recent = [one for one in before if since - window <= one.day]
    advice: WayBackAdvice = "lighten"
    if kind_is_flare:
        if all(one.quiet for one in recent):
            advice = "keep"
        elif _still_up(mornings, client) and before and before[-1].n_painful:
            advice = "leave_out"
    return WayBack(
        kind="flare" if kind_is_flare else "break",
        since=since,
        advice=advice,
        last_quiet_kg=heaviest_quiet_kg(before, since=since - window - ONE_DAY, until=since),
        quiet_since_kg=heaviest_quiet_kg(days, since=first - ONE_DAY, until=dt.date.max),
        n_quiet=n_quiet,
        n_needed=settings.sessions_back,
    )


def _still_up(mornings: Mapping[dt.date, Morning], client: ClientSettings) -> bool:
    """Whether the newest logged morning is above usual."""
    return bool(mornings) and morning_is_usual(mornings[max(mornings)], client) is False


def trained_days(sets: pd.DataFrame) -> dict[tuple[str, str], tuple[dt.date, ...]]:
    """Days on which each exercise was done with each working side, in any variant.

    Parameters
    ----------
    sets : DataFrame
        `analysis.derive.derive_sets`.

    Returns
    -------
    dict
        Exercise and working side to its days, oldest first.
    """
    days: dict[tuple[str, str], set[dt.date]] = {}
    columns = (sets[name].tolist() for name in ("exercise", "works", "date"))
    for exercise, works, day in zip(*columns, strict=True):
        days.setdefault((exercise, works), set()).add(day.date())
    return {work: tuple(sorted(found)) for work, found in days.items()}
