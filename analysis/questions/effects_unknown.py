"""Why the effect of a change is not known yet, and how to find out, in a coach's words (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.design import Design
from analysis.design_terms import TERM_NAMES
from analysis.results import Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class TermWords:
    """What a term is called in the reasons, how to log it, and how to find out."""

    name: str
    log: str
    find_out: str


ALONE = "all else as usual, would tell"
WORDS = {
    "lowering_s": TermWords(
        name="Lowering",
        log="Log the tempo, such as 3-1-1-0.",
        find_out=f"Some sets lowered more slowly or faster, {ALONE}.",
    ),
    "pause_s": TermWords(
        name="The pause",
        log="Log the tempo, such as 3-1-1-0.",
        find_out=f"Some sets with another pause, {ALONE}.",
    ),
    "rom_pct": TermWords(
        name="Range",
        log="Log the range, as percent or as a named stop.",
        find_out=f"Some sets at another range, {ALONE}; the three-session test does just that.",
    ),
    "range_rank": TermWords(
        name="Range",
        log="Log the stop of each set, and order the stops in ranges.csv.",
        find_out=f"Some sets at another stop, {ALONE}; the three-session test does just that.",
    ),
    "reps": TermWords(
        name="The number of reps",
        log="Log the planned reps.",
        find_out=f"Some sets planned with more or fewer reps, {ALONE}.",
    ),
    "hold_s": TermWords(
        name="The length of the hold",
        log="Log the seconds of the hold.",
        find_out=f"Some longer or shorter holds, {ALONE}.",
    ),
    "set_number": TermWords(
        name="The number of the set",
        log="Log every set of the exercise.",
        find_out="More sets of an exercise at one load in a session would tell.",
    ),
    "place": TermWords(
        name="The place in the session",
        log="Log every set of the session in order.",
        find_out="The same exercise early in some sessions and late in others would tell.",
    ),
    "prepared": TermWords(
        name="Preparation",
        log="Log the preparation as sets of the block preparation.",
        find_out="It changes only from session to session: leave it out in every other one, by coin, for some months.",
    ),
    "provoked": TermWords(
        name="Being sore already",
        log="Ask after every set.",
        find_out="Nothing to do on purpose; it shows itself if sets go on after one that hurt.",
    ),
    "pain_on_arrival": TermWords(
        name="Pain on arrival",
        log="Ask for the pain on arrival, 0 to 10, in every session.",
        find_out="More sessions with the pain on arrival logged would tell.",
    ),
}
NEVER_LOGGED = frozenset({"lowering_s", "pause_s", "rom_pct", "range_rank", "reps", "hold_s"})
"""Terms whose usual value is missing where nobody logged them."""


def unknown_effect(design: Design, term: str) -> Withheld:
    """Reason and remedy for an effect that the log says too little about.

    Parameters
    ----------
    design : Design
    term : str
        Of `design_terms.TERMS`.

    Returns
    -------
    Withheld
    """
    words = WORDS[term]
    if term in NEVER_LOGGED and not any(np.isfinite(usual[term]) for usual in design.usual.values()):
        return Withheld(reason=f"{words.name} is not logged.", remedy=words.log)
    n = answers_apart(design, term)
    if n == 0:
        return Withheld(reason=_always_the_same(term, words), remedy=_remedy_where_same(term, words))
    return Withheld(
        reason=f"{words.name} differed in {n} of {design.low.size} answers, which does not tell enough yet.",
        remedy=words.find_out,
    )


def answers_apart(design: Design, term: str) -> int:
    """Answers whose value of a term differs from the commonest one of their exercise."""
    column = design.X[:, TERM_NAMES.index(term)]
    return sum(_apart(column[design.exercise == exercise]) for exercise in range(len(design.exercises)))


def _apart(values: NDArray[np.float64]) -> int:
    if not values.size:
        return 0
    _, counts = np.unique(values.round(9), return_counts=True)
    return int(values.size - counts.max())


def _always_the_same(term: str, words: TermWords) -> str:
    match term:
        case "provoked":
            return "No set followed one that hurt in the same session."
        case "prepared":
            return "Preparation was logged in every session or in none."
        case "pain_on_arrival":
            return "Pain on arrival is not logged, or always the same."
        case _:
            return f"{words.name} never changed within an exercise."


def _remedy_where_same(term: str, words: TermWords) -> str:
    return words.log if term == "pain_on_arrival" else words.find_out


def unknown_load() -> Withheld:
    """Reason and remedy where pain cannot be told to follow load."""
    return Withheld(
        reason="Loads differ too little, or too few sets hurt, to tell how pain follows the load here.",
        remedy="Sets at a second load would tell.",
    )


def unknown_variant(n_asked: int, *, comparable: bool, easiest: str) -> Withheld:
    """Reason and remedy where a variant cannot be told from the easiest one.

    Parameters
    ----------
    n_asked : int
        Asked sets of the variant.
    comparable : bool
        Whether both have loads, or neither.
    easiest : str
        Name of the variant compared with.

    Returns
    -------
    Withheld
    """
    if not comparable:
        return Withheld(
            reason=f"It or {easiest} was done without a load in kilograms, so no load is the same.",
            remedy="Log the load, or the bodyweight for bodyweight sets.",
        )
    return Withheld(
        reason=f"{n_asked} {'set' if n_asked == 1 else 'sets'} with a pain answer, too few to tell it from {easiest}.",
        remedy="Some sets of both at the same load in the same sessions would tell.",
    )
