"""Left against right: load at equal pain, reps and effort, pain, each side's own past (layer: results)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from analysis.results import Estimate, LineKey, PainLine, Withheld

PairWorks = Literal["each", "both"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SideKey:
    """An exercise and variant whose two sides are compared.

    Attributes
    ----------
    exercise, variant : str
    works : {"each", "both"}
        Each side works by itself, or both work together and left and right are asked.
    """

    exercise: str
    variant: str
    works: PairWorks

    @property
    def left(self) -> LineKey:
        """The line of the left side."""
        works: Literal["left", "both"] = "left" if self.works == "each" else "both"
        return LineKey(exercise=self.exercise, variant=self.variant, side="left", works=works)

    @property
    def right(self) -> LineKey:
        """The line of the right side."""
        works: Literal["right", "both"] = "right" if self.works == "each" else "both"
        return LineKey(exercise=self.exercise, variant=self.variant, side="right", works=works)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadAtEqualPain:
    """Log ratio of the two pain lines: left over right.

    One slope serves both sides, so the ratio is the same at every chance and level of pain, and one course over
    the weeks serves both as well, so it is the same in every week of the fit.

    Attributes
    ----------
    log2_left_over_right : float or None
        Median of the draws, octaves; None unless both lines are reached.
    low, high : float or None
        Ends of the interval, octaves. An end is None where it rests on an end of a line that is not stated: the
        lower end rests on the left line's lower end and the right line's upper one, the upper end the reverse. A
        line beyond everything tried counts at the last load tried, so that no end rests on a load never lifted;
        0, even, where the draws are on one side of even and the loads tried are not.
    confidence_level : float
        Dimensionless.
    low95, high95 : float or None
        The 95 % interval, with the same rule.
    probability_left_lower : float
        Share of draws in which the left line is the lower one.
    left, right : PainLine
    n_sets, n_sessions : int
        Asked sets of both sides; sessions of the side with more.
    """

    log2_left_over_right: float | None
    low: float | None
    high: float | None
    confidence_level: float
    low95: float | None
    high95: float | None
    probability_left_lower: float
    left: PainLine
    right: PainLine
    n_sets: int
    n_sessions: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedReps:
    """Reps and effort of the two sides in sets done side by side, and how these were done.

    A pair is the n-th set of each side of the exercise in one session, same variant.

    Attributes
    ----------
    n_pairs : int
        All pairs.
    n_left_first, n_right_first : int
        Which side led.
    n_reps_matched : int
        Pairs with equal repetitions (or seconds of a hold).
    n_same_way : int
        Pairs at the same load, range and tempo, neither set stopped for pain.
    n_left_held_back, n_right_held_back : int
        Of `n_same_way`: that side had more than 1 repetition more in reserve, and it was no test of both sides.
    n_effort_unknown : int
        Of `n_same_way`: reserve not logged on both sides, and no test of both sides.
    n_fair : int
        Of `n_same_way`: reserve within 1, or a test of both sides.
    reps : Estimate or Withheld
        Left minus right over the fair pairs, repetitions; seconds for holds.
    reserve : Estimate or Withheld
        Left minus right over the fair pairs with a reserve on both sides, repetitions in reserve.
    """

    n_pairs: int
    n_left_first: int
    n_right_first: int
    n_reps_matched: int
    n_same_way: int
    n_left_held_back: int
    n_right_held_back: int
    n_effort_unknown: int
    n_fair: int
    reps: Estimate | Withheld
    reserve: Estimate | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class PainBetweenSides:
    """Pain left against right at the same load: within two-sided sets, or within pairs of one-sided ones.

    Attributes
    ----------
    n_sets : int
        Two-sided sets with both sides asked, or pairs at the same load, range and tempo with both asked.
    left_higher, same, right_higher : int
    mean_left, mean_right : float or None
        Mean scores, 0 to 10; None without sets.
    left_higher_share : Estimate or Withheld
        Share with the left higher among those that differ, Wilson interval.
    """

    n_sets: int
    left_higher: int
    same: int
    right_higher: int
    mean_left: float | None
    mean_right: float | None
    left_higher_share: Estimate | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnPast:
    """Heaviest load quiet on two days: each side in its first weeks and in its last.

    A load is quiet on a day when every asked set at it that day was.

    Attributes
    ----------
    days : int
        Length of each of the two stretches.
    left_first_kg, left_last_kg, right_first_kg, right_last_kg : float or None
        None where no load was quiet on two days.
    left_over_right_first_pct, right_over_left_first_pct : float or None
        This side now as a percentage of the *other* side in its first weeks (as Wellsandt 2017 takes the other
        side before surgery): it does not rise because the other side has lost.
    """

    days: int
    left_first_kg: float | None
    left_last_kg: float | None
    right_first_kg: float | None
    right_last_kg: float | None
    left_over_right_first_pct: float | None
    right_over_left_first_pct: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SideRow:
    """Everything about the two sides of one exercise and variant; `unit` is the client's, ``kg`` or ``lb``."""

    key: SideKey
    unit: str
    load: LoadAtEqualPain | Withheld
    reps: PairedReps | Withheld
    pain: PainBetweenSides
    past: OwnPast | Withheld
