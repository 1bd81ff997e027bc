"""What is wrong between the cells of one file: repeated rows, mixed bases, bands, dates (layer: log)."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from analysis.log_codes import problem
from analysis.results import Problem
from analysis.schema import STANDARD_VARIANT
from analysis.typed_table import TypedTable


def check_table(typed: TypedTable) -> list[Problem]:
    """Problems between the cells of one table.

    Parameters
    ----------
    typed : TypedTable
        The table, its cells already read; cells that could not be read are blank and are passed over.

    Returns
    -------
    list of Problem
    """
    problems = list(_repeated(typed, typed.table.key, "duplicate_row"))
    match typed.table.name:
        case "sets":
            problems += [*_mixed_bases(typed), *_negative_loads(typed), *_bands(typed)]
        case "sites":
            problems += _main_sites(typed)
        case "limits":
            problems += _reversed_dates(typed)
        case "variants" | "ranges":
            problems += _repeated(typed, ("exercise", "order"), "duplicate_order")
    return problems


def _repeated(typed: TypedTable, key: tuple[str, ...], code: str) -> Iterator[Problem]:
    """Rows whose key stands in an earlier row."""
    if not key:
        return
    frame = typed.frame
    required = [name for name in key if typed.table.column(name).required]
    known = frame[frame[required].notna().all(axis=1)]
    repeated = known.duplicated(list(key), keep="first")
    if not repeated.any():
        return
    first = known.drop_duplicates(list(key), keep="first")
    line_of = dict(zip(_keys(first, key), typed.rows[first.index], strict=True))
    for line, values in zip(known.index[repeated], _keys(known[repeated], key), strict=True):
        row = int(typed.rows[line])
        earlier = int(line_of[values])
        if typed.table.name == "sets":
            yield problem(
                "duplicate_set",
                typed.file,
                f"set {values[3]} of this session stands in row {earlier} already.",
                "Number the sets of a session 1, 2, 3 and on; delete the row if it is a copy.",
                row=row,
                column="set",
                value=str(values[3]),
            )
        else:
            yield problem(
                code,
                typed.file,
                f"{' and '.join(key)} {'is' if len(key) == 1 else 'are'} the same as in row {earlier}.",
                "Give the rows of one exercise different places, 1 for the first."
                if code == "duplicate_order"
                else "Keep one of the two rows.",
                row=row,
                column=key[-1],
                value=None if pd.isna(frame[key[-1]].loc[line]) else str(frame[key[-1]].loc[line]),
            )


def _keys(frame: pd.DataFrame, key: tuple[str, ...]) -> list[tuple[object, ...]]:
    columns = [frame[name].astype("object").where(frame[name].notna(), None) for name in key]
    return list(zip(*columns, strict=True))


def _mixed_bases(typed: TypedTable) -> Iterator[Problem]:
    """Rows whose load basis is not that of most rows of the same client, exercise and variant."""
    sets = typed.frame[["client", "exercise", "variant", "load_basis"]]
    group = ["client", "exercise", "variant"]
    sets = sets.assign(variant=sets["variant"].fillna(STANDARD_VARIANT)).dropna()
    counts = sets.groupby([*group, "load_basis"], sort=False, observed=True).size()
    most = counts.reset_index(name="n").sort_values("n", ascending=False, kind="stable")
    if not most.duplicated(group).any():
        return
    usual = most.drop_duplicates(group).set_index(group)["load_basis"]
    here = pd.MultiIndex.from_frame(sets[group])
    usual_here = pd.Series(usual.reindex(here).to_numpy(), index=sets.index)
    for line in sets.index[usual_here != sets["load_basis"]]:
        row = sets.loc[line]
        yield problem(
            "mixed_load_bases",
            typed.file,
            f"{row['exercise']}, {row['variant']}, is counted as '{row['load_basis']}' here and as "
            f"'{usual_here.loc[line]}' in other rows.",
            "Use one basis for an exercise and variant, or name this one as a variant of its own.",
            row=int(typed.rows[line]),
            column="load_basis",
            value=str(row["load_basis"]),
        )


def _negative_loads(typed: TypedTable) -> Iterator[Problem]:
    sets = typed.frame
    for line in sets.index[(sets["load"] < 0) & (sets["load_basis"] != "bodyweight")]:
        yield problem(
            "negative_load",
            typed.file,
            f"the load {sets['load'].loc[line]:g} is below 0, but its basis is not bodyweight.",
            "Write the load as lifted, or the basis bodyweight where a machine or band assisted.",
            row=int(typed.rows[line]),
            column="load",
            value=f"{sets['load'].loc[line]:g}",
        )


def _bands(typed: TypedTable) -> Iterator[Problem]:
    sets = typed.frame
    band = sets["load_basis"] == "band"
    for line in sets.index[band & sets["band"].isna()]:
        yield problem(
            "band_without_name",
            typed.file,
            "the load is a band, but the column band does not say which.",
            "Name the band, such as green.",
            row=int(typed.rows[line]),
            column="band",
        )
    for line in sets.index[band & sets["load"].notna()]:
        yield problem(
            "band_with_load",
            typed.file,
            f"the load is a band, and the load {sets['load'].loc[line]:g} is given as well.",
            "Leave the load blank; the pull of a band changes along its way.",
            row=int(typed.rows[line]),
            column="load",
            value=f"{sets['load'].loc[line]:g}",
        )


def _main_sites(typed: TypedTable) -> Iterator[Problem]:
    sites = typed.frame
    main = sites[sites["main"].fillna(False).astype(bool) & sites["client"].notna()]
    for line in main.index[main.duplicated("client", keep="first")]:
        yield problem(
            "two_main_sites",
            typed.file,
            f"{sites['client'].loc[line]} has another main place in a row above.",
            "Write yes for one place only: the one the pain columns of sets.csv are about.",
            row=int(typed.rows[line]),
            column="main",
            value="yes",
        )


def _reversed_dates(typed: TypedTable) -> Iterator[Problem]:
    limits = typed.frame
    for line in limits.index[limits["until"] < limits["from"]]:
        yield problem(
            "dates_reversed",
            typed.file,
            f"the limit ends on {limits['until'].loc[line]:%Y-%m-%d}, before it begins.",
            "Exchange the two dates, or correct one.",
            row=int(typed.rows[line]),
            column="until",
            value=f"{limits['until'].loc[line]:%Y-%m-%d}",
        )
