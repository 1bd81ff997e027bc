"""What a reader must know about a fit before using its answers (layer: models)."""

from __future__ import annotations

import numpy as np
import pandas as pd
from scipy.stats import fisher_exact

from analysis.derive import OUTSIDE_WORK
from analysis.models.pain_fit import PainOptions
from analysis.results import Finding

MANY_UNASKED = 0.20
"""Share of blank answers above which the answers are also given with blanks read as 0 or 1."""
FEW_FOR_TEST = 8
SURE = 0.01


def fit_findings(
    sets: pd.DataFrame, observed: pd.DataFrame, *, n_painkiller: int, options: PainOptions, converged: bool
) -> tuple[Finding, ...]:
    """Findings on one fit.

    Parameters
    ----------
    sets, observed : DataFrame
        All sets, and the observations that entered the model.
    n_painkiller : int
        Observations on marked painkiller days.
    options : PainOptions
    converged : bool

    Returns
    -------
    tuple of Finding
    """
    findings: list[Finding] = []
    if not converged:
        findings.append(
            Finding(
                code="draws_not_settled",
                what="The draws did not settle within their budget.",
                consequence="The ends of the intervals may move when the fit is repeated.",
                remedy="Read the middle of each interval; more sets usually cure it.",
            )
        )
    if not len(observed):
        return tuple(findings)
    if n_painkiller and not options.painkiller_days:
        findings.append(
            Finding(
                code="painkiller_days_left_out",
                what=f"{n_painkiller} answers on days with a painkiller were left out.",
                consequence="The pain lines speak of days without one.",
                remedy="Put them in with the painkiller switch, and compare.",
            )
        )
    share = unasked_share_of_work(sets)
    if share > MANY_UNASKED:
        findings.append(
            Finding(
                code="many_unasked",
                what=f"{share:.0%} of the working sets have no pain answer.",
                consequence="If only painful sets were asked, the pain lines are too low.",
                remedy="Ask after every set; a 0 is the most useful answer. Both readings of the blanks are given.",
            )
        )
    elif blanks_follow_quiet_sets(sets):
        findings.append(
            Finding(
                code="blanks_follow_quiet",
                what="Blank answers mostly follow quiet sets.",
                consequence="The blanks were probably quiet too, so the pain lines may be too low.",
                remedy="Ask after every set; both readings of the blanks are given.",
            )
        )
    if not observed["hurt"].any():
        findings.append(
            Finding(
                code="never_painful",
                what="No set hurt at the level so far.",
                consequence="Where pain would start rests on the prior; only lower bounds are given.",
                remedy="Nothing to mend.",
            )
        )
    return tuple(findings)


def unasked_share_of_work(sets: pd.DataFrame) -> float:
    """Share of sets without an answer, preparation and cool-down apart."""
    work = sets[~sets["block"].isin(OUTSIDE_WORK)]
    return float(1.0 - work["asked"].mean()) if len(work) else 0.0


def blanks_follow_quiet_sets(sets: pd.DataFrame) -> bool:
    """Whether a blank is likelier after a quiet set than after a painful one (Fisher's exact test, 1 %)."""
    work = sets[~sets["block"].isin(OUTSIDE_WORK)]
    by_line = work.groupby(["session_key", "exercise", "works"], sort=False)
    before = by_line[["pain_left", "pain_right", "pain_midline"]].shift().max(axis=1)
    known = before.notna()
    blank = ~work["asked"][known].to_numpy(bool)
    quiet = (before[known] <= 1).to_numpy(bool)
    if blank.sum() < FEW_FOR_TEST:
        return False
    table = [[int((blank & quiet).sum()), int((blank & ~quiet).sum())]]
    table.append([int((~blank & quiet).sum()), int((~blank & ~quiet).sum())])
    return bool(fisher_exact(np.array(table), alternative="greater").pvalue < SURE)
