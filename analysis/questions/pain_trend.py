"""Pain at one fixed set week by week, beside what was really done and felt (layer: questions)."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.design import Design, week_middle
from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, chance_draws, offset_draws
from analysis.numerics.intervals import central_interval
from analysis.questions.line_key import LARGEST_LEVEL
from analysis.questions.pain_line import FEWEST_ASKED
from analysis.results import LineKey, Withheld
from analysis.results_trend import PainTrend, TrendWeek

Floats = NDArray[np.float64]

FEWEST_WEEKS = 3


def pain_trend(
    fit: PainFit,
    observed: pd.DataFrame,
    *,
    key: LineKey | None = None,
    at: At = "usual",
    confidence_level: float = 0.8,
) -> PainTrend | Withheld:
    """Expected pain of a reference set in every week with data.

    Parameters
    ----------
    fit : PainFit
    observed : DataFrame
        Observations of the client that entered the fit.
    key : LineKey, optional
        Line of the reference set; the one with most painful, then most asked sets if None.
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    PainTrend
    Withheld
        If no line has 6 asked sets, none of its sets hurt, or pain was asked in fewer than 3 weeks.
    """
    chosen = key or reference_line(fit)
    if chosen is None or fit.design is None or fit.last_set_day is None:
        return Withheld(
            reason=f"No line has {FEWEST_ASKED} sets with a pain answer yet.",
            remedy="Log the worst joint pain of each set, 0 to 10.",
        )
    if not fit.tried[chosen].n_painful:
        return Withheld(
            reason=f"No set of it hurt at {fit.level} or more, so pain has no course to follow.",
            remedy="Nothing to mend; the loads that were quiet tell what has changed.",
        )
    weeks = (*fit.design.weeks, 0)
    if len(weeks) < FEWEST_WEEKS:
        return Withheld(
            reason="Pain was asked in fewer than three weeks.",
            remedy="From three weeks on pain at one fixed set is followed week by week.",
        )
    mine = _line_rows(observed, chosen)
    load_kg = usual_load_kg(mine)
    loads = np.array([np.nan if load_kg is None else load_kg])
    seen = _raw_weeks(mine)
    blank = (None, None, 0)
    found = []
    for week in weeks:
        points = sum(
            chance_draws(fit, fit.design, chosen, loads, level=level, at=at, week=week)[:, 0]
            for level in range(1, LARGEST_LEVEL + 1)
        )
        low, middle, high = central_interval(np.asarray(points), confidence_level)
        raw_points, raw_load, n_asked = seen.get(week, blank)
        found.append(
            TrendWeek(
                week=fit.last_set_day + dt.timedelta(days=7 * week),
                points=float(middle),
                low=float(low),
                high=float(high),
                raw_points=raw_points,
                raw_load_kg=raw_load,
                n_asked=n_asked,
            )
        )
    slope = _slope_draws(fit, fit.design, chosen, weeks, at)
    low, middle, high = central_interval(slope, confidence_level)
    return PainTrend(
        key=chosen,
        load_kg=load_kg,
        per_week_log_odds=float(middle),
        low=float(low),
        high=float(high),
        confidence_level=confidence_level,
        probability_falling=float((slope < 0).mean()),
        weeks=tuple(found),
        begins_at_its_worst=_begins_at_its_worst(found),
        n_sets=len(mine),
        n_sessions=int(mine["session_key"].nunique()),
    )


def reference_line(fit: PainFit) -> LineKey | None:
    """The line with most painful, then most asked sets; None where none has enough."""
    enough = {key: tried for key, tried in fit.tried.items() if tried.n_asked >= FEWEST_ASKED}
    return max(enough, key=lambda key: (enough[key].n_painful, enough[key].n_asked), default=None)


def usual_load_kg(rows: pd.DataFrame) -> float | None:
    """The load done most often, the heavier of two done equally often; None without a load, kg."""
    counts = rows["load_term_kg"].dropna().round(6).value_counts()
    return float(counts.index[counts == counts.max()].max()) if len(counts) else None


def _line_rows(observed: pd.DataFrame, key: LineKey) -> pd.DataFrame:
    return observed[
        (observed["exercise"] == key.exercise)
        & (observed["variant"] == key.variant)
        & (observed["works"] == key.works)
        & (observed["asked_side"] == key.side)
    ]


def _raw_weeks(rows: pd.DataFrame) -> dict[int, tuple[float | None, float | None, int]]:
    found: dict[int, tuple[float | None, float | None, int]] = {}
    for week, part in rows.groupby("week", sort=True):
        load = part["load_term_kg"].to_numpy(float, na_value=np.nan)
        mean = float(np.nanmean(load)) if np.isfinite(load).any() else None
        scores = np.minimum(part["pain_low"].to_numpy(float), LARGEST_LEVEL)
        found[int(week)] = (float(scores.mean()), mean, len(part))  # type: ignore[call-overload]
    return found


def _slope_draws(fit: PainFit, design: Design, key: LineKey, weeks: tuple[int, ...], at: At) -> Floats:
    """Least-squares line through the weeks' offsets, draw by draw, log-odds a week."""
    time = np.array([week_middle(week) for week in weeks])
    offsets = np.stack([offset_draws(fit, design, key, at, week=week) for week in weeks], axis=1)
    centred = time - time.mean()
    return np.asarray(offsets @ centred / (centred @ centred))


def _begins_at_its_worst(weeks: list[TrendWeek]) -> bool:
    raw = [one.raw_points for one in weeks if one.raw_points is not None]
    return len(raw) >= FEWEST_WEEKS and raw[0] > 0 and raw[0] > max(raw[1:])
