"""The nouns of "what brings it on": effects, loads by range, a test of two ranges, counts (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from analysis.results import Estimate, LineKey, Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectSize:
    """How a set differs after one change, all else as usual.

    Attributes
    ----------
    log_odds : Estimate
        Of scoring higher, on the model's own scale.
    points : Estimate
        Change of the expected score, points of 0-10; scores of 5 and more count as 5, so large ones are understated.
    points_low95, points_high95 : float
        The 95 % interval.
    chance_before, chance_after : Estimate
        Of the client's level or more, before and after the change.
    probability_direction : float or None
        That the effect has the sign of its median; None for load, whose sign the model takes for granted.
    """

    log_odds: Estimate
    points: Estimate
    points_low95: float
    points_high95: float
    chance_before: Estimate
    chance_after: Estimate
    probability_direction: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One change of the usual set, and what goes with it or why that is not known yet.

    Attributes
    ----------
    term : str
        ``load``, ``variant`` or a name of `design_terms.TERMS`.
    per : str
        The change, such as ``1 s``.
    key : LineKey
        Line at whose usual set points and chance are stated.
    before, after : float, str or None
        What is compared, in the term's own unit; None where it was never logged.
    load_kg : float or None
        Load of the usual set; None without a load term.
    answer : EffectSize or Withheld
    note : str or None
        What else to know about this comparison.
    """

    term: str
    per: str
    key: LineKey
    before: float | str | None
    after: float | str | None
    load_kg: float | None
    answer: EffectSize | Withheld
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeCell:
    """What was seen at one load (or neighbours) and one range: asked sets, those that hurt, worst score."""

    load: int
    stop: int
    n_asked: int
    n_painful: int
    worst: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadByRange:
    """Loads against ranges of one line: whether the two were ever told apart by what was done.

    Attributes
    ----------
    key : LineKey
    loads_kg : tuple of (float, float)
        Lightest and heaviest load of each row, heaviest row first.
    stops : tuple of str
        Shortest range first.
    cells : tuple of RangeCell
        Only those tried; `load` and `stop` are positions in the two tuples.
    n_range_alone, n_load_alone, n_both, n_neither : int
        From one asked set to the next of this line: what changed.
    loads_at_two_stops_kg : tuple of float
        Loads done at two ranges or more: only these compare ranges.
    n_left_out : int
        Asked sets without a load or a range.
    unit, load_basis : str
    """

    key: LineKey
    loads_kg: tuple[tuple[float, float], ...]
    stops: tuple[str, ...]
    cells: tuple[RangeCell, ...]
    n_range_alone: int
    n_load_alone: int
    n_both: int
    n_neither: int
    loads_at_two_stops_kg: tuple[float, ...]
    n_left_out: int
    unit: str
    load_basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RangePair:
    """One session of a test: pain at the shorter and at the longer range, and which came first."""

    day: dt.date
    load_kg: float
    pain_shorter: int
    pain_longer: int
    shorter_first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RangePlan:
    """Two ranges at one load, one set of each a session, the order by coin.

    Attributes
    ----------
    load_kg : float
    shorter, longer : str
        The two ranges; neither goes further than what was done before.
    shorter_first : tuple of bool
        Order in each session still to come.
    seed : int
        Of the coin.
    mark : str
        What to write into the note of both sets, so that they are found again.
    """

    load_kg: float
    shorter: str
    longer: str
    shorter_first: tuple[bool, ...]
    seed: int
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeResult:
    """What a test showed.

    Attributes
    ----------
    shorter, longer : str
    pairs : tuple of RangePair
    mean_difference : float
        Pain at the longer minus pain at the shorter range, points.
    chance_if_alike : float
        Share of the possible outcomes of the coin that differ this much or more, either way, had the range made no
        difference in any of these sets.
    """

    shorter: str
    longer: str
    pairs: tuple[RangePair, ...]
    mean_difference: float
    chance_if_alike: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeTest:
    """A test that separates range from load for one line: what to do next, and what it showed so far."""

    key: LineKey
    plan: RangePlan | Withheld
    result: RangeResult | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedGroup:
    """Asked sets of one kind: how many, how many hurt at the level."""

    name: str
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedCondition:
    """Something the model does not hold, counted.

    Attributes
    ----------
    condition : {"compensation", "rest"}
    groups : tuple of CountedGroup
        Over all asked sets of the line where it was logged.
    same_load : tuple of CountedGroup
        The same at loads where more than one kind was seen, so that load cannot make the difference.
    n_unknown : int
        Asked sets where it was not logged.
    """

    condition: str
    groups: tuple[CountedGroup, ...]
    same_load: tuple[CountedGroup, ...]
    n_unknown: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribedPain:
    """How painful sets were described: `counts` of each answer, in the order of the schema, those given only."""

    column: str
    n_painful: int
    n_told: int
    counts: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadChoice:
    """Why loads were chosen: sets with a reason, and of those chosen by pain or by feel."""

    n_told: int
    n_by_pain: int
    n_by_feel: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BringsItOn:
    """Everything said about what brings pain on, at the usual set of one line.

    Attributes
    ----------
    key : LineKey
    effects : tuple of Effect
        Those known first, the largest rise of points first; then the others.
    compensation, rest : CountedCondition or Withheld
    described : tuple of DescribedPain
    grid : LoadByRange or Withheld
    test : RangeTest
    choice : LoadChoice
    """

    key: LineKey
    effects: tuple[Effect, ...]
    compensation: CountedCondition | Withheld
    rest: CountedCondition | Withheld
    described: tuple[DescribedPain, ...]
    grid: LoadByRange | Withheld
    test: RangeTest
    choice: LoadChoice
