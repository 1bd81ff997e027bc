"""What a reader must know about a cumulative-link fit before using its estimates (layer: models)."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from analysis.models.cumulative_link_climb import HUGE_SD, usual_sizes
from analysis.models.cumulative_link_inputs import LinkModelInputs
from analysis.models.cumulative_link_result import VarianceComponent
from analysis.results import Finding


def link_findings(
    inputs: LinkModelInputs,
    cutpoint_names: Sequence[str],
    estimates: NDArray[np.float64],
    components: Sequence[VarianceComponent],
    *,
    converged: bool,
) -> tuple[Finding, ...]:
    """Findings on one fit.

    Parameters
    ----------
    inputs : LinkModelInputs
    cutpoint_names : sequence of str
    estimates : ndarray, shape (J + n_coefficients,)
        Infinite or NaN where the data separate.
    components : sequence of VarianceComponent
    converged : bool

    Returns
    -------
    tuple of Finding
    """
    findings: list[Finding] = []
    if inputs.merged:
        findings.append(
            Finding(
                code="categories_merged",
                what=f"No answer speaks for {_listed(inputs.merged)} apart from a neighbour.",
                consequence="Their probability is estimated as 0 and their cutpoints are one with a neighbour's.",
                remedy="Nothing to mend; name the categories from the fit, not from the scale.",
            )
        )
    names = [*(f"cutpoint {name}" for name in cutpoint_names), *inputs.coefficient_names]
    runs = [name for name, value in zip(names, estimates, strict=True) if not np.isfinite(value)]
    if runs:
        findings.append(
            Finding(
                code="separation",
                what=f"The data separate: the likelihood rises for ever with {_listed(runs)}.",
                consequence="These have no finite maximum and no standard error; the others are given beside it.",
                remedy="Give the coefficients a prior (coefficient_sd, such as 2.5 divided by the covariate's sd), "
                "or collect answers on the other side of the gap.",
            )
        )
    for component, size in zip(components, usual_sizes(inputs.rows), strict=True):
        if component.at_boundary:
            findings.append(
                Finding(
                    code="variance_at_boundary",
                    what=f"The variance of {component.name} is estimated as exactly 0.",
                    consequence="Its levels get no effect and the log sd no standard error; the other standard errors "
                    "do not count that it may be larger.",
                    remedy="Leave the factor out, or give its log sd a prior (log_sd_mean, log_sd_sd).",
                )
            )
        elif component.sd * size > HUGE_SD:
            findings.append(
                Finding(
                    code="variance_very_large",
                    what=f"The sd of {component.name} is {component.sd:.3g}: its levels explain nearly every answer.",
                    consequence="The data set it hardly any upper limit; everything on this scale means little.",
                    remedy="Give its log sd a prior (log_sd_mean, log_sd_sd), or collect more answers a level.",
                )
            )
    if not converged:
        findings.append(
            Finding(
                code="not_converged",
                what="The search stopped before the maximum was found to three decimals.",
                consequence="Estimates and standard errors may be off.",
                remedy="See the findings before this one; a covariate on a wild scale is the other usual reason.",
            )
        )
    return tuple(findings)


def _listed(things: Sequence[object]) -> str:
    words = [str(thing) for thing in things]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
