"""Days without a session: long ones, and those the client was away (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from itertools import pairwise

from analysis.results_month import Gap

GAP_DAYS = 10
"""So many days without a session are a gap (common practice)."""


def gaps(
    session_days: Collection[dt.date], away_days: Collection[dt.date], first: dt.date, last: dt.date
) -> tuple[Gap, ...]:
    """Gaps between sessions that touch some days, and the one that still lasts on the last of them.

    A stretch counts from ten days on, or when an event "away" falls into it or on the session before it.

    Parameters
    ----------
    session_days, away_days : collection of date
        Days with a set, and days of events "away".
    first, last : date
        Days to look at, inclusive.

    Returns
    -------
    tuple of Gap
        Oldest first.
    """
    one = dt.timedelta(days=1)
    days = sorted(set(session_days))
    stretches = [(before + one, after - one) for before, after in pairwise(days)]
    if days:
        stretches.append((days[-1] + one, last))
    found = [
        Gap(
            first=start,
            last=end,
            n_days=(end - start).days + 1,
            away=any(start - one <= day <= end for day in away_days),
        )
        for start, end in stretches
        if start <= end
    ]
    return tuple(
        gap
        for gap in found
        if (gap.n_days >= GAP_DAYS or gap.away) and gap.first <= last and gap.last >= first
    )
