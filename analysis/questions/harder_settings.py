"""What has to be so before a harder variant is due for a trial, as settings (layer: questions)."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.client_settings import ClientSettings
from analysis.errors import OptionError


@dataclass(frozen=True, slots=True, kw_only=True)
class HarderSettings:
    """Criteria of a trial. Every default is common practice, not a measured bound.

    Attributes
    ----------
    sessions_running : int
        Sessions in a row that have to meet the criteria.
    recent_sessions : int
        The variant worked with now is the hardest one in so many sessions of the exercise and side.
    reserve_reps : float
        Repetitions left in reserve in the sets at the working load.
    pain_during : int
        Highest pain during a set, 0 to 10, where the client has no limit of their own.
    chance : float
        The pain line meant: of 10 sets at it, 10 times this many would hurt; 0.2 or 0.5.
    quiet_trials : int
        Quiet trials with a usual morning after which the next variant is no longer a trial.
    """

    sessions_running: int = 2
    recent_sessions: int = 3
    reserve_reps: float = 2.0
    pain_during: int = 2
    chance: float = 0.2
    quiet_trials: int = 2


def checked_settings(settings: HarderSettings) -> HarderSettings:
    """The settings themselves, once each is within what is allowed.

    Raises
    ------
    OptionError
        If one is not.
    """
    if min(settings.sessions_running, settings.recent_sessions, settings.quiet_trials) < 1:
        raise OptionError("sessions_running, recent_sessions and quiet_trials count from 1.")
    if not 0 <= settings.reserve_reps <= 10 or not 0 <= settings.pain_during <= 10:
        raise OptionError("reserve_reps and pain_during lie between 0 and 10.")
    return settings


def during_limit(settings: HarderSettings, client: ClientSettings) -> int:
    """Highest pain during a set: the client's own limit, else the setting."""
    return settings.pain_during if client.limit_during is None else client.limit_during
