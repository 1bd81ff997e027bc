"""How the numbers of a month come about, in plain words (layer: wording)."""

from __future__ import annotations

from analysis.questions.changes import RANGE_POINTS, SLOWER_S
from analysis.questions.month import Month
from analysis.questions.month_gaps import GAP_DAYS
from analysis.questions.month_moved import FEWEST_DAYS, SAME_LOAD
from analysis.questions.mornings import FEWEST_MORNINGS, UP_POINTS, USUAL_DAYS
from dashboard.wording.numbers import half_up, percent


def month_method(month: Month) -> tuple[str, ...]:
    """Paragraphs for the fold at the foot of the month."""
    error = half_up(month.beside.rating_std_error, 2)
    return (
        "The sentences, the chart and the tables of the month are counted from the log, without a model. A blank"
        " is not logged, never zero and never none. Burn in the muscle is kept apart and counts as pain nowhere."
        " Reps in reserve and RPE stand as they were logged; neither is turned into the other.",
        "Load and pain of two months: the heaviest load and the worst score of each day on which the line was"
        f" asked, averaged over days, from {FEWEST_DAYS} days in each month on. Loads within {percent(SAME_LOAD)}"
        " count as the same. Means of pain are told apart only beyond 1.96 x the standard error of one rating x"
        f" the root of 1/n + 1/n, n the days; the error is {error} points"
        f" ({month.beside.rating_std_error_source}). Ratings in the same session are alike in ways this does not"
        " know.",
        "Loads of all exercises: each exercise, variant and working side done in both months against itself;"
        " the median of those changes.",
        f"A morning is up at {half_up(UP_POINTS)} or more above the usual, which is the median of the mornings"
        f" logged in the {USUAL_DAYS} days before, at least {FEWEST_MORNINGS} of them; two days running are a flare."
        f" A gap is {GAP_DAYS} days without a session, or a stretch in which an event says away. A changed lowering"
        f" is {half_up(SLOWER_S)} s or more, a changed range another named stop or {half_up(RANGE_POINTS)} percent."
        " These are settings from common practice.",
        "Loads are often chosen by how the sets before felt, so load and pain side by side do not show what a load"
        " does to pain; the pain line is made for that.",
    )
