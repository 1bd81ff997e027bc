"""Simulates, fits and scores one client of the study; a failed fit becomes a record, never a gap."""

from __future__ import annotations

import traceback
from dataclasses import dataclass, field, replace

from analysis.models.pain_fit import MODEL_VERSION, PainFit, PainOptions
from analysis.models.pain_model import fit_pain_model
from analysis.questions.review import READ_BLANKS_BOTH_WAYS
from analysis.simulate import SimulatedClient, simulate_client
from tests.simulation.study_lines import Row, answer_rows
from tests.simulation.study_next_session import next_session_rows
from tests.simulation.study_proposals import proposal_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One client to be scored."""

    world: str
    seed: int
    n_draws: int
    model_version: str = MODEL_VERSION


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientScores:
    """Everything kept of one client.

    Attributes
    ----------
    job : Job
    failure : str or None
        Kind, message and place of the exception that stopped the fit or its scoring.
    fit : dict
        How the fit went.
    rows : dict of str to list of dict
        Scores by table: ``lines``, ``chances``, ``forecasts``, ``proposals``; where many answers are blank,
        also ``lines_if_quiet`` and ``chances_if_quiet``, with blanks read as 0 or 1.
    """

    job: Job
    failure: str | None = None
    fit: Row = field(default_factory=dict)
    rows: dict[str, list[Row]] = field(default_factory=dict)


def score_client(job: Job) -> ClientScores:
    """Scores of one simulated client.

    Parameters
    ----------
    job : Job

    Returns
    -------
    ClientScores
        With `failure` set, and no rows, if anything raised.
    """
    try:
        client = simulate_client(job.seed, job.world)
        options = PainOptions(n_draws=job.n_draws)
        fit = _fitted(client, options)
        rows = score_fit(fit, client)
        if any(finding.code in READ_BLANKS_BOTH_WAYS for finding in fit.findings):
            quiet = _fitted(client, replace(options, blanks="quiet"))
            rows["lines_if_quiet"], rows["chances_if_quiet"] = answer_rows(quiet, client.truth)
        return ClientScores(job=job, fit=_fit_row(fit), rows=rows)
    except Exception as error:
        place = traceback.extract_tb(error.__traceback__)[-1]
        return ClientScores(
            job=job, failure=f"{type(error).__name__}: {error} ({place.filename}, line {place.lineno})"
        )


def _fitted(client: SimulatedClient, options: PainOptions) -> PainFit:
    return fit_pain_model(client.log, client=str(client.log.sets["client"].iloc[0]), options=options)


def score_fit(fit: PainFit, client: SimulatedClient) -> dict[str, list[Row]]:
    """All scores of one fit, by table."""
    lines, chances = answer_rows(fit, client.truth)
    return {
        "lines": lines,
        "chances": chances,
        "forecasts": next_session_rows(fit, client),
        "proposals": proposal_rows(fit, client),
    }


def _fit_row(fit: PainFit) -> Row:
    went = fit.convergence
    return {
        "converged": went.converged,
        "max_r_hat": went.max_r_hat,
        "min_effective_size": went.min_effective_size,
        "min_tail_effective_size": went.min_tail_effective_size,
        "n_draws": went.n_draws,
        "seconds": went.seconds,
        "n_asked": fit.n_asked,
        "unasked_share": fit.unasked_share,
        "findings": " ".join(finding.code for finding in fit.findings),
    }
