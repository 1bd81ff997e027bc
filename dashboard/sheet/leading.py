"""What both pages start from: the client's settings, the days, the line told of first (layer: sheet)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from analysis.client_settings import ClientSettings, client_settings
from analysis.errors import OptionError
from analysis.questions.review import Review
from analysis.results import LineRow
from analysis.training_log import TrainingLog
from dashboard.wording.clients import leading_line
from dashboard.wording.sheet_better import told_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Facts:
    """One client at one day.

    Attributes
    ----------
    log : TrainingLog
    found : Review
    own : ClientSettings
    first, last : date
        First and last logged day that counts.
    leading : LineRow
        The line with most painful sets.
    told : LineRow
        The line whose facts then and now the trainee reads: `leading` where it has them.
    rows : tuple of LineRow
        Every line at the chance of `leading`.
    """

    log: TrainingLog
    found: Review
    own: ClientSettings
    first: dt.date
    last: dt.date
    leading: LineRow
    told: LineRow
    rows: tuple[LineRow, ...]


def facts_of(log: TrainingLog, found: Review) -> Facts:
    """Facts of a client.

    Raises
    ------
    OptionError
        If no set of the client was asked about pain, so that there is nothing to hand over.
    """
    leading = leading_line(found.lines)
    if leading is None:
        n_sets = "1 set is" if found.fit.n_sets == 1 else f"{found.fit.n_sets} sets are"
        raise OptionError(
            f"{found.client} has nothing to hand over yet: {n_sets} logged and none was asked about pain. Ask for the"
            " worst joint pain, 0 to 10, after each set and log it on its side."
        )
    dates = log.sets.loc[log.sets["client"] == found.client, "date"]
    rows = tuple(row for row in found.lines if row.chance == leading.chance)
    return Facts(
        log=log,
        found=found,
        own=client_settings(log, found.client, as_of=found.as_of),
        first=dates.min().date(),
        last=found.as_of,
        leading=leading,
        told=told_of(found.trend, rows, leading),
        rows=rows,
    )
