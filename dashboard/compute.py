"""Answers kept in memory so that a screen change computes nothing again (layer: compute)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import streamlit as st

from analysis.log import LogCheck, check_log
from analysis.models.pain_fit import MODEL_VERSION
from analysis.questions.line_history import chance_curve, line_history
from analysis.questions.month import Month, month_summary
from analysis.questions.review import Review, review
from analysis.questions.sets_of_line import SeenSet, sets_of_line
from analysis.results import ChanceAtLoad, LineKey, LineWeek
from analysis.training_log import TrainingLog
from dashboard.store.source import BrokenLog, FolderSource

OWNER = "local"
"""Whose logs these are; the same for everybody until there is a sign-in."""
USUAL = "usual"

Drawing = tuple[tuple[SeenSet, ...], tuple[LineWeek, ...], tuple[ChanceAtLoad, ...]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OpenClient:
    """A client with the log it stands in and that log's revision."""

    client: str
    log: TrainingLog
    revision: str


def folder_source(folder: Path) -> FolderSource:
    """Logs of a folder; one source for each folder, which reads a file again when it changes."""
    return _folder_source(OWNER, str(folder))


def log_check(path: Path) -> LogCheck:
    """Problems and remarks of one log."""
    files = [path] if path.is_file() else [one for one in path.rglob("*") if one.is_file()]
    return _log_check(OWNER, str(path), max((one.stat().st_mtime_ns for one in files), default=0))


def problem_count(broken: BrokenLog) -> int:
    """How many problems a log has in all, those of every log in a folder of logs counted."""
    found = len(log_check(broken.path).problems) if broken.path.exists() else 0
    return max(found, len(broken.problems))


def client_review(opened: OpenClient) -> Review:
    """Every answer about a client at the usual setting."""
    return _review(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, opened.log)


def line_drawing(opened: OpenClient, key: LineKey, loads_kg: tuple[float, ...]) -> Drawing:
    """Sets, weeks and curve of one line."""
    return _drawing(OWNER, opened.client, opened.revision, MODEL_VERSION, USUAL, key, loads_kg, opened.log)


def line_sets(opened: OpenClient, key: LineKey) -> tuple[SeenSet, ...]:
    """Asked sets of one line, those of painkiller days among them."""
    return _sets(OWNER, opened.client, opened.revision, key, opened.log)


def client_month(opened: OpenClient, month: str | None, key: LineKey | None) -> Month:
    """One month of a client, drawn for one line."""
    return _month(OWNER, opened.client, opened.revision, month, key, opened.log)


@st.cache_resource(max_entries=8, show_spinner=False)
def _folder_source(owner: str, folder: str) -> FolderSource:
    return FolderSource(Path(folder))


@st.cache_resource(max_entries=32, show_spinner=False)
def _log_check(owner: str, path: str, changed: int) -> LogCheck:
    return check_log(path)


@st.cache_resource(max_entries=200, show_spinner=False)
def _review(owner: str, client: str, revision: str, model: str, setting: str, _log: TrainingLog) -> Review:
    return review(_log, client=client)


@st.cache_resource(max_entries=400, show_spinner=False)
def _drawing(
    owner: str,
    client: str,
    revision: str,
    model: str,
    setting: str,
    key: LineKey,
    loads_kg: tuple[float, ...],
    _log: TrainingLog,
) -> Drawing:
    fit = _review(owner, client, revision, model, setting, _log).fit
    curve = chance_curve(fit, key, loads_kg) if loads_kg else ()
    return _sets(owner, client, revision, key, _log), line_history(fit, key), curve


@st.cache_resource(max_entries=400, show_spinner=False)
def _sets(owner: str, client: str, revision: str, key: LineKey, _log: TrainingLog) -> tuple[SeenSet, ...]:
    return sets_of_line(_log, client, key)


@st.cache_resource(max_entries=400, show_spinner=False)
def _month(
    owner: str, client: str, revision: str, month: str | None, key: LineKey | None, _log: TrainingLog
) -> Month:
    if key is None:
        return month_summary(_log, client, month=month)
    return month_summary(
        _log,
        client,
        month=month,
        exercise=key.exercise,
        variant=key.variant,
        side=key.side,
        works=key.works,
    )
