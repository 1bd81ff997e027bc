"""Columns that follow from a logged set: load in kg, tempo in seconds, place, weeks back (layer: derive)."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from analysis.client_settings import ClientSettings, client_settings
from analysis.errors import OptionError
from analysis.kept import kept
from analysis.range_stops import stop_percents, stop_ranks
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


@kept
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
    # The last session is week 0 by itself: what "now" is must not lag behind by the half week before it.
    return sets.assign(days_back=back.astype("int64"), week=-((back.astype("int64") + 6) // 7))


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
    listed = log.exercises[log.exercises["exercise"] == exercise]
    if len(listed) and not pd.isna(step := listed["load_step"].iloc[0]):
        listed_in = listed["unit"].iloc[0]
        unit = client_settings(log, client, as_of=as_of).unit if pd.isna(listed_in) else listed_in
        return float(step) * (KG_PER_LB if unit == "lb" else 1.0)
    unit = client_settings(log, client, as_of=as_of).unit
    mine = log.sets[(log.sets["client"] == client) & (log.sets["exercise"] == exercise)]
    if as_of is not None:
        mine = mine[mine["date"] <= pd.Timestamp(as_of)]
    loads = np.sort(_load_kg(mine, unit).dropna().round(6).unique())
    gaps, counts = np.unique(np.diff(loads).round(4), return_counts=True)
    often = gaps[counts >= 2]
    return float(often[0]) if often.size else None


def _session_key(sets: pd.DataFrame) -> pd.Series:
    """Number of each session, 0 for the first; the sets are in order already."""
    date, session = sets["date"].to_numpy(), sets["session"].to_numpy("int64")
    starts = np.zeros(len(sets), dtype=np.int64)
    starts[1:] = (date[1:] != date[:-1]) | (session[1:] != session[:-1])
    return pd.Series(np.cumsum(starts), index=sets.index)


def _load_kg(sets: pd.DataFrame, own_unit: str) -> pd.Series:
    return _kilograms(sets["load"], sets["unit"], own_unit)


def _kilograms(load: pd.Series, unit: pd.Series, own_unit: str) -> pd.Series:
    """Loads in kilograms; a blank unit is the client's own."""
    return load.where(unit.fillna(own_unit) != "lb", load * KG_PER_LB)


def _load_basis(sets: pd.DataFrame, exercises: pd.DataFrame) -> pd.Series:
    """Basis of each load; a blank is that of the variant's other sets, of exercises.csv, a band if named, or total."""
    if sets["load_basis"].notna().all():
        return sets["load_basis"]
    variant = sets["variant"].fillna(STANDARD_VARIANT)
    own: list[str | None] = sets["load_basis"].astype(object).where(sets["load_basis"].notna(), None).tolist()
    pairs = list(zip(sets["exercise"].tolist(), variant.tolist(), strict=True))
    of_variant: dict[tuple[str, str], str] = {}
    for pair, basis in zip(pairs, own, strict=True):
        if basis is not None:
            of_variant.setdefault(pair, basis)
    listed = exercises.drop_duplicates("exercise").dropna(subset="load_basis")
    of_exercise = dict(zip(listed["exercise"].tolist(), listed["load_basis"].tolist(), strict=True))
    band = (sets["band"].notna() & sets["load"].isna()).tolist()
    filled = [
        basis or of_variant.get(pair) or of_exercise.get(pair[0]) or ("band" if banded else "total")
        for pair, basis, banded in zip(pairs, own, band, strict=True)
    ]
    return pd.Series(filled, index=sets.index, dtype="str")


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
    seconds_of = {text: _seconds(text) for text in tempo.dropna().unique()}
    unknown = (np.nan, np.nan, np.nan)
    seconds = np.array([seconds_of.get(text, unknown) for text in tempo.tolist()]).reshape(-1, 3)
    names = ("lowering_s", "pause_s", "lifting_s")
    return {name: pd.Series(seconds[:, i], index=tempo.index) for i, name in enumerate(names)}


def _seconds(tempo: str) -> tuple[float, float, float]:
    """Lowering, both pauses, lifting."""
    parts = [FAST_S if part == "X" else float(part) for part in tempo.split("-")]
    lowering, pause_low, lifting, pause_high = parts
    return lowering, pause_low + pause_high, lifting


def _range(sets: pd.DataFrame, ranges: pd.DataFrame) -> dict[str, pd.Series]:
    """Percent of range where measured or known for the stop, and the stop's order, 0 for the shortest."""
    here = list(zip(sets["exercise"].tolist(), sets["range_stop"].tolist(), strict=True))

    def of_stops(known: dict[str, dict[str, float]]) -> pd.Series:
        values = [known.get(exercise, {}).get(stop, np.nan) for exercise, stop in here]
        return pd.Series(values, index=sets.index, dtype="float64")

    return {
        "range_rank": of_stops(stop_ranks(ranges)),
        "rom_pct": sets["rom_pct"].fillna(of_stops(stop_percents(ranges))),
    }


def _reserve(sets: pd.DataFrame) -> pd.Series:
    """Reps in reserve; 10 - RPE where only an RPE of 7 or more is logged (Zourdos 2016)."""
    return sets["rir"].fillna((10.0 - sets["rpe"]).where(sets["rpe"] >= 7))


def _within_session(sets: pd.DataFrame, level: int) -> dict[str, pd.Series]:
    """Place and number of a set, whether preparation stood in front, whether something hurt before."""
    counts = ~sets["block"].isin(OUTSIDE_WORK).to_numpy(bool)
    session = sets["session_key"].to_numpy()
    hurt = (sets[list(PAIN_COLUMNS)] >= level).any(axis=1) | (sets["stopped_for"] == "pain")
    seen: Counter[tuple[int, str, str]] = Counter()
    number = np.full(len(sets), np.nan)
    works = zip(session.tolist(), sets["exercise"].tolist(), sets["works"].tolist(), strict=True)
    for row, work in enumerate(works):
        if counts[row]:
            seen[work] += 1
            number[row] = seen[work]
    flags = {
        "place": np.where(counts, _so_far(counts, session), np.nan),
        "set_number": number,
        "prepared": _earlier((sets["block"] == "preparation").to_numpy(bool), session),
        "provoked": _earlier(hurt.to_numpy(bool), session),
    }
    return {name: pd.Series(values, index=sets.index) for name, values in flags.items()}


def _so_far(flag: NDArray[np.bool_], session: NDArray[np.int64]) -> NDArray[np.int64]:
    """How often the flag was up in the same session up to each set, that set included; sessions stand together."""
    total = np.cumsum(flag)
    starts = np.flatnonzero(np.diff(session, prepend=-1))
    before: NDArray[np.int64] = total[starts] - flag[starts]
    return np.asarray(total - np.repeat(before, np.diff(starts, append=session.size)))


def _earlier(flag: NDArray[np.bool_], session: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether the flag was up in an earlier set of the same session."""
    return np.asarray(_so_far(flag, session) > flag)


def _arrival(sets: pd.DataFrame, sessions: pd.DataFrame, client: str) -> pd.Series:
    mine = sessions[sessions["client"] == client]
    pain = mine["pain_on_arrival"].to_numpy(float, na_value=np.nan).tolist()
    told: dict[tuple[pd.Timestamp, int], float] = {}
    for date, session, value in zip(
        mine["date"], mine["session"].fillna(1).astype("int64"), pain, strict=True
    ):
        told.setdefault((date, session), value)
    here = zip(sets["date"], sets["session"].astype("int64"), strict=True)
    return pd.Series([told.get(pair, np.nan) for pair in here], index=sets.index, dtype="float64")


def _painkiller(sets: pd.DataFrame, days: pd.DataFrame, client: str) -> pd.Series:
    taken = days[(days["client"] == client) & days["painkiller"].fillna(False).astype(bool)]["date"]
    return sets["date"].isin(taken)
