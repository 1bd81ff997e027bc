"""Clients: one dated sentence each, broken logs beside them, and what to do without any log."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import OpenApp
from tests.app.shown import STORIES, heading, links, texts

DATED = re.compile(r"^\d{1,2} [A-Z][a-z]{2} \d{4}: .+", re.MULTILINE)


@pytest.fixture
def some_logs(sample_logs: Path, tmp_path: Path) -> Path:
    """Two readable logs and a broken one, so that a test need not fit a whole year."""
    for name in ("K-07", "N-01"):
        shutil.copytree(sample_logs / name, tmp_path / name)
    shutil.copytree(sample_logs / "broken" / "cells", tmp_path / "spoilt")
    return tmp_path


def test_every_sample_client_has_one_dated_sentence(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs)
    assert heading(app) == f"{len(STORIES)} clients"
    assert len(DATED.findall(texts(app))) == len(STORIES)
    for client in STORIES:
        assert f"**{client}**" in texts(app)


def test_a_client_leads_to_the_line_its_sentence_speaks_of(open_app: OpenApp, some_logs: Path) -> None:
    app = open_app(some_logs)
    query = links(app)["Pain line of K-07"]
    assert set(query) == {"client", "exercise", "variant", "side"}
    assert query["client"] == "K-07"


def test_with_too_little_the_sentence_says_what_would_tell(open_app: OpenApp, sample_logs: Path) -> None:
    shown = texts(open_app(sample_logs / "N-01"))
    sentence = DATED.findall(shown)
    assert len(sentence) == 1
    assert "cannot say yet; " in sentence[0]


def test_a_broken_log_is_listed_with_its_problems_and_does_not_hide_the_others(
    open_app: OpenApp, some_logs: Path
) -> None:
    app = open_app(some_logs)
    assert heading(app) == "2 clients"
    assert re.search(r"\*\*spoilt\*\*\ncannot be read: \d+ problems to mend", texts(app))
    assert "Problems of spoilt" in links(app)


def test_without_a_log_the_page_says_what_to_do(open_app: OpenApp, tmp_path: Path) -> None:
    app = open_app(tmp_path)
    assert heading(app) == "No log is open"
    assert "one row a set" in texts(app)
    assert "Open a log" in links(app)


def test_a_folder_that_is_gone_is_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    app: AppTest = open_app(tmp_path / "gone")
    assert heading(app) == "No log is open"
