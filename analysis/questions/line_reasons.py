"""Why a pain line says less than an interval, and what would let it say more, in a coach's words (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.results import LineStatus, Tried, Withheld

FEWEST_FOR_INTERVAL = 12
"""Asked sets with a load from which an upper end may be stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Reason and remedy; both None where the line is stated whole."""

    reason: str | None
    remedy: str | None


def withheld_answer(tried: Tried, fewest_asked: int) -> Withheld:
    """Reason and remedy where too little was asked.

    Parameters
    ----------
    tried : Tried
    fewest_asked : int
        Asked sets a line needs.

    Returns
    -------
    Withheld
    """
    missing = fewest_asked - tried.n_asked
    one_load = len(tried.loads) == 1
    if missing > 0:
        reason = f"Only {_sets(tried.n_asked)} with a pain answer so far."
        second = max(missing, 2)
        remedy = (
            f"{_count(second)} sets at a second load would tell."
            if one_load
            else f"{_count(missing)} more {'set' if missing == 1 else 'sets'} with a pain answer would tell."
        )
        return Withheld(reason=reason, remedy=remedy)
    return Withheld(reason="All sets were at one load.", remedy="Two sets at a second load would tell.")


def open_words(status: LineStatus, tried: Tried, level: int) -> Words:
    """Reason and remedy for a line that is stated in part.

    Parameters
    ----------
    status : str
    tried : Tried
    level : int
        Pain that counts.

    Returns
    -------
    Words
    """
    if status == "above_tried":
        return Words(
            reason=f"Everything tried {_when(tried)} lies below the line.",
            remedy="Nothing to mend; one equipment step more would show where it lies, when the plan asks for it.",
        )
    if status == "below_tried":
        return Words(
            reason=f"Even the lightest load tried {_when(tried)} lies above the line.",
            remedy="Two sets at a lighter load, a shorter range or an easier variant would show where it lies.",
        )
    if status == "lower_only":
        n_asked = asked_with_load(tried)
        if n_asked < FEWEST_FOR_INTERVAL:
            loaded = "" if n_asked == tried.n_asked else "a load and "
            why = f"Only {_sets(n_asked)} with {loaded}a pain answer so far."
            mend = f"{_count(FEWEST_FOR_INTERVAL - n_asked)} more would allow an upper end."
        elif tried.n_painful == 0:
            why = f"No set hurt at {level} or more, so the upper end is not known."
            mend = "Nothing to mend; the upper end shows itself once a load hurts."
        else:
            why = "The upper end lies more than one step above everything tried."
            mend = "Two sets one step up, when the plan asks for it, would close it."
        return Words(reason=why, remedy=mend)
    if status == "no_load":
        return Words(
            reason="These sets have no load in kilograms, so there is no line on a load.",
            remedy="Log the load, or the bodyweight for bodyweight sets; bands and holds keep the chances below.",
        )
    return Words(reason=None, remedy=None)


def asked_with_load(tried: Tried) -> int:
    """Asked sets that carry a load: only they tell where on the loads the line lies."""
    return sum(load.n_asked for load in tried.loads)


def _when(tried: Tried) -> str:
    return "in the last 12 weeks" if tried.loads_are_recent else "more than 12 weeks ago"


def _sets(n: int) -> str:
    return "1 set" if n == 1 else f"{n} sets"


def _count(n: int) -> str:
    names = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven")
    return names[n] if 0 <= n < len(names) else str(n)
