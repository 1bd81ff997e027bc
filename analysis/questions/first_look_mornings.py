"""Flares and mornings above usual that are still news (layer: questions)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from analysis.questions.mornings import Morning
from analysis.results_first_look import FlareNews, MorningNews

NEWS_DAYS = 7
"""So many days a flare or a morning stays news once later mornings are known (common practice)."""
ONE_DAY = dt.timedelta(days=1)

Run = tuple[Morning, ...]


def morning_news(
    mornings: Sequence[Morning], logged_flares: Sequence[dt.date], *, today: dt.date
) -> tuple[FlareNews | MorningNews, ...]:
    """The last flare and the last single morning above usual, as far as they are news.

    They are news for `NEWS_DAYS` days, and as long as no later morning is known.

    Parameters
    ----------
    mornings : sequence of Morning
        Oldest first.
    logged_flares : sequence of date
        Days of events called a flare.
    today : date

    Returns
    -------
    tuple of FlareNews or MorningNews
        A morning within or before the flare is not told again.
    """
    latest = mornings[-1].day if mornings else None
    runs = [one for one in _runs(mornings) if _is_news(one[-1].day, latest, today)]
    flares = [_flare(run, latest) for run in runs if len(run) > 1]
    flares += [_logged(day, latest) for day in logged_flares if _is_news(day, latest, today)]
    flare = max(flares, key=lambda one: (one.day, one.n_mornings), default=None)
    singles = [run[0] for run in runs if len(run) == 1 and (flare is None or run[0].day > flare.day)]
    found: list[FlareNews | MorningNews] = [] if flare is None else [flare]
    if singles:
        found.append(_single(singles[-1], mornings))
    return tuple(found)


def _runs(mornings: Sequence[Morning]) -> list[Run]:
    """Mornings above usual, those on days running together."""
    runs: list[list[Morning]] = []
    for one in mornings:
        if not one.up:
            continue
        if runs and runs[-1][-1].day == one.day - ONE_DAY:
            runs[-1].append(one)
        else:
            runs.append([one])
    return [tuple(run) for run in runs]


def _is_news(day: dt.date, latest: dt.date | None, today: dt.date) -> bool:
    return latest is None or day >= latest or (today - day).days <= NEWS_DAYS


def _flare(run: Run, latest: dt.date | None) -> FlareNews:
    return FlareNews(
        day=run[-1].day,
        first_day=run[0].day,
        worst=float(max(one.pain for one in run)),
        usual=run[0].usual,
        n_mornings=len(run),
        is_latest=run[-1].day == latest,
    )


def _logged(day: dt.date, latest: dt.date | None) -> FlareNews:
    return FlareNews(
        day=day,
        first_day=day,
        worst=None,
        usual=None,
        n_mornings=0,
        is_latest=latest is None or latest <= day,
    )


def _single(one: Morning, mornings: Sequence[Morning]) -> MorningNews:
    assert one.usual is not None  # a morning is up against a known usual only
    week = [each for each in mornings if one.day - dt.timedelta(days=NEWS_DAYS) < each.day <= one.day]
    return MorningNews(day=one.day, pain=float(one.pain), usual=one.usual, n_up=sum(each.up for each in week))
