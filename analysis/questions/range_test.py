"""A small test that separates range from load: two ranges, one load, order by coin, three sessions (layer: questions).

Sets that merely happened at two ranges are no such test: a shorter range mostly follows a set that hurt, and the
next set then tends to be quieter whatever is changed. So the sets of the test are marked in their note, and a coin
decides which range comes first (two alternated conditions in one person: CENT 2015, Vohra, BMJ 350:h1738).
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from statistics import median_low

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.stats import permutation_test

from analysis.client_settings import client_settings
from analysis.questions.load_by_range import LOG_RANGE, SAME_KG, RangedSet, ranged_sets, sets_of_key
from analysis.questions.proposal_limits import limit_in_force, limits_on
from analysis.range_stops import stop_percents, stop_ranks
from analysis.results import LineKey, Withheld
from analysis.results_effects import RangePair, RangePlan, RangeResult, RangeTest
from analysis.results_proposal import LimitInForce
from analysis.training_log import TrainingLog

NO_LIMIT = LimitInForce(max_load_kg=None, max_range_stop=None, leave_out=False, by=None)
SESSIONS = 3
MARK = "range test"
RECENT_DAYS = 21
SHORTER_PCT = 20.0
"""Where only percents are logged and one was done, the other range is this many points shorter."""
STOP_SIGNS = frozenset({"sharp", "catching", "giving way"})
MOST_OUTCOMES = 9999
"""Up to 13 sessions every outcome of the coin is counted, beyond that so many are drawn."""


def range_test(
    log: TrainingLog, observed: pd.DataFrame, client: str, key: LineKey, *, as_of: dt.date, seed: int
) -> RangeTest:
    """The test for one line, and what it showed so far.

    Parameters
    ----------
    log : TrainingLog
    observed : DataFrame
        `analysis.observations.observations` of the client.
    client : str
    key : LineKey
    as_of : date
        Limits in force on this day are kept.
    seed : int
        Of the coin; the same seed gives the same order every time.

    Returns
    -------
    RangeTest
    """
    sets = ranged_sets(observed, key, log.ranges)
    pairs = marked_pairs(sets)
    mine = sets_of_key(observed, key)
    settings = client_settings(log, client, as_of=as_of)
    basis = str(mine["load_basis"].iloc[-1]) if len(mine) else "total"
    limits = limits_on(log, client, day=as_of)
    limit = limit_in_force(limits, log.ranges, settings, key.exercise, basis) or NO_LIMIT
    return RangeTest(
        key=key,
        plan=_plan(log, mine, sets, pairs, limit, key, seed),
        result=_result(pairs),
    )


Pairs = tuple[tuple[RangedSet, RangedSet], ...]
"""For each session of the test its sets at the shorter and at the longer range."""


def marked_pairs(sets: tuple[RangedSet, ...]) -> Pairs:
    """The marked sessions that hold one load at two ranges; the two ranges are those of the first such session.

    Parameters
    ----------
    sets : tuple of RangedSet
        Oldest first.

    Returns
    -------
    tuple of (RangedSet, RangedSet)
        Shorter, longer.
    """
    marked: dict[int, list[RangedSet]] = {}
    for one in sets:
        if MARK in one.note.casefold():
            marked.setdefault(one.session, []).append(one)
    found: list[tuple[RangedSet, RangedSet]] = []
    for of_session in marked.values():
        first = of_session[0]
        other = next(
            (
                one
                for one in of_session
                if one.stop != first.stop and abs(one.load_kg - first.load_kg) < SAME_KG
            ),
            None,
        )
        if other is None:
            continue
        shorter, longer = sorted((first, other), key=lambda one: one.order)
        if not found or (found[0][0].stop, found[0][1].stop) == (shorter.stop, longer.stop):
            found.append((shorter, longer))
    return tuple(found)


def _result(pairs: Pairs) -> RangeResult | Withheld:
    if len(pairs) < SESSIONS:
        return Withheld(
            reason=f"{len(pairs)} of {SESSIONS} sessions of the test are logged.",
            remedy=f'Write "{MARK}" into the note of both sets, so that they are found.',
        )
    shorter = np.array([one.pain for one, _ in pairs], dtype=float)
    longer = np.array([one.pain for _, one in pairs], dtype=float)
    return RangeResult(
        shorter=pairs[0][0].stop,
        longer=pairs[0][1].stop,
        pairs=tuple(
            RangePair(
                day=one.day,
                load_kg=one.load_kg,
                pain_shorter=one.pain,
                pain_longer=two.pain,
                shorter_first=one.place < two.place,
            )
            for one, two in pairs
        ),
        mean_difference=float((longer - shorter).mean()),
        chance_if_alike=chance_if_alike(longer, shorter),
    )


def chance_if_alike(longer: NDArray[np.float64], shorter: NDArray[np.float64]) -> float:
    """How often the coin alone would give a mean difference this large or larger, in either direction.

    Had the range made no difference to any set, another fall of the coin would only swap the two scores of a
    session: an exact randomisation test.

    Parameters
    ----------
    longer, shorter : ndarray, shape (n_sessions,)
        Pain, 0-10.

    Returns
    -------
    float
        At least 2 / 2^n_sessions, so 1 in 4 with three sessions.
    """
    test = permutation_test(
        (longer, shorter),
        lambda x, y, axis: (x - y).mean(axis=axis),
        permutation_type="samples",
        vectorized=True,
        n_resamples=MOST_OUTCOMES,
        rng=np.random.default_rng(0),
    )
    return float(test.pvalue)


def _plan(
    log: TrainingLog,
    mine: pd.DataFrame,
    sets: tuple[RangedSet, ...],
    pairs: Pairs,
    limits: LimitInForce,
    key: LineKey,
    seed: int,
) -> RangePlan | Withheld:
    if limits.leave_out:
        return Withheld(reason="A limit leaves this exercise out.", remedy="Ask who set the limit.")
    if not sets:
        return Withheld(reason="No set of this line has both a load and a range.", remedy=LOG_RANGE)
    last = mine[mine["session_key"] == mine["session_key"].iloc[-1]]
    if last["pain_feel"].isin(STOP_SIGNS).any():
        return Withheld(
            reason="Pain was sharp, catching or giving way in the last session of this exercise.",
            remedy="Leave tests of it alone until that is settled, if need be by a clinician.",
        )
    if len(pairs) >= SESSIONS:
        return Withheld(
            reason=f"{len(pairs)} sessions of the test are logged.",
            remedy=f'More sessions done in the same way and marked "{MARK}" count as well.',
        )
    load_kg = pairs[0][0].load_kg if pairs else _load_kg(sets)
    if limits.max_load_kg is not None and load_kg > limits.max_load_kg + SAME_KG:
        allowed = [one.load_kg for one in sets if one.load_kg <= limits.max_load_kg + SAME_KG]
        if not allowed:
            return Withheld(reason="A limit lies below every load tried.", remedy="Ask who set the limit.")
        load_kg = max(allowed)
    stops = (pairs[0][0].stop, pairs[0][1].stop) if pairs else _two_stops(log, sets, limits, key)
    if isinstance(stops, Withheld):
        return stops
    coin = np.random.default_rng(seed).integers(0, 2, size=SESSIONS)
    return RangePlan(
        load_kg=load_kg,
        shorter=stops[0],
        longer=stops[1],
        shorter_first=tuple(bool(side) for side in coin[len(pairs) :]),
        seed=seed,
        mark=MARK,
    )


def _recent(sets: tuple[RangedSet, ...]) -> list[RangedSet]:
    """Sets of the last three weeks, all where there are none."""
    return [one for one in sets if one.days_back < RECENT_DAYS] or list(sets)


def _load_kg(sets: tuple[RangedSet, ...]) -> float:
    """The load in use: the middle one of the last three weeks, one that was lifted."""
    return float(median_low([one.load_kg for one in _recent(sets)]))


def _two_stops(
    log: TrainingLog, sets: tuple[RangedSet, ...], limits: LimitInForce, key: LineKey
) -> tuple[str, str] | Withheld:
    """The range in use and the next shorter one; the next longer one tried where nothing shorter is named."""
    order = {one.stop: one.order for one in sets}
    ranks = stop_ranks(log.ranges).get(key.exercise, {})
    most = None
    if limits.max_range_stop is not None:
        by_name = next(iter(order)) in ranks
        most = (
            ranks.get(limits.max_range_stop)
            if by_name
            else stop_percents(log.ranges).get(key.exercise, {}).get(limits.max_range_stop)
        )
        if most is None:
            return Withheld(
                reason=f"A limit names the range {limits.max_range_stop!r}, which these sets cannot be held against.",
                remedy="Log named stops, and order them in ranges.csv.",
            )
    tried = [stop for stop in order if most is None or order[stop] <= most]
    if not tried:
        return Withheld(
            reason="Every range tried lies beyond a limit.", remedy="Keep to the limit; no test of range."
        )
    in_use = Counter(one.stop for one in _recent(sets) if one.stop in tried)
    usual = max(in_use, key=lambda stop: (in_use[stop], order[stop])) if in_use else max(tried, key=order.get)  # type: ignore[arg-type]
    shorter = [stop for stop in {**ranks, **order} if {**ranks, **order}[stop] < order[usual]]
    if usual not in ranks:
        shorter = [stop for stop in order if order[stop] < order[usual]]
        if not shorter and usual.endswith("%") and order[usual] > SHORTER_PCT:
            return f"{order[usual] - SHORTER_PCT:.0f} %", usual
    if shorter:
        return max(shorter, key=lambda stop: {**ranks, **order}[stop]), usual
    longer = [stop for stop in tried if order[stop] > order[usual]]
    if longer:
        return usual, min(longer, key=lambda stop: order[stop])
    return Withheld(
        reason=f"Every set was at {usual}, and no shorter range of this exercise is named.",
        remedy="Name a shorter stop in ranges.csv.",
    )
