"""Every answer about one client at one day, from one fit (layer: questions)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from analysis.models.pain_fit import PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.models.prediction import At
from analysis.questions.brings_it_on import NOTHING_ASKED, ClientEffects, client_effects
from analysis.questions.care import care_entries
from analysis.questions.harder import harder
from analysis.questions.month import Month, month_summary
from analysis.questions.pain_line import pain_line, step_above_kg
from analysis.questions.proposal import proposals
from analysis.questions.sides import side_rows
from analysis.questions.trend import trend
from analysis.questions.what_next import what_next
from analysis.results import LineRow, PainLine, Withheld
from analysis.results_care import CareEntry
from analysis.results_harder import HarderRow
from analysis.results_proposal import Proposal
from analysis.results_sides import SideRow
from analysis.results_trend import TrendReview
from analysis.results_what_next import WhatNext
from analysis.training_log import TrainingLog

CHANCES = (0.2, 0.5)
"""Every line is given for "2 of 10 would hurt" and for even odds."""
READ_BLANKS_BOTH_WAYS = frozenset({"many_unasked", "blanks_follow_quiet"})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Review:
    """All answers of one client.

    Attributes
    ----------
    client : str
    as_of : date
        Last day that counts, inclusive.
    fit : PainFit
    lines : tuple of LineRow
        Every exercise, variant and side, for each of `CHANCES`.
    unasked_lines : tuple of LineRow
        Lines of work that no answer speaks of, withheld.
    lines_if_blanks_quiet : tuple of LineRow
        Lines that move by a step or more, or change status, when blanks are read as 0 or 1; empty where blanks are few.
    sides : tuple of SideRow
        Left against right, most painful sets first.
    trend : TrendReview
        Facts then and now, the lines' changes, pain at one fixed set.
    month : Month
    what_next : tuple of WhatNext
        After the sets that hurt: of all exercises first, then of each exercise and side.
    harder : tuple of HarderRow
        The next harder variant of each exercise and working side, with lines at the usual setting.
    proposals : tuple of Proposal
        What the next session can try, with the usual settings, each exercise and side done in twelve weeks.
    care : tuple of CareEntry
        Entries of the last two weeks that ask for care before a plan.
    """

    client: str
    as_of: dt.date
    fit: PainFit
    lines: tuple[LineRow, ...]
    unasked_lines: tuple[LineRow, ...]
    lines_if_blanks_quiet: tuple[LineRow, ...]
    sides: tuple[SideRow, ...]
    trend: TrendReview
    month: Month
    effects: ClientEffects | Withheld
    what_next: tuple[WhatNext, ...]
    harder: tuple[HarderRow, ...]
    proposals: tuple[Proposal, ...]
    care: tuple[CareEntry, ...]


def review(
    log: TrainingLog,
    *,
    client: str,
    as_of: dt.date | None = None,
    month: str | None = None,
    at: At = "usual",
    options: PainOptions | None = None,
) -> Review:
    """Every answer about a client.

    Parameters
    ----------
    log : TrainingLog
    client : str
    as_of : date, optional
        Last day that counts, inclusive; the last logged day if None.
    month : str, optional
        ``YYYY-MM``; the month of `as_of` if None.
    at : "usual" or Setting
    options : PainOptions, optional

    Returns
    -------
    Review

    Raises
    ------
    OptionError
        If the log has no such client or an argument is outside what is allowed.
    FitError
        If the numerics reach no usable answer.
    """
    options = options or PainOptions()
    fit = fit_pain_model(log, client=client, as_of=as_of, options=options)
    lines = line_rows(fit, at=at)
    moved: tuple[LineRow, ...] = ()
    if options.blanks == "left_out" and any(f.code in READ_BLANKS_BOTH_WAYS for f in fit.findings):
        other = fit_pain_model(log, client=client, as_of=as_of, options=replace(options, blanks="quiet"))
        before = {(row.key, row.chance): row for row in lines}
        moved = tuple(
            row for row in line_rows(other, at=at) if _differs(before.get((row.key, row.chance)), row)
        )
    return Review(
        client=client,
        as_of=fit.as_of,
        fit=fit,
        lines=lines,
        unasked_lines=tuple(
            LineRow(key=key, chance=chance, tried=tried, answer=NOTHING_ASKED)
            for key, tried in fit.unasked.items()
            for chance in CHANCES
        ),
        lines_if_blanks_quiet=moved,
        sides=side_rows(log, fit, at=at),
        trend=trend(log, fit, at=at),
        month=month_summary(log, client, month=month, as_of=fit.as_of),
        effects=client_effects(fit, log),
        what_next=what_next(log, client, as_of=fit.as_of, level=fit.level),
        harder=harder(log, client, lines=lines if at == "usual" else line_rows(fit), as_of=fit.as_of),
        proposals=proposals(log, fit),
        care=care_entries(log, client, as_of=fit.as_of),
    )


def line_rows(fit: PainFit, *, at: At = "usual", chances: tuple[float, ...] = CHANCES) -> tuple[LineRow, ...]:
    """The line of every exercise, variant and side, for each of some chances.

    Parameters
    ----------
    fit : PainFit
    at : "usual" or Setting
    chances : tuple of float

    Returns
    -------
    tuple of LineRow
    """
    return tuple(
        LineRow(
            key=key,
            chance=chance,
            tried=tried,
            answer=pain_line(
                fit,
                exercise=key.exercise,
                variant=key.variant,
                side=key.side,
                works=key.works,
                chance=chance,
                at=at,
            ),
        )
        for key, tried in fit.tried.items()
        for chance in chances
    )


def _differs(before: LineRow | None, after: LineRow) -> bool:
    """Whether the stated bounds moved by an equipment step, or the kind of answer changed."""
    if before is None or type(before.answer) is not type(after.answer):
        return True
    if not isinstance(before.answer, PainLine) or not isinstance(after.answer, PainLine):
        return False
    if before.answer.status != after.answer.status:
        return True
    for one, two in (
        (before.answer.load_kg, after.answer.load_kg),
        (before.answer.low_kg, after.answer.low_kg),
        (before.answer.high_kg, after.answer.high_kg),
    ):
        if one is not None and two is not None and abs(one - two) >= step_above_kg(before.tried, one) - one:
            return True
    return False
