"""A share of counted things with its interval (layer: questions)."""

from __future__ import annotations

from analysis.questions.line_key import checked_share
from analysis.results import Estimate, Withheld

FEWEST_COUNTED = 6
"""Below this many a share is not stated (a setting)."""


def share_of(
    n_yes: int, n_counted: int, *, what: str, n_sessions: int, confidence_level: float = 0.8
) -> Estimate | Withheld:
    """A share with its Wilson score interval.

    The interval takes the counted things as independent; sets of one session are alike, so it is too narrow
    where a few sessions hold them all.

    Parameters
    ----------
    n_yes, n_counted : int
        How many were so, out of how many.
    what : str
        What is counted, in words, such as ``next sets asked``.
    n_sessions : int
        Sessions, or days, they come from.
    confidence_level : float
        Strictly between 0 and 1.

    Returns
    -------
    Estimate
        Of the share, 0 to 1.
    Withheld
        With fewer than six counted.

    Raises
    ------
    OptionError
        If `confidence_level` is not strictly between 0 and 1.

    References
    ----------
    .. [1] Wilson 1927, Journal of the American Statistical Association 22:209-212.
    """
    checked_share("confidence_level", confidence_level)
    if n_counted < FEWEST_COUNTED:
        return Withheld(
            reason=f"{n_counted} {what} so far; fewer than {FEWEST_COUNTED} say nothing about how often.",
            remedy=f"Go on logging; a share is stated from {FEWEST_COUNTED} on.",
        )
    from statsmodels.stats.proportion import proportion_confint  # a second to load: only where it is needed

    low, high = proportion_confint(n_yes, n_counted, alpha=1.0 - confidence_level, method="wilson")
    return Estimate(
        value=n_yes / n_counted,
        low=float(low),
        high=float(high),
        confidence_level=confidence_level,
        unit="share",
        method="Wilson score interval",
        n_sets=n_counted,
        n_sessions=n_sessions,
    )
