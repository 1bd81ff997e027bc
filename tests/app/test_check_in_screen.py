"""Check-in: the page is made, shown and handed over as chosen; own words stay."""

from __future__ import annotations

from pathlib import Path

from streamlit.testing.v1 import AppTest

from tests.app.conftest import OpenApp
from tests.app.shown import heading, links, texts

UNASKED = "client,date,set,exercise,side,reps,load,unit,pain_left\nU-1,2026-03-02,1,step-down,left,8,10,kg,\n"


def picture(app: AppTest) -> str:
    """Where the shown picture of the page is kept; another picture has another place."""
    (image,) = app.get("image")
    return str(image.proto.imgs[0].url)


def test_the_page_is_shown_and_follows_what_is_chosen(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "N-01", "check_in")
    assert heading(app) == "One page for the trainee"
    assert "Everything chosen has room." in texts(app)
    (button,) = app.get("download_button")
    assert button.proto.label == "Download PDF"
    first = picture(app)
    app.text_area[0].set_value("Well done.\n#panic()").run()
    assert not app.exception
    second = picture(app)
    assert second != first
    app.session_state["sheet reader"] = "clinician"
    app.run()
    assert heading(app) == "One page for the clinician or coach"
    assert app.text_area[0].value == "Well done.\n#panic()"
    assert len(app.text_area) == 1
    assert picture(app) not in (first, second)


def test_a_part_that_is_taken_away_is_gone_from_the_page(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "N-01", "check_in")
    assert all(one.value for one in app.checkbox)
    assert app.expander[0].label == f"Parts of the page: {len(app.checkbox)} of {len(app.checkbox)}"
    first = picture(app)
    app.checkbox[0].uncheck().run()
    assert not app.exception
    assert app.expander[0].label == f"Parts of the page: {len(app.checkbox) - 1} of {len(app.checkbox)}"
    assert picture(app) != first


def test_own_words_stay_when_the_page_is_left(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "N-01", "check_in")
    app.text_area[0].set_value("Kept.").run()
    app.switch_page("views/log.py").run()
    app.switch_page("views/check_in.py").run()
    assert not app.exception
    assert app.text_area[0].value == "Kept."


def test_too_many_own_sentences_are_refused_in_words(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "N-01", "check_in")
    app.text_area[0].set_value("\n".join("abcd")).run()
    assert not app.exception
    assert "There are 4 own sentences; 3 have room." in texts(app)
    assert len(app.get("download_button")) == 0


def test_a_client_with_nothing_is_told_what_is_missing(open_app: OpenApp, tmp_path: Path) -> None:
    (tmp_path / "U-1").mkdir()
    (tmp_path / "U-1" / "sets.csv").write_text(UNASKED, encoding="utf-8")
    app = open_app(tmp_path, "check_in")
    assert "U-1 has nothing to hand over yet" in texts(app)


def test_no_log_no_crash(open_app: OpenApp, tmp_path: Path) -> None:
    assert heading(open_app(tmp_path, "check_in")) == "No log is open"


def test_only_broken_logs_lead_to_their_problems(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "broken" / "cells", "check_in")
    assert heading(app) == "No log can be read"
    assert "See the problems" in links(app)
