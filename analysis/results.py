"""The nouns of every answer: frozen records that the questions return and the screens show (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

AskedSide = Literal["left", "right", "midline"]
WorkingSide = Literal["left", "right", "both"]
LineStatus = Literal["withheld", "no_load", "above_tried", "below_tried", "lower_only", "reached"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedMessage:
    """Something about one cell, row or file of a log: where, what, how to mend.

    Attributes
    ----------
    code : str
        Stable name of the kind, such as ``not_a_number``.
    file : str
        File name as the user knows it, such as ``sets.csv``.
    row : int or None
        Row as a spreadsheet counts (header is row 1); None when the whole file is meant.
    column : str or None
        Column heading; None when the whole row or file is meant.
    value : str or None
        The cell as written; None when there is none.
    what : str
        What is wrong or doubtful, a sentence.
    mend : str
        How to mend it, a sentence.
    """

    code: str
    file: str
    row: int | None
    column: str | None
    value: str | None
    what: str
    mend: str

    @property
    def sentence(self) -> str:
        """The whole message in one line: place, what is wrong, how to mend it."""
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column is not None:
            place += f", column {self.column}"
        return f"{place}: {self.what} {self.mend}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem(PlacedMessage):
    """One thing that stops a log from being read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark(PlacedMessage):
    """A doubtful value that was read all the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """Something about a fit that changes how its answers may be read."""

    code: str
    what: str
    consequence: str
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withheld:
    """An answer the data do not allow yet, and what would allow it."""

    reason: str
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A number with its interval; bounds are quantiles of the draws unless `method` says otherwise."""

    value: float
    low: float
    high: float
    confidence_level: float
    unit: str
    method: str
    n_sets: int
    n_sessions: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """How a set is done apart from its load; a blank (None) is the exercise's usual.

    Attributes
    ----------
    lowering_s, pause_s : float or None
        Seconds of lowering, and of the two pauses together, per repetition.
    rom_pct : float or None
        Range of motion, percent of the full range.
    range_stop : str or None
        Named stop, for exercises logged by stop.
    reps : float or None
        Planned repetitions.
    hold_s : float or None
        Seconds of a hold.
    place : float or None
        Place of the set in the session, preparation not counted (1 is the first).
    set_number : float or None
        Number of the set within the exercise and side, in that session.
    prepared : bool or None
        Whether preparation was done before; None is the usual share.
    provoked : bool
        Whether a set already hurt at the level that day. "Usual" means False.
    """

    lowering_s: float | None = None
    pause_s: float | None = None
    rom_pct: float | None = None
    range_stop: str | None = None
    reps: float | None = None
    hold_s: float | None = None
    place: float | None = None
    set_number: float | None = None
    prepared: bool | None = None
    provoked: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LineKey:
    """Which pain line is meant: the exercise, its variant, the side that hurts, the side that works."""

    exercise: str
    variant: str
    side: AskedSide
    works: WorkingSide


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedLoad:
    """What was seen at one load: how many asked sets, how many hurt at the level."""

    load_kg: float
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedCondition:
    """What was seen at one range stop and hold time, for lines without a load term."""

    range_stop: str | None
    hold_s: float | None
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What was done and seen for one line, before any model.

    Attributes
    ----------
    n_sets, n_asked, n_painful, n_sessions : int
        All sets; those with an answer; those at the level or more; sessions with an asked set.
    lightest_kg, heaviest_kg : float or None
        Loads of the last 12 weeks (asked sets), or of all weeks where those have none; None without a load term.
    loads_are_recent : bool
        False where `lightest_kg` and `heaviest_kg` are older than 12 weeks.
    last_load_kg, last_date : float, date, or None
        Load of the most recent asked set with one; day of the most recent asked set.
    last_setting : Setting or None
        How that set was done, as far as it was logged.
    n_at_level : tuple of int
        Asked sets at 1 or more, at 2 or more, ... at 5 or more.
    loads : tuple of TriedLoad
        Every load tried, lightest first, all weeks.
    conditions : tuple of TriedCondition
        Every range stop and hold time done without a load term.
    load_step_kg : float or None
        Smallest step of the equipment, if known.
    unit, load_basis : str
        ``kg`` or ``lb`` as shown; ``total``, ``per hand``, ``stack``, ``bodyweight`` or ``band``.
    """

    n_sets: int
    n_asked: int
    n_painful: int
    n_sessions: int
    lightest_kg: float | None
    heaviest_kg: float | None
    last_load_kg: float | None
    last_date: dt.date | None
    last_setting: Setting | None = None
    n_at_level: tuple[int, ...] = (0, 0, 0, 0, 0)
    loads: tuple[TriedLoad, ...]
    conditions: tuple[TriedCondition, ...] = ()
    loads_are_recent: bool = True
    load_step_kg: float | None
    unit: str
    load_basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceAtLoad:
    """Chance that a set at this load hurts at the level or more, with its interval."""

    load_kg: float
    chance: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionChance:
    """Chance of pain under one condition of an exercise without a load term."""

    label: str
    chance: float
    low: float
    high: float
    n_asked: int
    n_painful: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PainLine:
    """The load at which pain at the level reaches a stated chance, and what stands behind it.

    Attributes
    ----------
    key : LineKey
    chance : float
        Chance of pain the line stands for, strictly between 0 and 1.
    level : int
        Pain that counts, 1 to 5.
    status : {"no_load", "above_tried", "below_tried", "lower_only", "reached"}
    load_kg, low_kg, high_kg : float or None
        Median and interval in kilograms; a bound that the status does not state is None.
    confidence_level : float
    low95_kg, high95_kg : float or None
        The 95 % interval, with the same rule.
    last, one_step_up : ChanceAtLoad or None
        Chance at the last load and at one equipment step above it.
    probability_above_heaviest : float or None
    at : Setting
        The setting used, blanks filled in.
    conditions : tuple of ConditionChance
        For ``no_load``: the chance at each stop and hold time tried; else empty.
    tried : Tried
    reason, remedy : str or None
        In words, for every status but ``reached``.
    """

    key: LineKey
    chance: float
    level: int
    status: LineStatus
    load_kg: float | None
    low_kg: float | None
    high_kg: float | None
    confidence_level: float
    low95_kg: float | None
    high95_kg: float | None
    last: ChanceAtLoad | None
    one_step_up: ChanceAtLoad | None
    probability_above_heaviest: float | None
    at: Setting
    conditions: tuple[ConditionChance, ...]
    tried: Tried
    reason: str | None
    remedy: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """One row of the review: what was tried, and the line or why it is withheld."""

    key: LineKey
    chance: float
    tried: Tried
    answer: PainLine | Withheld


@dataclass(frozen=True, slots=True, kw_only=True)
class LineWeek:
    """The pain line as it stood in one past week: `week` is its first day, `day` the day it is stated for."""

    week: dt.date
    day: dt.date
    load_kg: float
    low_kg: float
    high_kg: float
