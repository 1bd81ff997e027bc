"""Who needs a look first: what is new about a client, each kind a record of its own (layer: results)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from analysis.results import LineKey, Remark, WorkingSide
from analysis.results_care import CareEntry


@dataclass(frozen=True, slots=True, kw_only=True)
class CareNews:
    """What asks for care before the next plan: the gravest entry first, `day` is its day."""

    day: dt.date
    entries: tuple[CareEntry, ...]
    kind: Literal["care"] = "care"


@dataclass(frozen=True, slots=True, kw_only=True)
class FlareNews:
    """Mornings well above usual on two days running or more, or a flare that was logged as one.

    Attributes
    ----------
    day : date
        The last such morning, or the day logged.
    first_day : date
    worst, usual : float or None
        Morning pain, 0 to 10, and what was usual before; None for a logged flare without such mornings.
    n_mornings : int
        0 for a logged flare without such mornings.
    is_latest : bool
        Nothing is known of any later morning.
    """

    day: dt.date
    first_day: dt.date
    worst: float | None
    usual: float | None
    n_mornings: int
    is_latest: bool
    kind: Literal["flare"] = "flare"


@dataclass(frozen=True, slots=True, kw_only=True)
class MorningNews:
    """One morning above usual, and how many there were in the seven days that end with it."""

    day: dt.date
    pain: float
    usual: float
    n_up: int
    kind: Literal["mornings up"] = "mornings up"


@dataclass(frozen=True, slots=True, kw_only=True)
class FallenLineNews:
    """The line that has most surely not risen since about four weeks ago.

    Attributes
    ----------
    day : date
        Day of the last session.
    key : LineKey
    since : date
        The earlier day.
    probability_up : float
    """

    day: dt.date
    key: LineKey
    since: dt.date
    probability_up: float
    kind: Literal["line fallen"] = "line fallen"


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkNews:
    """Doubtful values of the log that were read all the same."""

    day: dt.date
    remarks: tuple[Remark, ...]
    kind: Literal["remarks"] = "remarks"


@dataclass(frozen=True, slots=True, kw_only=True)
class SilenceNews:
    """Nothing was logged for so many days; `began` where nothing ever was, and `day` is the first day then."""

    day: dt.date
    n_days: int
    began: bool
    kind: Literal["not logged"] = "not logged"


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialNews:
    """A harder variant that is due for a trial.

    Attributes
    ----------
    day : date
        The last session that the criteria were read from.
    exercise, next_variant : str
    works : WorkingSide
    is_second : bool
    n_due : int
        How many are due, this one counted.
    """

    day: dt.date
    exercise: str
    works: WorkingSide
    next_variant: str
    is_second: bool
    n_due: int
    kind: Literal["trial due"] = "trial due"


News = CareNews | FlareNews | MorningNews | FallenLineNews | RemarkNews | SilenceNews | TrialNews
NewsKind = Literal["care", "flare", "mornings up", "line fallen", "remarks", "not logged", "trial due"]
KINDS: tuple[NewsKind, ...] = (
    "care",
    "flare",
    "mornings up",
    "line fallen",
    "remarks",
    "not logged",
    "trial due",
)
"""The order in which a coach looks at them; what stops a log from being read stands with the remarks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Every exercise is left out: from which day, and who set that; None where it is not said."""

    since: dt.date | None
    by: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstLook:
    """What is new about one client.

    Attributes
    ----------
    client : str
    news : tuple of News
        At most one of a kind, the most pressing first; empty where nothing is new.
    left_out : LeftOut or None
        The limit that leaves every exercise out, where one holds.
    """

    client: str
    news: tuple[News, ...]
    left_out: LeftOut | None = None
