"""Columns that follow from a logged set: load in kg, tempo in seconds, place, weeks back (layer: derive)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np
import pandas as pd

from analysis.client_settings import ClientSettings, client_settings
from analysis.errors import OptionError
from analysis.schema import KG_PER_LB, STANDARD_VARIANT
from analysis.training_log import TrainingLog

OUTSIDE_WORK = ("preparation", "cool-down")
"""Blocks that take no place in the session's order."""
FAST_S = 1.0
"""Seconds counted for an X in a tempo (common practice, approximate)."""
PAIN_COLUMNS = ("pain_left", "pain_right", "pain_midline")


def last_logged_day(log: TrainingLog, client: str) -> dt.date:
    """Latest day of a client over sets, sessions and days.

    For a client who only stands in clients.csv it is the log's own latest day; today where it has none.

    Raises
    ------
    OptionError
        If the log has nothing about that client.
    """
    dated = (log.sets, log.sessions, log.days)
    latest = _latest([frame.loc[frame["client"] == client, "date"] for frame in dated])
    if latest is None and client not in set(log.clients["client"]):
        raise unknown_client(log, client)
    return latest or _latest([frame["date"] for frame in dated]) or dt.date.today()


def _latest(columns: Iterable[pd.Series]) -> dt.date | None:
    known = [day for dates in columns if not pd.isna(day := dates.max())]
    return max(known).date() if known else None


def unknown_client(log: TrainingLog, client: str) -> OptionError:
    """The error for a client without records; lists those there are."""
    known = ", ".join(sorted({*log.sets["client"], *log.clients["client"]})) or "none"
    return OptionError(f"no records of client {client!r}; this log has: {known}.")


def derive_sets(log: TrainingLog, client: str, *, as_of: dt.date | None = None) -> pd.DataFrame:
    """One row a set of a client, with everything that follows from what was logged.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; all days if None.

    Returns
    -------
    DataFrame
        In canonical order (date, session, set). Beside the logged columns: ``session_key``, ``variant`` (blank
        filled), ``works``, ``load_kg``, ``load_term_kg``, ``planned_reps``, ``lowering_s``, ``pause_s``,
        ``lifting_s``, ``range_rank``, ``place``, ``set_number``, ``prepared``, ``provoked``,
        ``pain_on_arrival``, ``painkiller``, ``days_back``, ``week``, ``asked``.

    Raises
    ------
    OptionError
        If nothing is logged for that client.
    """
    settings = client_settings(log, client, as_of=as_of)
    mine = log.sets[log.sets["client"] == client]
    if not len(mine):
        last_logged_day(log, client)  # raises where there is nothing at all
    if as_of is not None:
        mine = mine[mine["date"] <= pd.Timestamp(as_of)]
    session = mine["session"].fillna(1)
    sets = mine.assign(session=session).sort_values(
        ["date", "session", "set"], kind="stable", ignore_index=True
    )
    sets = sets.assign(
        session_key=_session_key(sets),
        variant=sets["variant"].fillna(STANDARD_VARIANT),
        kind=sets["kind"].fillna("working"),
        works=sets["side"],
        load_basis=_load_basis(sets, log.exercises),
        load_kg=_load_kg(sets, settings.unit),
    )
    sets = sets.assign(
        load_term_kg=_load_term_kg(sets, settings),
        planned_reps=_planned_reps(sets),
        **_tempo_seconds(sets["tempo"]),
        **_range(sets, log.ranges),
        rir=_reserve(sets),
        asked=sets[list(PAIN_COLUMNS)].notna().any(axis=1) | (sets["stopped_for"] == "pain"),
    )
    sets = sets.assign(**_within_session(sets, settings.pain_level))
    sets = sets.assign(
        pain_on_arrival=_arrival(sets, log.sessions, client),
        painkiller=_painkiller(sets, log.days, client),
    )
    back = (sets["date"].max() - sets["date"]).dt.days if len(sets) else pd.Series([], dtype="int64")
    return sets.assign(days_back=back.astype("int64"), week=-(back.astype("int64") // 7))


def load_step_kg(
    log: TrainingLog, client: str, exercise: str, *, as_of: dt.date | None = None
) -> float | None:
    """Smallest equipment step of an exercise.

    Parameters
    ----------
    log : TrainingLog
    client : str
    exercise : str
    as_of : date, optional
        Last day whose loads count, inclusive; all days if None.

    Returns
    -------
    float or None
        From exercises.csv; else the smallest gap between loads seen twice or more; None where neither tells.
    """
    unit = client_settings(log, client, as_of=as_of).unit
    listed = log.exercises[log.exercises["exercise"] == exercise]
    if len(listed) and not pd.isna(listed["load_step"].iloc[0]):
        return float(_kilograms(listed["load_step"], listed["unit"], unit).iloc[0])
    mine = log.sets[(log.sets["client"] == client) & (log.sets["exercise"] == exercise)]
    if as_of is not None:
        mine = mine[mine["date"] <= pd.Timestamp(as_of)]
    loads = np.sort(_load_kg(mine, unit).dropna().round(6).unique())
    gaps, counts = np.unique(np.diff(loads).round(4), return_counts=True)
    often = gaps[counts >= 2]
    return float(often[0]) if often.size else None


def _session_key(sets: pd.DataFrame) -> pd.Series:
    return sets.groupby(["date", "session"], sort=True).ngroup().astype("int64")


def _load_kg(sets: pd.DataFrame, own_unit: str) -> pd.Series:
    return _kilograms(sets["load"], sets["unit"], own_unit)


def _kilograms(load: pd.Series, unit: pd.Series, own_unit: str) -> pd.Series:
    """Loads in kilograms; a blank unit is the client's own."""
    return load.where(unit.fillna(own_unit) != "lb", load * KG_PER_LB)


def _load_basis(sets: pd.DataFrame, exercises: pd.DataFrame) -> pd.Series:
    """Basis of each load; a blank is that of the variant's other sets, of exercises.csv, a band if named, or total."""
    by = [sets["exercise"], sets["variant"].fillna(STANDARD_VARIANT)]
    of_variant = sets["load_basis"].groupby(by, sort=False).transform("first")
    listed = exercises.drop_duplicates("exercise").set_index("exercise")["load_basis"]
    of_exercise = sets["exercise"].map(listed).astype("str")
    otherwise = pd.Series("total", index=sets.index, dtype="str").mask(
        sets["band"].notna() & sets["load"].isna(), "band"
    )
    return sets["load_basis"].fillna(of_variant).fillna(of_exercise).fillna(otherwise)


def _load_term_kg(sets: pd.DataFrame, settings: ClientSettings) -> pd.Series:
    """The load the model uses, blank where there is none."""
    basis = sets["load_basis"]
    bodyweight = basis == "bodyweight"
    whole = np.nan if settings.bodyweight_kg is None else settings.bodyweight_kg
    term = sets["load_kg"].where(~bodyweight, whole + sets["load_kg"].fillna(0.0))
    return term.where((term > 0) & (basis != "band"))


def _planned_reps(sets: pd.DataFrame) -> pd.Series:
    """Reps planned; reps done stand in, but not where pain cut them short: that would make pain its own cause."""
    done = sets["reps"].where(sets["stopped_for"] != "pain")
    return sets["target_reps"].fillna(done).astype("float64")


def _tempo_seconds(tempo: pd.Series) -> dict[str, pd.Series]:
    parts = tempo.str.split("-", expand=True).reindex(columns=range(4))
    seconds = parts.replace("X", str(FAST_S)).astype("float64")
    return {"lowering_s": seconds[0], "pause_s": seconds[1] + seconds[3], "lifting_s": seconds[2]}


def _range(sets: pd.DataFrame, ranges: pd.DataFrame) -> dict[str, pd.Series]:
    """Percent of range where measured or known for the stop, and the stop's order, 0 for the shortest."""
    ordered = ranges.sort_values("order", kind="stable")
    rank = ordered.groupby("exercise", sort=False).cumcount().astype("float64")
    pairs = pd.MultiIndex.from_frame(ordered[["exercise", "range_stop"]])
    here = pd.MultiIndex.from_frame(sets[["exercise", "range_stop"]])
    rank_of = pd.Series(rank.to_numpy(), index=pairs)
    percent_of = pd.Series(ordered["rom_pct"].to_numpy(float), index=pairs)
    return {
        "range_rank": pd.Series(rank_of.reindex(here).to_numpy(), index=sets.index),
        "rom_pct": sets["rom_pct"].fillna(pd.Series(percent_of.reindex(here).to_numpy(), index=sets.index)),
    }


def _reserve(sets: pd.DataFrame) -> pd.Series:
    """Reps in reserve; 10 - RPE where only an RPE of 7 or more is logged (Zourdos 2016)."""
    return sets["rir"].fillna((10.0 - sets["rpe"]).where(sets["rpe"] >= 7))


def _within_session(sets: pd.DataFrame, level: int) -> dict[str, pd.Series]:
    """Place and number of a set, whether preparation stood in front, whether something hurt before."""
    counts = ~sets["block"].isin(OUTSIDE_WORK)
    by_session = sets["session_key"]
    place = counts.groupby(by_session).cumsum().where(counts).astype("float64")
    number = (
        counts.groupby([by_session, sets["exercise"], sets["works"]]).cumsum().where(counts).astype("float64")
    )
    hurt = (sets[list(PAIN_COLUMNS)] >= level).any(axis=1) | (sets["stopped_for"] == "pain")
    return {
        "place": place,
        "set_number": number,
        "prepared": _earlier(sets["block"] == "preparation", by_session),
        "provoked": _earlier(hurt, by_session),
    }


def _earlier(flag: pd.Series, by_session: pd.Series) -> pd.Series:
    """Whether the flag was up in an earlier set of the same session."""
    so_far = flag.astype("int64").groupby(by_session).cumsum() - flag.astype("int64")
    return so_far > 0


def _arrival(sets: pd.DataFrame, sessions: pd.DataFrame, client: str) -> pd.Series:
    mine = sessions[sessions["client"] == client]
    pairs = pd.MultiIndex.from_arrays([mine["date"], mine["session"].fillna(1).astype("int64")])
    told = pd.Series(mine["pain_on_arrival"].to_numpy(float, na_value=np.nan), index=pairs)
    here = pd.MultiIndex.from_arrays([sets["date"], sets["session"].astype("int64")])
    return pd.Series(told[~told.index.duplicated()].reindex(here).to_numpy(), index=sets.index)


def _painkiller(sets: pd.DataFrame, days: pd.DataFrame, client: str) -> pd.Series:
    taken = days[(days["client"] == client) & days["painkiller"].fillna(False).astype(bool)]["date"]
    return sets["date"].isin(taken)
