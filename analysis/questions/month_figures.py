"""The figures of one month: sets, pain and its load, burn, effort, where it was felt (layer: questions)."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.questions.quiet_loads import quiet_twice_kg
from analysis.results_month import (
    AskedSets,
    CompensationCounts,
    FeltCounts,
    LoadRange,
    MedianOf,
    MonthFigures,
    SessionBurn,
    SessionPain,
)
from analysis.training_log import TrainingLog

Floats = NDArray[np.float64]


def with_logged_reserve(sets: pd.DataFrame, log: TrainingLog, client: str) -> pd.DataFrame:
    """Sets with ``rir_logged``: repetitions in reserve as logged, none worked out from a rated effort.

    Parameters
    ----------
    sets : DataFrame
        From `derive_sets`, of that client: all its sets up to some day.
    log : TrainingLog
    client : str

    Returns
    -------
    DataFrame
        The same rows in the same order.
    """
    mine = (log.sets["client"] == client).to_numpy(bool)
    date, number = (log.sets[name].to_numpy()[mine] for name in ("date", "set"))
    session = log.sets["session"].fillna(1).to_numpy()[mine]
    order = np.lexsort((number, session, date))  # canonical; later days than those of `sets` come last
    logged = log.sets["rir"].to_numpy(float, na_value=np.nan)[mine][order]
    return sets.assign(rir_logged=logged[: len(sets)])


def month_figures(
    sets: pd.DataFrame, asked: pd.DataFrame, first: dt.date, last: dt.date, *, one_line: bool
) -> MonthFigures | None:
    """Counts and medians of some sets.

    Parameters
    ----------
    sets : DataFrame
        Sets of the days in question, with ``rir_logged``: of one exercise, variant and working side, or all.
    asked : DataFrame
        Answers about pain in those days: of one line, or all.
    first, last : date
        Days covered, inclusive.
    one_line : bool
        Whether the loads stand on one scale; loads are left out otherwise.

    Returns
    -------
    MonthFigures or None
        None without a set.
    """
    if sets.empty:
        return None
    found = asked_sets(asked, one_line=one_line)
    return MonthFigures(
        first_day=first,
        last_day=last,
        n_sessions=int(sets["session_key"].nunique()),
        n_sets=len(sets),
        asked=found,
        share_asked=found.n_asked / len(sets),
        quiet_twice_kg=quiet_twice_kg(asked) if one_line else None,
        burn=median_of(sets["burn"]),
        rir=median_of(sets["rir_logged"]),
        rpe=median_of(sets["rpe"]),
        felt=felt_counts(sets),
        compensation=compensation_counts(sets),
        n_chosen_for_pain=_count(sets["chosen_for"], "pain"),
    )


def asked_sets(asked: pd.DataFrame, *, one_line: bool) -> AskedSets:
    """Sets with an answer, those that hurt, and their loads; a set counts once, whichever sides were asked.

    Parameters
    ----------
    asked : DataFrame
        Answers about pain.
    one_line : bool
        Whether the loads stand on one scale; loads are left out otherwise.

    Returns
    -------
    AskedSets
    """
    if one_line:
        return asked_of_line(*answer_arrays(asked))
    painful = asked[asked["hurt"].astype(bool)]
    return AskedSets(
        n_asked=len(asked.drop_duplicates(["session_key", "set"])),
        n_painful=len(painful.drop_duplicates(["session_key", "set"])),
        worst=int(asked["pain_low"].max()) if len(asked) else None,
        loads=None,
        painful_loads=None,
        quiet_loads=None,
    )


def answer_arrays(asked: pd.DataFrame) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Load in kg (NaN without one), score, and whether it hurt, of each answer; each of shape (n_answers,)."""
    return (
        asked["load_term_kg"].to_numpy(float, na_value=np.nan),
        asked["pain_low"].to_numpy(float),
        asked["hurt"].to_numpy(bool),
    )


def asked_of_line(load_kg: Floats, pain: Floats, hurt: NDArray[np.bool_]) -> AskedSets:
    """The same of one line, whose answers are one a set.

    Parameters
    ----------
    load_kg : ndarray, shape (n_answers,)
        kg; NaN without a load.
    pain : ndarray, shape (n_answers,)
        0 to 10.
    hurt : ndarray of bool, shape (n_answers,)

    Returns
    -------
    AskedSets
    """
    return AskedSets(
        n_asked=pain.size,
        n_painful=int(hurt.sum()),
        worst=int(pain.max()) if pain.size else None,
        loads=load_range(load_kg),
        painful_loads=load_range(load_kg[hurt]),
        quiet_loads=load_range(load_kg[~hurt]),
    )


def load_range(load_kg: Floats) -> LoadRange | None:
    """Lightest, median and heaviest load of some sets, kg; None without a load.

    Parameters
    ----------
    load_kg : ndarray, shape (n_sets,)
        kg; NaN without a load.

    Returns
    -------
    LoadRange or None
    """
    known = load_kg[np.isfinite(load_kg)]
    if not known.size:
        return None
    return LoadRange(low_kg=float(known.min()), median_kg=float(np.median(known)), high_kg=float(known.max()))


def median_of(column: pd.Series) -> MedianOf | None:
    """Median of what was logged; None when nothing was."""
    known = column.dropna().astype("float64")
    return MedianOf(median=float(known.median()), n_logged=len(known)) if len(known) else None


def felt_counts(sets: pd.DataFrame) -> FeltCounts:
    """Where the work was felt; blanks are not logged."""
    return FeltCounts(
        target=_count(sets["felt"], "target"),
        elsewhere=_count(sets["felt"], "elsewhere"),
        not_logged=int(sets["felt"].isna().sum()),
    )


def compensation_counts(sets: pd.DataFrame) -> CompensationCounts:
    """How many sets went without, with slight and with clear compensation; blanks are not logged."""
    told = sets["compensation"]
    return CompensationCounts(
        none=_count(told, "none"),
        slight=_count(told, "slight"),
        clear=_count(told, "clear"),
        not_logged=int(told.isna().sum()),
    )


def session_pains(asked: pd.DataFrame) -> tuple[SessionPain, ...]:
    """Worst and median pain of each session of one line, and the load it was at, oldest first."""
    found = []
    for _, group in asked.groupby("session_key", sort=True):
        load_kg, pain, hurt = answer_arrays(group)
        at_worst = load_range(load_kg[pain == pain.max()])
        found.append(
            SessionPain(
                day=group["date"].iloc[0].date(),
                session=int(group["session"].iloc[0]),
                n_asked=len(group),
                n_painful=int(hurt.sum()),
                worst=int(pain.max()),
                median=float(np.median(pain)),
                load_kg=None if at_worst is None else at_worst.high_kg,
            )
        )
    return tuple(found)


def session_burns(sets: pd.DataFrame) -> tuple[SessionBurn, ...]:
    """Median burn of each session that logged any, oldest first."""
    told = sets.dropna(subset=["burn"])
    return tuple(
        SessionBurn(
            day=group["date"].iloc[0].date(),
            session=int(group["session"].iloc[0]),
            n_logged=len(group),
            median=float(group["burn"].astype("float64").median()),
        )
        for _, group in told.groupby("session_key", sort=True)
    )


def _count(column: pd.Series, value: str) -> int:
    return column.tolist().count(value)
