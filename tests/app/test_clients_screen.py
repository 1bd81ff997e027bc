"""Clients: one dated sentence each, broken logs beside them, and what to do without any log."""

from __future__ import annotations

import datetime as dt
import html
import re
import shutil
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from analysis.errors import FitError
from analysis.questions.review import Review
from dashboard import compute_first_look
from dashboard.compute import OpenClient
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


def write_client(folder: Path, client: str, last: dt.date) -> None:
    """A log of two sets, both on one day."""
    (folder / client).mkdir(exist_ok=True)
    rows = "".join(f"{client},{last},{number},step-down,left,{8 + number},8,0\n" for number in (1, 2))
    (folder / client / "sets.csv").write_text(f"client,date,set,exercise,side,load,reps,pain_left\n{rows}")


def test_every_sample_client_has_one_dated_sentence(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs)
    assert heading(app) == f"{len(STORIES)} clients, 1 to look at first; 2 logs cannot be read"
    assert "28 Sep 2026: sharp pain in box squat, left, pain 5 of 10; " in texts(app)
    assert len(DATED.findall(texts(app))) == len(STORIES)
    assert {f"**{client}**" for client in STORIES} < set(links(app))
    assert "28 Sep 2026, their newest day, counts as today" in texts(app)


def test_a_client_leads_to_the_line_its_sentence_speaks_of(open_app: OpenApp, some_logs: Path) -> None:
    app = open_app(some_logs)
    query = links(app)["**K-07**"]
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
    assert heading(app) == "2 clients, 2 to look at first; 1 log cannot be read"
    assert re.search(r"\*\*spoilt\*\*\nCannot be read: \d+ problems to mend", texts(app))
    assert "Problems of spoilt" in links(app)


def test_news_of_an_own_log_are_counted_from_the_real_day(open_app: OpenApp, tmp_path: Path) -> None:
    write_client(tmp_path, "A-01", dt.date.today() - dt.timedelta(days=12))
    write_client(tmp_path, "A-02", dt.date.today() - dt.timedelta(days=9))
    app = open_app(tmp_path)
    assert heading(app) == "2 clients, 1 to look at first"
    assert "the last day with anything logged, 12 days ago" in texts(app)
    assert links(app)["Today of A-01"] == {"client": "A-01"}
    assert "counts as today" not in texts(app)


def test_looked_at_hides_news_until_there_are_others_and_over_a_restart(
    open_app: OpenApp, own_data: Path, tmp_path: Path
) -> None:
    last = dt.date.today() - dt.timedelta(days=12)
    write_client(tmp_path, "A-01", last)
    app = open_app(tmp_path)
    app.button(key="looked at A-01").click().run()
    assert heading(app) == "1 client, nothing new"
    assert "12 days ago" not in texts(app)
    assert not app.button
    again = open_app(tmp_path)
    assert heading(again) == "1 client, nothing new"
    again.toggle[0].set_value(True).run()
    assert "12 days ago" in texts(again)
    again.button(key="looked at A-01").click().run()
    assert heading(again) == "1 client, with news"
    again.button(key="looked at A-01").click().run()
    write_client(tmp_path, "A-01", last + dt.timedelta(days=1))
    assert heading(open_app(tmp_path)) == "1 client, with news"


def test_a_log_that_cannot_be_read_can_be_put_away_too(open_app: OpenApp, some_logs: Path) -> None:
    app = open_app(some_logs)
    app.button(key="looked at log spoilt").click().run()
    assert "spoilt" not in texts(app)
    app.toggle[0].set_value(True).run()
    assert "**spoilt**" in texts(app)


def test_a_damaged_memory_is_told_and_ignored(open_app: OpenApp, own_data: Path, tmp_path: Path) -> None:
    write_client(tmp_path, "A-01", dt.date.today() - dt.timedelta(days=12))
    (own_data / "looked_at.json").write_text("{")
    app = open_app(tmp_path)
    assert heading(app) == "1 client, with news"
    assert "it is damaged" in html.unescape(app.warning[0].value)
    app.button(key="looked at A-01").click().run()
    assert not app.warning
    assert heading(app) == "1 client, nothing new"


def test_what_cannot_be_remembered_is_told(open_app: OpenApp, own_data: Path, tmp_path: Path) -> None:
    write_client(tmp_path, "A-01", dt.date.today() - dt.timedelta(days=12))
    app = open_app(tmp_path)
    own_data.rmdir()
    own_data.write_text("a file where a folder should be")
    app.button(key="looked at A-01").click().run()
    assert not app.exception
    assert "cannot be" in html.unescape(app.warning[0].value)


def test_with_many_clients_only_those_shown_are_worked_out_and_the_page_says_so(
    open_app: OpenApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [f"A-{number:02d},{dt.date.today()},1,step-down,left,8,8,0" for number in range(27)]
    (tmp_path / "sets.csv").write_text(
        "\n".join(["client,date,set,exercise,side,load,reps,pain_left", *rows])
    )
    asked = []

    def quick(opened: OpenClient) -> Review:
        asked.append(opened.client)
        raise FitError("not fitted in this test")

    monkeypatch.setattr(compute_first_look, "client_review", quick)
    app = open_app(tmp_path)
    assert "worked out for 25 of 27 clients" in texts(app)
    assert "**A-24**" in links(app)
    assert "**A-26**" not in links(app)
    assert asked == [f"A-{number:02d}" for number in range(25)]
    app.text_input[0].set_value("a-26").run()
    assert [name for name in links(app) if name.startswith("**")] == ["**A-26**"]
    app.text_input[0].set_value("").run()
    next(one for one in app.button if one.label == "Show 2 more").click().run()
    assert "**A-26**" in links(app)
    assert "worked out for" not in texts(app)


def test_a_client_whose_fit_goes_wrong_does_not_block_the_others(
    open_app: OpenApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for client in ("F-01", "F-02"):
        write_client(tmp_path, client, dt.date.today())
    works = compute_first_look.client_review

    def fails(opened: OpenClient) -> Review:
        if opened.client == "F-01":
            raise FitError("the search found no end")
        return works(opened)

    monkeypatch.setattr(compute_first_look, "client_review", fails)
    shown = texts(open_app(tmp_path))
    assert "No answer: the search found no end" in shown
    assert "cannot say yet" in shown


def test_without_a_log_the_page_says_what_to_do(open_app: OpenApp, tmp_path: Path) -> None:
    app = open_app(tmp_path)
    assert heading(app) == "No log is open"
    assert "one row a set" in texts(app)
    assert "Open a log" in links(app)


def test_a_folder_that_is_gone_is_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    app: AppTest = open_app(tmp_path / "gone")
    assert heading(app) == "No log is open"
