"""Proposals of another day, and the rulers, kept in memory (layer: compute)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import streamlit as st

from analysis.models.pain_fit import MODEL_VERSION
from analysis.models.pain_model import fit_pain_model
from analysis.questions.chance_of_pain import chance_of_pain
from analysis.questions.proposal import next_session_day, proposals
from analysis.questions.proposal_settings import ProposalSettings
from analysis.questions.review import Review, line_rows
from analysis.results import Estimate, LineKey, LineRow, Setting, Withheld
from analysis.results_proposal import Proposal
from analysis.schema import KG_PER_LB
from analysis.training_log import TrainingLog
from dashboard.charts.proposal_chart import proposal_chart
from dashboard.charts.spec import Spec, spec_of
from dashboard.compute import OWNER, USUAL, OpenClient

ONE_DAY = dt.timedelta(days=1)


def proposals_on(
    opened: OpenClient, found: Review, day: dt.date, settings: ProposalSettings
) -> tuple[Proposal, ...]:
    """Proposals for a day; on the day of the last sets those of a session that is under way."""
    if day == next_session_day(found.fit) and settings == ProposalSettings():
        return found.proposals
    return _proposals(
        OWNER, opened.client, opened.revision, MODEL_VERSION, day, settings, _log=opened.log, _found=found
    )


def lines_at(opened: OpenClient, found: Review, chance: float) -> Mapping[LineKey, LineRow]:
    """Every line at the chance the dial stands at."""
    if any(row.chance == chance for row in found.lines):
        return {row.key: row for row in found.lines if row.chance == chance}
    return _lines_at(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, chance, _found=found)


def in_kg(load: float, unit: str) -> float:
    """A load given in the client's unit, in kilograms."""
    return load * KG_PER_LB if unit == "lb" else load


def what_if(found: Review, key: LineKey, load_kg: float, at: Setting) -> Estimate | Withheld:
    """Chance of pain at a load and a way of doing it, on request."""
    return chance_of_pain(
        found.fit,
        exercise=key.exercise,
        variant=key.variant,
        side=key.side,
        works=key.works,
        load_kg=load_kg,
        at=at,
    )


def rulers_spec(
    opened: OpenClient,
    rows: tuple[tuple[Proposal, LineRow | None], ...],
    day: dt.date,
    settings: ProposalSettings,
    *,
    description: str,
    dark: bool,
) -> Spec | None:
    """Rulers of some proposals; None where none has a load."""
    keys = tuple(one.key for one, _ in rows)
    return _rulers_spec(
        *(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL),
        *(day, settings, keys, description, dark),
        _rows=rows,
    )


@st.cache_resource(max_entries=100, show_spinner=False)
def _proposals(
    owner: str,
    client: str,
    revision: str,
    model: str,
    day: dt.date,
    settings: ProposalSettings,
    *,
    _log: TrainingLog,
    _found: Review,
) -> tuple[Proposal, ...]:
    if day != _found.fit.last_set_day:
        return proposals(_log, _found.fit, day=day, settings=settings)
    before = fit_pain_model(_log, client=client, as_of=day - ONE_DAY)
    earlier = proposals(_log, before, day=day, settings=settings)
    return proposals(_log, _found.fit, day=day, settings=settings, earlier=earlier)


@st.cache_resource(max_entries=100, show_spinner=False)
def _lines_at(
    owner: str, client: str, revision: str, model: str, setting: str, chance: float, *, _found: Review
) -> Mapping[LineKey, LineRow]:
    return {row.key: row for row in line_rows(_found.fit, chances=(chance,))}


@st.cache_data(max_entries=200, show_spinner=False)
def _rulers_spec(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    day: dt.date,
    settings: ProposalSettings,
    keys: tuple[LineKey, ...],
    description: str,
    dark: bool,
    *,
    _rows: tuple[tuple[Proposal, LineRow | None], ...],
) -> Spec | None:
    return spec_of(lambda: proposal_chart(_rows, description=description, dark=dark))
