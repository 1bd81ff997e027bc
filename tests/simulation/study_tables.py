"""Tables of the study: what the scores of all clients come to, world by world."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import pandas as pd

from analysis.questions.pain_line import FEWEST_ASKED
from tests.simulation.study_bootstrap import Cell, Limited, Resamples, limited, ratio, resamples
from tests.simulation.study_next_tables import forecast_cells, proposal_cells

EVERY = "all"
NEAR = 0.01
"""A chance this close to its interval is also counted apart: 1 of 100 sets is no difference to a coach."""
OPEN_STATUSES = ("lower_only", "withheld")


def study_table(scores: dict[str, pd.DataFrame]) -> pd.DataFrame:
    """All tables in one long frame; the column ``table`` tells them apart.

    Parameters
    ----------
    scores : dict of str to DataFrame
        Result of `study_journal.read_scores`.

    Returns
    -------
    DataFrame
        Worlds in the order in which they were run.
    """
    cells: list[Cell] = []
    for world, clients in scores["clients"].groupby("world", sort=False):
        fitted = clients.loc[clients["failure"].isna(), "seed"].to_numpy()
        cells.append({"table": "fits", "world": world} | _fits(clients))
        if not len(fitted):
            continue
        drawn = resamples(len(fitted))
        at = {seed: place for place, seed in enumerate(fitted)}
        for name, table_cells in TABLES.items():
            if name not in scores:
                continue
            frame = scores[name]
            part = frame[frame["world"] == world]
            cells.extend(
                {"table": name, "world": world} | cell
                for cell in table_cells(part.assign(client=part["seed"].map(at)), drawn)
            )
    return pd.DataFrame(cells)


def _fits(clients: pd.DataFrame) -> Cell:
    fitted = clients[clients["failure"].isna()]
    cell: Cell = {
        "clients": len(clients),
        "failures": int(clients["failure"].notna().sum()),
        "first_seed": int(clients["seed"].min()),
        "last_seed": int(clients["seed"].max()),
    }
    if len(fitted):
        cell |= {
            "converged": fitted["converged"].mean(),
            "median_draws": fitted["fit_draws"].median(),
            "median_seconds": fitted["seconds"].median(),
            "median_asked": fitted["n_asked"].median(),
            "unasked_share": fitted["unasked_share"].mean(),
        }
    return cell


def with_intervals(frame: pd.DataFrame) -> pd.DataFrame:
    """Scored intervals: whether each holds the truth, how wide it is, and how far its middle lies off."""
    known = frame["q50"].notna()

    def shown(flag: pd.Series) -> pd.Series:
        return flag.astype(float).where(known)

    truth = frame["truth"]
    error = frame["q50"] - truth
    return frame.assign(
        in_95=shown((frame["q025"] <= truth) & (truth <= frame["q975"])),
        in_80=shown((frame["q10"] <= truth) & (truth <= frame["q90"])),
        lower_right=shown(frame["q10"] <= truth),
        upper_right=shown(truth <= frame["q90"]),
        width80=frame["q90"] - frame["q10"],
        error=error,
        squared_error=error**2,
    )


def line_cells(lines: pd.DataFrame, drawn: Resamples) -> Iterator[Cell]:
    """Coverage of the line by variant kind, setting, chance and printed status."""
    lines = with_intervals(lines)
    lines["printed_right"] = _printed_right(lines)
    for (kind, setting, chance), part in lines.groupby(["kind", "setting", "chance"], sort=False):
        for status, chosen in by_status(part):
            yield (
                {"kind": kind, "setting": setting, "chance": chance, "status": status}
                | {"share": len(chosen) / len(part)}
                | _interval_cell(chosen, drawn)
                | limited("printed_right", _mean(chosen, "printed_right", drawn))
                | {"open_share": chosen["status"].str.startswith(OPEN_STATUSES).mean()}
            )


def chance_cells(chances: pd.DataFrame, drawn: Resamples) -> Iterator[Cell]:
    """Coverage of the chance at the last load and one step above it, by the line's printed status."""
    chances = with_intervals(chances)
    chances["mean_error"] = chances["mean"] - chances["truth"]
    for name, low, high in (("near_95", "q025", "q975"), ("near_80", "q10", "q90")):
        near = (chances[low] - NEAR <= chances["truth"]) & (chances["truth"] <= chances[high] + NEAR)
        chances[name] = near.astype(float)
    for (kind, setting, where), part in chances.groupby(["kind", "setting", "where"], sort=False):
        for status, chosen in by_status(part):
            yield (
                {"kind": kind, "setting": setting, "where": where, "status": status}
                | {"share": len(chosen) / len(part)}
                | _interval_cell(chosen, drawn)
                | limited("upper90", _mean(chosen, "upper_right", drawn))
                | limited("near95", _mean(chosen, "near_95", drawn))
                | limited("near80", _mean(chosen, "near_80", drawn))
                | {"mean_truth": chosen["truth"].mean(), "mean_bias": chosen["mean_error"].mean()}
            )


def by_status(part: pd.DataFrame) -> Iterable[tuple[str, pd.DataFrame]]:
    """All rows, then those of each printed status; an alternative variant counts from 6 sets on."""
    enough = (part["kind"] == "base") | (part["n_asked"] >= FEWEST_ASKED)
    return [(EVERY, part[enough]), *((str(status), rows) for status, rows in part.groupby("status"))]


def _printed_right(lines: pd.DataFrame) -> pd.Series:
    """Whether the bounds that the status states are true, at 80 %; NaN where nothing is stated."""
    stated_low = lines["q10"].where(
        lines["status"] != "above_tried", np.minimum(lines["q10"], lines["heaviest"])
    )
    low, high = stated_low <= lines["truth"], lines["truth"] <= lines["q90"]
    status = lines["status"]
    right = pd.Series(np.nan, index=lines.index)
    right = right.mask(status == "reached", (low & high).astype(float))
    right = right.mask(status.isin(["lower_only", "above_tried"]), low.astype(float))
    return right.mask(status == "below_tried", high.astype(float))


def _interval_cell(rows: pd.DataFrame, drawn: Resamples) -> Cell:
    return (
        {"lines": len(rows), "clients": rows["client"].nunique()}
        | limited("cov95", _mean(rows, "in_95", drawn))
        | limited("cov80", _mean(rows, "in_80", drawn))
        | limited("lower90", _mean(rows, "lower_right", drawn))
        | {"width80": rows["width80"].mean()}
        | limited("bias", _mean(rows, "error", drawn))
        | {"rmse": float(np.sqrt(rows["squared_error"].mean()))}
    )


def _mean(rows: pd.DataFrame, column: str, drawn: Resamples) -> Limited:
    return ratio(drawn, rows["client"].to_numpy(np.int64), rows[column].to_numpy(float))


TABLES = {
    "lines": line_cells,
    "lines_if_quiet": line_cells,
    "chances": chance_cells,
    "chances_if_quiet": chance_cells,
    "forecasts": forecast_cells,
    "proposals": proposal_cells,
}
