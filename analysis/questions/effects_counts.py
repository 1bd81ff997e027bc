"""What the model does not hold, counted: compensation, rest, words for pain, reasons for loads (layer: questions)."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from analysis.results import Withheld
from analysis.results_effects import CountedCondition, CountedGroup, DescribedPain, LoadChoice

COMPENSATIONS = ("none", "slight", "clear")
DESCRIBED = {
    "pain_at": ("bottom", "middle", "top", "throughout"),
    "pain_when": ("first reps", "building", "last reps", "afterwards"),
    "pain_feel": ("ache", "sharp", "catching", "giving way"),
}
FEWEST_EACH = 6
"""Sets of each kind from which they are set side by side."""


def compensation_counts(mine: pd.DataFrame) -> CountedCondition | Withheld:
    """Sets that hurt, by the compensation seen in them.

    Parameters
    ----------
    mine : DataFrame
        Asked sets of one line.

    Returns
    -------
    CountedCondition
    Withheld
        With fewer than 6 sets without, or fewer than 6 with, any compensation.
    """
    kind = mine["compensation"]
    without, with_any = int((kind == "none").sum()), int(kind.isin(COMPENSATIONS[1:]).sum())
    if min(without, with_any) < FEWEST_EACH:
        return Withheld(
            reason=f"Compensation: none in {without} sets, slight or clear in {with_any}; too few to set side by side.",
            remedy="Log compensation as none, slight or clear with every set.",
        )
    return _counted("compensation", mine, kind, COMPENSATIONS)


def rest_counts(mine: pd.DataFrame) -> CountedCondition | Withheld:
    """Sets that hurt, after a shorter rest than this line's middle one, and after that or a longer one.

    Parameters
    ----------
    mine : DataFrame
        Asked sets of one line.

    Returns
    -------
    CountedCondition
    Withheld
        Where rests are not logged or hardly differ.
    """
    rest = mine["rest_s"].astype("float64")
    if rest.notna().sum() < 2 * FEWEST_EACH:
        return Withheld(
            reason="The rest before a set is hardly logged.", remedy="Log the seconds of rest with every set."
        )
    middle = float(rest.median())
    short, long = f"under {middle:g} s", f"{middle:g} s or more"
    kind = rest.map({value: short if value < middle else long for value in rest.dropna().unique()})
    if min((kind == short).sum(), (kind == long).sum()) < FEWEST_EACH:
        # The middle is often the shortest rest by far; then everything longer stands against it.
        short, long = f"{middle:g} s or less", f"over {middle:g} s"
        kind = rest.map({value: short if value <= middle else long for value in rest.dropna().unique()})
    if min((kind == short).sum(), (kind == long).sum()) < FEWEST_EACH:
        return Withheld(
            reason=f"Nearly every rest was {middle:g} s.",
            remedy="Some sets after a longer rest, at the same load, would tell.",
        )
    return _counted("rest", mine, kind, (short, long))


def _counted(condition: str, mine: pd.DataFrame, kind: pd.Series, names: Sequence[str]) -> CountedCondition:
    known = mine[kind.isin(names)].assign(kind=kind[kind.isin(names)])
    by_load = known.assign(load=known["load_term_kg"].round(2)).dropna(subset="load")
    mixed = by_load[by_load.groupby("load")["kind"].transform("nunique") > 1]
    return CountedCondition(
        condition=condition,
        groups=_groups(known, names),
        same_load=_groups(mixed, names),
        n_unknown=len(mine) - len(known),
    )


def _groups(rows: pd.DataFrame, names: Sequence[str]) -> tuple[CountedGroup, ...]:
    return tuple(
        CountedGroup(name=name, n_asked=len(part), n_painful=int(part["hurt"].sum()))
        for name in names
        if len(part := rows[rows["kind"] == name])
    )


def described_pain(mine: pd.DataFrame) -> tuple[DescribedPain, ...]:
    """How the sets that hurt at the level were described: where in the movement, when in the set, what like.

    Parameters
    ----------
    mine : DataFrame
        Asked sets of one line.

    Returns
    -------
    tuple of DescribedPain
        One for each of ``pain_at``, ``pain_when``, ``pain_feel``.
    """
    painful = mine[mine["hurt"]]
    found = []
    for column, answers in DESCRIBED.items():
        told = painful[column].value_counts()
        found.append(
            DescribedPain(
                column=column,
                n_painful=len(painful),
                n_told=int(told.sum()),
                counts=tuple((answer, int(told[answer])) for answer in answers if answer in told.index),
            )
        )
    return tuple(found)


def load_choice(mine: pd.DataFrame) -> LoadChoice:
    """Why the loads of some sets were chosen.

    Parameters
    ----------
    mine : DataFrame
        Asked sets of one line.

    Returns
    -------
    LoadChoice
    """
    reason = mine["chosen_for"]
    return LoadChoice(
        n_told=int(reason.notna().sum()),
        n_by_pain=int((reason == "pain").sum()),
        n_by_feel=int((reason == "feel").sum()),
    )
