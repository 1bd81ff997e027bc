"""Are the sides even? Load at equal pain, and what stands beside it (layer: questions)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.models.pain_fit import PainFit
from analysis.models.prediction import At, line_draws
from analysis.numerics.intervals import central_interval
from analysis.observations import observations
from analysis.questions.line_key import checked_share
from analysis.questions.line_reasons import withheld_answer
from analysis.questions.pain_line import FEWEST_ASKED, pain_line
from analysis.questions.sides_pairs import comparable, pain_between_sides, paired_reps, side_by_side
from analysis.questions.sides_past import own_past
from analysis.results import PainLine, Tried, Withheld
from analysis.results_sides import LoadAtEqualPain, PairWorks, SideKey, SideRow
from analysis.training_log import TrainingLog

Floats = NDArray[np.float64]

SURE = 0.95
"""Probability from which one side is said to be the lower one in words."""
WITH_FLOOR = ("reached", "lower_only", "above_tried")
WITH_CEILING = ("reached", "below_tried")
CHANCE = 0.2
"""Of the two lines shown beside the ratio; the ratio itself is the same at any chance."""


def side_rows(
    log: TrainingLog, fit: PainFit, *, at: At = "usual", confidence_level: float = 0.8
) -> tuple[SideRow, ...]:
    """Left against right for every exercise and variant in which both sides were asked.

    Parameters
    ----------
    log : TrainingLog
        The log that was fitted.
    fit : PainFit
    at : "usual" or Setting
    confidence_level : float, default 0.8

    Returns
    -------
    tuple of SideRow
        Most painful sets first, then most asked.
    """
    keys = side_keys(fit)
    if not keys:
        return ()
    observed = observations(log, fit.client, as_of=fit.as_of)
    if not fit.options.painkiller_days:
        observed = observed[~observed["painkiller"].to_numpy(bool)]
    by_variant = dict(iter(comparable(observed).groupby(["exercise", "variant"], sort=False)))
    rows = []
    for key in keys:
        mine = by_variant[key.exercise, key.variant]
        pairs = side_by_side(mine, key.works)
        rows.append(
            SideRow(
                key=key,
                unit=fit.tried[key.left].unit,
                load=load_at_equal_pain(fit, key, at=at, confidence_level=confidence_level),
                reps=paired_reps(pairs, key, confidence_level=confidence_level),
                pain=pain_between_sides(pairs, confidence_level=confidence_level),
                past=own_past(mine, key),
            )
        )
    return tuple(rows)


def side_keys(fit: PainFit) -> tuple[SideKey, ...]:
    """Exercises and variants with both sides asked, most painful sets first, then most asked."""
    choices: tuple[PairWorks, ...] = ("each", "both")
    pairs = dict.fromkeys((key.exercise, key.variant) for key in fit.tried)
    keys = [
        key
        for exercise, variant in pairs
        for works in choices
        if (key := SideKey(exercise=exercise, variant=variant, works=works)).left in fit.tried
        and key.right in fit.tried
    ]

    def weight(key: SideKey) -> tuple[int, int]:
        left, right = fit.tried[key.left], fit.tried[key.right]
        return -(left.n_painful + right.n_painful), -(left.n_asked + right.n_asked)

    return tuple(sorted(keys, key=weight))


def load_at_equal_pain(
    fit: PainFit, key: SideKey, *, at: At = "usual", confidence_level: float = 0.8
) -> LoadAtEqualPain | Withheld:
    """Left pain line over right pain line, draw by draw.

    Parameters
    ----------
    fit : PainFit
    key : SideKey
        One of `side_keys`.
    at : "usual" or Setting
    confidence_level : float, default 0.8
        Dimensionless, strictly between 0 and 1.

    Returns
    -------
    LoadAtEqualPain
        With only those ends that the two lines allow.
    Withheld
        If a line is withheld or has no load, or no set hurt on either side.

    Raises
    ------
    OptionError
        If `confidence_level` is not strictly between 0 and 1.
    """
    confidence_level = checked_share("confidence_level", confidence_level)
    lines = [
        pain_line(
            fit,
            exercise=one.exercise,
            variant=one.variant,
            side=one.side,
            works=one.works,
            chance=CHANCE,
            confidence_level=confidence_level,
            at=at,
        )
        for one in (key.left, key.right)
    ]
    left, right = lines
    left_tried, right_tried = fit.tried[key.left], fit.tried[key.right]
    if not isinstance(left, PainLine) or not isinstance(right, PainLine):
        return _too_little(left, right, left_tried, right_tried)
    if left.status == "no_load" or right.status == "no_load":
        return Withheld(
            reason="These sets have no load in kilograms, so there is no load at equal pain.",
            remedy="Log the load, or the bodyweight for bodyweight sets; pain left against right stands below.",
        )
    if left_tried.n_painful == right_tried.n_painful == 0:
        return Withheld(
            reason="No set hurt on either side, so neither line has shown where it ends.",
            remedy="Nothing to mend; the difference shows itself once a load hurts on one side.",
        )
    has_low = left.status in WITH_FLOOR and right.status in WITH_CEILING
    has_high = left.status in WITH_CEILING and right.status in WITH_FLOOR
    assert fit.design is not None
    one, two = (
        line_draws(fit, fit.design, line, level=fit.level, chance=CHANCE, at=at)
        for line in (key.left, key.right)
    )
    ratio = one - two
    within = _within_tried(one, left) - _within_tried(two, right)
    low, high = _ends(ratio, within, confidence_level)
    low95, high95 = _ends(ratio, within, 0.95)
    both_reached = left.status == right.status == "reached"
    return LoadAtEqualPain(
        log2_left_over_right=float(np.median(ratio)) if both_reached else None,
        low=low if has_low else None,
        high=high if has_high else None,
        confidence_level=confidence_level,
        low95=low95 if has_low else None,
        high95=high95 if has_high else None,
        probability_left_lower=float((ratio < 0).mean()),
        left=left,
        right=right,
        n_sets=left_tried.n_asked + right_tried.n_asked,
        n_sessions=max(left_tried.n_sessions, right_tried.n_sessions),
    )


def _within_tried(log2_line: Floats, line: PainLine) -> Floats:
    """Draws of a line with those beyond everything tried put at the last load tried."""
    tried = line.tried
    if line.status in ("above_tried", "lower_only") and tried.heaviest_kg is not None:
        return np.minimum(log2_line, np.log2(tried.heaviest_kg))
    if line.status == "below_tried" and tried.lightest_kg is not None:
        return np.maximum(log2_line, np.log2(tried.lightest_kg))
    return log2_line


def _ends(ratio: Floats, within: Floats, confidence_level: float) -> tuple[float, float]:
    """Ends of the interval: as far as the loads tried support, or even where only the draws reach beyond even."""
    low, _, high = central_interval(ratio, confidence_level)
    low_within, _, high_within = central_interval(within, confidence_level)
    even_low = low > 0.0 > low_within
    even_high = high < 0.0 < high_within
    return 0.0 if even_low else float(low_within), 0.0 if even_high else float(high_within)


def _too_little(
    left: PainLine | Withheld, right: PainLine | Withheld, left_tried: Tried, right_tried: Tried
) -> Withheld:
    """Why a side is not known, named; the side with less first."""
    short = [
        (tried.n_asked, name, tried)
        for name, line, tried in (("left", left, left_tried), ("right", right, right_tried))
        if isinstance(line, Withheld)
    ]
    _, name, tried = min(short, key=lambda one: one[0])
    words = withheld_answer(tried, FEWEST_ASKED)
    which = "Both sides" if len(short) == 2 else name.capitalize()
    return Withheld(reason=f"{which}: {words.reason[:1].lower()}{words.reason[1:]}", remedy=words.remedy)
