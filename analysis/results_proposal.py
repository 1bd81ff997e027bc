"""What the next session can try: the proposal of one exercise and side, its reasons (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import Estimate, LineKey, Setting, Tried, Withheld

ProposalAction = Literal["up", "hold", "lighter", "leave_out", "stop_today"]
ChangeKind = Literal["load", "lowering", "pause", "range", "reps", "variant"]
WayBackKind = Literal["flare", "break"]
WayBackAdvice = Literal["keep", "lighten", "leave_out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """One reason why a load does not go up, or goes down.

    Attributes
    ----------
    code : str
        Stable name, such as ``next_morning_not_logged``.
    reason : str
        A few words, lower case.
    remedy : str
        What would lift it, a sentence; empty where only time does.
    """

    code: str
    reason: str
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitInForce:
    """What limits.csv allows on the day.

    Attributes
    ----------
    max_load_kg : float or None
        As the load term counts: with bodyweight for bodyweight sets.
    max_range_stop : str or None
    leave_out : bool
    by : str or None
        Who set the strictest of them.
    """

    max_load_kg: float | None
    max_range_stop: str | None
    leave_out: bool
    by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayBack:
    """Where a line stands after a flare or a break.

    Attributes
    ----------
    kind : {"flare", "break"}
    since : date
        First day of the flare; last day before the break.
    advice : {"keep", "lighten", "leave_out"}
    last_quiet_kg : float or None
        Heaviest quiet load of the three weeks before it.
    quiet_since_kg : float or None
        Heaviest quiet load since.
    n_quiet, n_needed : int
        Quiet sessions with usual mornings since, and how many bring the load back up.
    """

    kind: WayBackKind
    since: dt.date
    advice: WayBackAdvice
    last_quiet_kg: float | None
    quiet_since_kg: float | None
    n_quiet: int
    n_needed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherChange:
    """Something else that could change, one thing at a time, with what it is predicted to do.

    Attributes
    ----------
    kind : {"load", "lowering", "pause", "range", "reps", "variant"}
    variant : str
    load_kg : float
    at : Setting
        How the set would be done.
    predicted_chance, low, high : float
        Chance of pain at the client's level, with an 80 % interval.
    time_under_tension_s, volume_kg : float or None
        Of one set: seconds of all phases; reps times load. None where tempo or reps are not logged.
    tension_share, volume_share : float or None
        The same as a share of the last load done as usual.
    """

    kind: ChangeKind
    variant: str
    load_kg: float
    at: Setting
    predicted_chance: float
    low: float
    high: float
    time_under_tension_s: float | None
    volume_kg: float | None
    tension_share: float | None
    volume_share: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenAtCondition:
    """What was seen lately with one band, stop or hold, for lines without a load: ``green band, 12 reps``."""

    label: str
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What the next session can try on one exercise and side.

    Attributes
    ----------
    key : LineKey
    day : date
        Day the proposal is for.
    may_hurt : float
    level : int
    action : {"up", "hold", "lighter", "leave_out", "stop_today"}
        Against the heaviest load of the last time.
    load_kg : float or None
        Load of the model's load term; None where it is left out or has no load.
    predicted : Estimate or Withheld
        Chance of pain at `load_kg`, 80 % interval.
    holds : tuple of Hold
        Every reason that applies, the strictest first; empty where the load goes up.
    if_cleared_kg : float or None
        Load that would be proposed if nothing but the chance of pain and the limits counted.
    last_kg, last_day : float, date, or None
        Heaviest load of the last time, and that day.
    quiet_kg : float or None
        Heaviest load all of whose sets of a day were quiet, within the last three weeks.
    step_kg : float or None
        One equipment step.
    step_share : float or None
        That step as a share of the heaviest quiet load.
    first_reps : int or None
        Reps to reach before a step that is large; None where it is not.
    acsm_kg : tuple of float or None
        2 and 10 % above the heaviest quiet load, for reference.
    two_for_two : bool or None
        Whether the last sets of the last two sessions had two reps over the target; None where not known.
    other_changes : tuple of OtherChange
        Least predicted pain first.
    way_back : WayBack or None
    limit : LimitInForce or None
    condition : SeenAtCondition or None
        For lines without a load.
    at : Setting or None
        How the set is meant to be done; None while nothing can be predicted.
    tried : Tried
    """

    key: LineKey
    day: dt.date
    may_hurt: float
    level: int
    action: ProposalAction
    load_kg: float | None
    predicted: Estimate | Withheld
    holds: tuple[Hold, ...]
    if_cleared_kg: float | None
    last_kg: float | None
    last_day: dt.date
    quiet_kg: float | None
    step_kg: float | None
    step_share: float | None
    first_reps: int | None
    acsm_kg: tuple[float, float] | None
    two_for_two: bool | None
    other_changes: tuple[OtherChange, ...]
    way_back: WayBack | None
    limit: LimitInForce | None
    condition: SeenAtCondition | None
    at: Setting | None
    tried: Tried
