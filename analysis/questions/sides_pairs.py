"""Sets of the two sides done side by side: reps, effort, which side led, pain at the same load (layer: questions)."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from analysis.results import Estimate, Withheld
from analysis.results_sides import PainBetweenSides, PairedReps, PairWorks, SideKey

FEWEST_PAIRS = 6
"""Pairs, or differing sets, from which a mean or a share is stated (common practice)."""
FEWEST_SESSIONS = 3
WITHIN_RESERVE = 1.0
"""Reserves this near to each other count as equal effort, repetitions (a setting)."""
SAME_WAY = ("load_term_kg", "band", "range_stop", "rom_pct", "tempo")
"""What must be equal, or blank on both sides, for two sets to be set against each other."""
LINE = ("exercise", "variant", "works", "asked_side")
NUMBERS = ("set_number", "reps", "hold_s", "rir", "pain_low", "load_term_kg")
PAIRED = ("session_key", "set", "set_number", "reps", "hold_s", "rir", "pain_low")
PAIRED_FLAGS = ("censored", "stopped", "test", "way")


def comparable(observed: pd.DataFrame) -> pd.DataFrame:
    """The few columns that a comparison of sides needs, as plain numbers.

    Parameters
    ----------
    observed : DataFrame
        `analysis.observations.observations`.

    Returns
    -------
    DataFrame
        ``way`` is a number that two sets share when load, band, range and tempo are equal or blank on both.
    """
    kept = observed[[*LINE, "session_key", "set", "date", "hurt", "censored"]].copy()
    for name in NUMBERS:
        kept[name] = observed[name].to_numpy(float, na_value=np.nan)
    kept["stopped"] = (observed["stopped_for"] == "pain").fillna(False).to_numpy(bool)
    kept["test"] = observed["test_set"].fillna(False).to_numpy(bool)
    kept["way"] = observed.groupby(list(SAME_WAY), dropna=False, sort=False).ngroup().to_numpy(np.int64)
    return kept


def side_by_side(observed: pd.DataFrame, works: PairWorks) -> pd.DataFrame:
    """Sets of left and right in one row each.

    Parameters
    ----------
    observed : DataFrame
        Rows of `comparable` of one exercise and variant.
    works : {"each", "both"}
        Each side by itself: the n-th set of the exercise on either side in a session makes a pair. Both: one
        two-sided set with left and right asked.

    Returns
    -------
    DataFrame
        Columns ``session_key``, ``set_number`` or ``set``, and the others with the endings ``_left``, ``_right``.
    """
    if works == "both":
        mine = observed[observed["works"] == "both"]
        on = ["session_key", "set"]
    else:
        mine = observed[(observed["works"] == observed["asked_side"]) & observed["set_number"].notna()]
        on = ["session_key", "set_number"]
    left, right = (
        mine.loc[mine["asked_side"] == side, [*PAIRED, *PAIRED_FLAGS]] for side in ("left", "right")
    )
    return left.merge(right, on=on, suffixes=("_left", "_right"), validate="one_to_one")


def paired_reps(pairs: pd.DataFrame, key: SideKey, *, confidence_level: float) -> PairedReps | Withheld:
    """Reps and effort where neither side was held back to match the other.

    Parameters
    ----------
    pairs : DataFrame
        `side_by_side`.
    key : SideKey
    confidence_level : float
        Dimensionless.

    Returns
    -------
    PairedReps
    Withheld
        For two-sided work, and where the sides were never done in the same session.
    """
    if key.works == "both":
        return Withheld(
            reason="Both sides work together, so they share reps and effort.",
            remedy="One-sided sets of the same exercise would tell them apart.",
        )
    if pairs.empty:
        return Withheld(
            reason="Left and right were never asked in the same session.",
            remedy="Do both sides in one session, at the same load, and log the reps in reserve of each.",
        )
    reps = _difference(pairs, "reps")
    held = _difference(pairs, "hold_s")
    reserve = _difference(pairs, "rir")
    stopped = pairs["stopped_left"].to_numpy(bool) | pairs["stopped_right"].to_numpy(bool)
    same_way = _same_way(pairs) & ~stopped
    test = pairs["test_left"].to_numpy(bool) & pairs["test_right"].to_numpy(bool)
    known = np.isfinite(reserve)
    near = np.zeros(len(pairs), dtype=bool)
    near[known] = np.abs(reserve[known]) <= WITHIN_RESERVE
    fair = same_way & (test | near)
    more_left = same_way & known & ~near & ~test
    left_held, right_held = more_left & (reserve > 0), more_left & (reserve < 0)
    unknown = same_way & ~known & ~test
    no_number = _no_number(
        left_held=int(left_held.sum()),
        right_held=int(right_held.sum()),
        unknown=int(unknown.sum()),
        same_way=int(same_way.sum()),
        fair=int(fair.sum()),
    )
    session = pairs["session_key"].to_numpy()
    counted = np.where(np.isfinite(reps), reps, held)
    by_reps = bool(np.isfinite(reps).any())
    done, unit = (reps, "repetitions") if by_reps else (held, "seconds")
    return PairedReps(
        n_pairs=len(pairs),
        n_left_first=int((pairs["set_left"] < pairs["set_right"]).sum()),
        n_right_first=int((pairs["set_left"] > pairs["set_right"]).sum()),
        n_reps_matched=int((counted == 0).sum()),
        n_same_way=int(same_way.sum()),
        n_left_held_back=int(left_held.sum()),
        n_right_held_back=int(right_held.sum()),
        n_effort_unknown=int(unknown.sum()),
        n_fair=int(fair.sum()),
        reps=_mean(done, fair, session, unit, confidence_level) or no_number,
        reserve=_mean(reserve, fair & known, session, "repetitions in reserve", confidence_level)
        or no_number,
    )


def pain_between_sides(pairs: pd.DataFrame, *, confidence_level: float) -> PainBetweenSides:
    """Pain left against right at the same load.

    Parameters
    ----------
    pairs : DataFrame
        `side_by_side`.
    confidence_level : float
        Dimensionless.

    Returns
    -------
    PainBetweenSides
        Sets without a score that were stopped for pain are left out: how much they hurt is not known.
    """
    scored = ~(pairs["censored_left"].to_numpy(bool) | pairs["censored_right"].to_numpy(bool))
    here = pairs[_same_way(pairs) & scored]
    left, right = here["pain_low_left"].to_numpy(float), here["pain_low_right"].to_numpy(float)
    higher, lower = int((left > right).sum()), int((left < right).sum())
    sessions = int(here["session_key"].nunique())
    return PainBetweenSides(
        n_sets=len(here),
        left_higher=higher,
        same=len(here) - higher - lower,
        right_higher=lower,
        mean_left=float(left.mean()) if left.size else None,
        mean_right=float(right.mean()) if right.size else None,
        left_higher_share=_share(higher, higher + lower, sessions, confidence_level),
    )


def _share(higher: int, differing: int, n_sessions: int, confidence_level: float) -> Estimate | Withheld:
    if differing < FEWEST_PAIRS:
        return Withheld(
            reason=f"The two sides differed in {differing} {'set' if differing == 1 else 'sets'} only."
            if differing
            else "The two sides never differed.",
            remedy="The counts stand as they are; no share is made of so few.",
        )
    low, high = proportion_confint(higher, differing, alpha=1.0 - confidence_level, method="wilson")
    return Estimate(
        value=higher / differing,
        low=float(low),
        high=float(high),
        confidence_level=confidence_level,
        unit="share of sets that differ",
        method="Wilson interval",
        n_sets=differing,
        n_sessions=n_sessions,
    )


def _difference(pairs: pd.DataFrame, name: str) -> NDArray[np.float64]:
    return np.asarray(pairs[f"{name}_left"].to_numpy(float) - pairs[f"{name}_right"].to_numpy(float))


def _same_way(pairs: pd.DataFrame) -> NDArray[np.bool_]:
    return np.asarray(pairs["way_left"].to_numpy() == pairs["way_right"].to_numpy())


def _mean(
    values: NDArray[np.float64],
    chosen: NDArray[np.bool_],
    session: NDArray[np.int64],
    unit: str,
    confidence_level: float,
) -> Estimate | None:
    """Mean of the sessions' means with its t interval; None where pairs or sessions are too few."""
    chosen = chosen & np.isfinite(values)
    means = pd.Series(values[chosen]).groupby(session[chosen]).mean().to_numpy(float)
    if chosen.sum() < FEWEST_PAIRS or means.size < FEWEST_SESSIONS:
        return None
    middle = float(means.mean())
    half = float(stats.sem(means) * stats.t.ppf(0.5 + confidence_level / 2, means.size - 1))
    return Estimate(
        value=middle,
        low=middle - half,
        high=middle + half,
        confidence_level=confidence_level,
        unit=unit,
        method="mean of session means, t interval",
        n_sets=int(chosen.sum()),
        n_sessions=int(means.size),
    )


def _no_number(*, left_held: int, right_held: int, unknown: int, same_way: int, fair: int) -> Withheld:
    """Why reps and effort are not known: held back to match, effort not logged, or too few pairs."""
    if left_held + right_held > max(unknown, same_way // 2) and left_held + right_held > 0:
        side, n = ("Right", right_held) if right_held >= left_held else ("Left", left_held)
        return Withheld(
            reason=f"{side} held back to match in {n} of {_pairs(same_way)}: not known.",
            remedy="A test of both sides, each to the same reps in reserve, would tell.",
        )
    if unknown > same_way // 2:
        return Withheld(
            reason=f"Reps in reserve not logged on both sides in {unknown} of {_pairs(same_way)}: not known.",
            remedy="Log RIR or RPE on both sides, or do a test of both sides.",
        )
    return Withheld(
        reason=f"{f'Only {_pairs(fair)}' if fair else 'No pair'} at the same load, range, tempo and effort.",
        remedy=f"{FEWEST_PAIRS} pairs in {FEWEST_SESSIONS} sessions at the same load and effort would tell.",
    )


def _pairs(n: int) -> str:
    return f"{n} pair" if n == 1 else f"{n} pairs"
