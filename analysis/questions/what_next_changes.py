"""What differed between two sets of one exercise and side, and what stood between them (layer: questions)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from analysis.questions.done_sets import DoneSet
from analysis.results import WorkingSide
from analysis.results_what_next import Deed

NEARLY = 1e-6
RANGE_POINTS = 5.0
"""Measured ranges closer than this, in points of percent, are the same (a setting)."""
WAITED_S = 60.0
"""So much longer than the usual rest is waiting (a setting)."""
HABIT_SHARE = 0.5
"""What stands between two sets after quiet ones at least this often is the usual order, not a response (a setting)."""
FEWEST_PAIRS = 3
"""Fewer pairs of sets, or sessions, than this make no habit (a setting)."""

Work = tuple[str, WorkingSide]
"""An exercise and the side that works."""
VariantOrder = Mapping[tuple[str, str], int]
"""Place of each variant in its exercise's order, by exercise and variant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """How one exercise and working side usually goes on after a set that did not hurt.

    Attributes
    ----------
    n_pairs : int
        Pairs of sets, one after the other in a session, the first of them quiet.
    share_other_side, share_unloaded : float
        Of those pairs, with such work between them.
    rest_s : float or None
        Median rest before the second.
    sets_a_session : float or None
        Median number of sets in a session; None with fewer than three sessions.
    """

    n_pairs: int
    share_other_side: float
    share_unloaded: float
    rest_s: float | None
    sets_a_session: float | None


def changes_between(before: DoneSet, after: DoneSet, order: VariantOrder) -> tuple[Deed, ...]:
    """What differed in how the second set was done; loads and ranges of two variants are not compared.

    Parameters
    ----------
    before, after : DoneSet
        Of one exercise and working side.
    order : dict
        Place of each variant, the easiest first.

    Returns
    -------
    tuple of Deed
        Empty when nothing that was logged for both differs.
    """
    if before.variant != after.variant:
        return (_variant(before, after, order),)
    found = (
        _load(before, after),
        _range(before, after),
        _step(before.lowering_s, after.lowering_s, "faster", "slower"),
        _hold(before, after),
        _step(before.target_reps, after.target_reps, "fewer reps", "more reps"),
    )
    return tuple(one for one in found if one is not None)


def away(before: DoneSet, between: Sequence[DoneSet], after: DoneSet, habit: Habit) -> tuple[Deed, ...]:
    """Work of the other side, unloaded work and waiting between two sets, where they are not the habit.

    Parameters
    ----------
    before : DoneSet
    between : sequence of DoneSet
        The sets of that session between the two.
    after : DoneSet
    habit : Habit
        Of that exercise and side.

    Returns
    -------
    tuple of Deed
    """
    found: list[Deed] = []
    if habit.n_pairs >= FEWEST_PAIRS:
        if habit.share_other_side < HABIT_SHARE and has_other_side(before, between):
            found.append("other side")
        if habit.share_unloaded < HABIT_SHARE and has_unloaded(before, between):
            found.append("unloaded work")
    if after.rest_s is not None and habit.rest_s is not None and after.rest_s >= habit.rest_s + WAITED_S:
        found.append("waited")
    return tuple(found)


def has_other_side(of: DoneSet, between: Sequence[DoneSet]) -> bool:
    """Whether the other side worked the same exercise between, outside a superset with it."""
    return any(
        one.exercise == of.exercise and one.works != of.works and not _one_round(of, one) for one in between
    )


def has_unloaded(of: DoneSet, between: Sequence[DoneSet]) -> bool:
    """Whether work without any load stood between, outside a superset with it."""
    return any(
        one.load_basis not in ("bodyweight", "band") and not one.load_kg and not _one_round(of, one)
        for one in between
        if one.exercise != of.exercise
    )


def habit_of(sessions: Sequence[Sequence[DoneSet]]) -> dict[Work, Habit]:
    """The habit of every exercise and working side.

    Parameters
    ----------
    sessions : sequence of sequence of DoneSet
        The sets of each session, in order.

    Returns
    -------
    dict
        By exercise and working side.
    """
    pairs: dict[Work, list[tuple[bool, bool]]] = {}
    rests: dict[Work, list[float]] = {}
    counts: dict[Work, list[int]] = {}
    for session in sessions:
        last: dict[Work, int] = {}
        done: dict[Work, int] = {}
        for place, one in enumerate(session):
            work = (one.exercise, one.works)
            done[work] = done.get(work, 0) + 1
            if work in last and not session[last[work]].hurt:
                first, between = session[last[work]], session[last[work] + 1 : place]
                pairs.setdefault(work, []).append(
                    (has_other_side(first, between), has_unloaded(first, between))
                )
                if one.rest_s is not None:
                    rests.setdefault(work, []).append(one.rest_s)
            last[work] = place
        for work, number in done.items():
            counts.setdefault(work, []).append(number)
    return {
        work: _habit(pairs.get(work, []), rests.get(work, []), numbers) for work, numbers in counts.items()
    }


def _habit(pairs: list[tuple[bool, bool]], rests: list[float], counts: list[int]) -> Habit:
    many = max(len(pairs), 1)
    return Habit(
        n_pairs=len(pairs),
        share_other_side=sum(other for other, _ in pairs) / many,
        share_unloaded=sum(unloaded for _, unloaded in pairs) / many,
        rest_s=median(rests) if rests else None,
        sets_a_session=float(median(counts)) if len(counts) >= FEWEST_PAIRS else None,
    )


def _one_round(of: DoneSet, other: DoneSet) -> bool:
    return of.superset is not None and of.superset == other.superset


def _variant(before: DoneSet, after: DoneSet, order: VariantOrder) -> Deed:
    was, now = (order.get((one.exercise, one.variant)) for one in (before, after))
    if was is None or now is None or was == now:
        return "other variant"
    return "easier variant" if now < was else "harder variant"


def _load(before: DoneSet, after: DoneSet) -> Deed | None:
    if before.band != after.band and before.band is not None and after.band is not None:
        return "other band"
    if before.load_basis != after.load_basis:
        return None
    return _step(before.load_kg, after.load_kg, "lighter", "heavier")


def _range(before: DoneSet, after: DoneSet) -> Deed | None:
    if before.range_rank is not None and after.range_rank is not None:
        return _step(before.range_rank, after.range_rank, "shorter range", "longer range")
    if before.rom_pct is not None and after.rom_pct is not None:
        return _step(
            before.rom_pct, after.rom_pct, "shorter range", "longer range", least=RANGE_POINTS - NEARLY
        )
    stops = (before.range_stop, after.range_stop)
    return "other range" if None not in stops and stops[0] != stops[1] else None


def _hold(before: DoneSet, after: DoneSet) -> Deed | None:
    """A hold instead of reps; a shorter or longer one, unless pain had cut the first short."""
    if before.hold_s is None:
        return "hold" if after.hold_s is not None else None
    if before.stopped_for == "pain":
        return None
    return _step(before.hold_s, after.hold_s, "shorter hold", "longer hold")


def _step(
    before: float | None, after: float | None, down: Deed, up: Deed, *, least: float = NEARLY
) -> Deed | None:
    if before is None or after is None or abs(after - before) <= least:
        return None
    return down if after < before else up
