"""The numbers behind a proposal (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.errors import OptionError


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalSettings:
    """The numbers behind a proposal; the defaults are common practice, none is proved.

    Attributes
    ----------
    may_hurt : float
        Share of sets that may hurt, strictly between 0 and 1.
    pessimistic_share : float
        A step up needs this share of the draws to stay within `may_hurt`.
    held_share : float
        A load is held at or below a quiet one while its mean chance is within this share of `may_hurt`: loads that
        only just pass hurt more often than predicted (`tests/simulation/proposal_study.py`).
    quiet_days : int
        A quiet load counts for this many days.
    break_days : int
        So many days without the exercise are a break.
    restart_share : float
        Share of the last quiet load to start from after a break or a flare.
    sessions_back : int
        Quiet sessions with usual mornings before loads go back up.
    least_rir : float
        Reps in reserve that a step up needs.
    reps_first_above : float
        Where a step is more than this share of the load, more reps come before it (ACSM 2009: 2 to 10 %).
    more_reps : int
        How many reps over the target come first (NSCA two-for-two).
    shown_days : int
        Lines not done for longer than this are left out.
    needs_next_morning, needs_target, needs_reserve : bool
        Whether a step up waits for a log of the next morning, of the reps aimed at, of the reps in reserve.
    """

    may_hurt: float = 0.2
    pessimistic_share: float = 0.8
    held_share: float = 0.95
    quiet_days: int = 21
    break_days: int = 10
    restart_share: float = 0.7
    sessions_back: int = 2
    least_rir: float = 2.0
    reps_first_above: float = 0.10
    more_reps: int = 2
    shown_days: int = 84
    needs_next_morning: bool = True
    needs_target: bool = True
    needs_reserve: bool = True

    def __post_init__(self) -> None:
        for name in ("may_hurt", "pessimistic_share", "restart_share"):
            value = getattr(self, name)
            if not 0.0 < value < 1.0:
                raise OptionError(f"{name} is {value!r}; choose a number between 0 and 1.")
        if not 0.0 < self.held_share <= 1.0:
            raise OptionError(f"held_share is {self.held_share!r}; choose a number above 0, at most 1.")
