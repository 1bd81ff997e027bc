"""What the marks of a ruler are, and how a load is chosen, with the settings used (layer: wording)."""

from __future__ import annotations

from analysis.questions.proposal_settings import ProposalSettings
from dashboard.wording.numbers import counted, half_up

METHOD = (
    "Chances are for sets done as usual, with nothing sore yet that day, on an average of good and bad days. They say"
    " what went with pain in these records, not what brings it about.",
    "In simulated clients whose true line is known, proposals of this rule hurt about as often as those of a coach who"
    " knows that line; python tests/simulation/study.py measures it. No real clients' logs were available.",
)


def chart_guide(may_hurt: float) -> str:
    """What the marks of a ruler are."""
    return (
        f"Grey: loads tried in twelve weeks. Coloured strip: where {half_up(may_hurt * 10)} of 10 would hurt, with its"
        " 80 % interval; an arrow where an end is not known. Hollow: last time. Triangle: proposed. Upright bar: hold."
    )


def method_words(settings: ProposalSettings) -> tuple[str, ...]:
    """How the load is chosen, with the settings used."""
    return (
        "The load is the heaviest one of the equipment, at most one step above the heaviest load all of whose sets of a"
        f" day were quiet in the last {settings.quiet_days} days. A step above a quiet load needs even the pessimistic"
        f" reading, the {half_up(settings.pessimistic_share * 100)} % quantile of the chance, to stay within the count;"
        f" at or below a quiet load the mean chance, within {half_up(settings.held_share * 100)} % of it, is enough.",
        "No step up unless the next morning is logged and usual, target reps were met with"
        f" {half_up(settings.least_rir)} or more in reserve, compensation was not clear and nothing was stopped for"
        f" pain. Where a step is more than {half_up(settings.reps_first_above * 100)} %,"
        f" {counted(settings.more_reps, 'more rep', 'more reps')} come first. Limits of limits.csv are always kept.",
        f"After {settings.break_days} days off, or a flare, loads start near {half_up(settings.restart_share * 100)} %"
        f" of the last quiet one and go back up after {counted(settings.sessions_back, 'quiet session')} with usual"
        " mornings. These numbers are common practice, not proved. No ratio of this week's to last month's work is"
        " used: it has not been shown to tell anything.",
        *METHOD,
    )
