"""Log: folder or upload, every problem in a table, and the mended file opens."""

from __future__ import annotations

import io
from pathlib import Path

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from tests.app.conftest import OpenApp
from tests.app.shown import heading, links, texts

GOOD = (
    "client,date,set,exercise,side,load,unit,load_basis,reps,pain_left,pain_right\n"
    + "".join(
        f"U-01,2026-09-{day:02d},{number},step-down,left,{load},kg,per hand,8,{pain},\n"
        for day in (1, 4, 8, 11)
        for number, load, pain in ((1, 8, 0), (2, 10, 1), (3, 12, 3))
    )
).encode()
BROKEN = GOOD.replace(b",12,kg,", b",l2,kg,", 1)
FOREIGN = b"Datum,Oefening,Gewicht\n2026-09-01,step-down,12\n"


def upload(app: AppTest, *files: tuple[str, bytes]) -> AppTest:
    """Give files to the screen, as a person does."""
    app.file_uploader[0].set_value([(name, content, "text/csv") for name, content in files]).run()
    assert not app.exception
    return app


def test_a_broken_upload_shows_where_what_and_how_to_mend(open_app: OpenApp, tmp_path: Path) -> None:
    app = upload(open_app(tmp_path, "log"), ("sets.csv", BROKEN))
    assert heading(app) == "1 log cannot be read"
    table = app.dataframe[0].value
    assert list(table.columns) == ["file", "row", "column", "value", "what", "how to mend"]
    assert len(table) == 1
    assert table.iloc[0][["file", "row", "column", "value"]].tolist() == ["sets.csv", 4, "load", "l2"]
    assert table.iloc[0]["how to mend"]
    assert "Nothing was read" in texts(app)


def test_the_mended_upload_opens(open_app: OpenApp, tmp_path: Path) -> None:
    app = upload(open_app(tmp_path, "log"), ("sets.csv", BROKEN))
    upload(app, ("sets.csv", GOOD))
    assert heading(app) == "1 log open"
    assert "U-01" in texts(app)
    assert "12 sets in 4 sessions" in texts(app)
    assert "Nothing was read" not in texts(app)
    assert not len(app.dataframe)
    app.switch_page("views/clients.py").run()
    assert heading(app) == "1 client, with news"
    assert "**U-01**" in links(app)


def test_several_files_are_one_log(open_app: OpenApp, tmp_path: Path) -> None:
    days = b"client,date,pain_morning\nU-01,2026-09-02,1\n"
    app = upload(open_app(tmp_path, "log"), ("sets.csv", GOOD), ("days.csv", days))
    assert heading(app) == "1 log open"


def test_foreign_headings_are_refused_with_the_headings_that_are_needed(
    open_app: OpenApp, tmp_path: Path
) -> None:
    app = upload(open_app(tmp_path, "log"), ("book.csv", FOREIGN))
    assert heading(app) == "1 log cannot be read"
    assert "Oefening" in app.dataframe[0].value["what"].iloc[0]
    assert "A log needs client, date, set, exercise, side, and reps or hold_s" in texts(app)


def test_uploads_leave_nothing_on_the_disk(
    open_app: OpenApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    logs, scratch = tmp_path / "logs", tmp_path / "scratch"
    logs.mkdir()
    scratch.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(scratch))
    upload(open_app(logs, "log"), ("sets.csv", GOOD))
    assert list(scratch.iterdir()) == []
    assert list(logs.iterdir()) == []


def test_another_folder_can_be_chosen(open_app: OpenApp, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "sets.csv").write_bytes(GOOD)
    empty = tmp_path / "empty"
    empty.mkdir()
    app = open_app(empty, "log")
    app.text_input[0].set_value(str(mine))
    app.button[0].click().run()
    assert not app.exception
    assert "12 sets in 4 sessions" in texts(app)


def test_without_a_log_it_says_how_to_begin(open_app: OpenApp, tmp_path: Path) -> None:
    app = open_app(tmp_path, "log")
    assert heading(app) == "No log is open"
    assert "one row a set" in texts(app)


def test_a_workbook_can_be_given(open_app: OpenApp, tmp_path: Path) -> None:
    book = tmp_path / "book.xlsx"
    pd.read_csv(io.BytesIO(GOOD)).to_excel(book, sheet_name="sets", index=False)
    content = book.read_bytes()
    book.unlink()
    app = upload(open_app(tmp_path, "log"), ("book.xlsx", content))
    assert heading(app) == "1 log open"
    assert "12 sets in 4 sessions" in texts(app)


def test_a_folder_that_is_not_there_is_told(open_app: OpenApp, tmp_path: Path) -> None:
    app = open_app(tmp_path, "log")
    app.text_input[0].set_value(str(tmp_path / "gone"))
    app.button[0].click().run()
    assert "There is no folder" in texts(app)


def test_a_file_of_another_kind_is_refused_and_nothing_changes(open_app: OpenApp, tmp_path: Path) -> None:
    (tmp_path / "sets.csv").write_bytes(GOOD)
    other = tmp_path / "letter.pdf"
    other.write_text("Dear coach")
    app = open_app(tmp_path / "sets.csv", "log")
    app.text_input[0].set_value(str(other))
    app.button[0].click().run()
    assert not app.exception
    assert "letter.pdf is no log" in texts(app)
    assert heading(app) == "1 log open"


@pytest.mark.parametrize("screen", ["clients", "pain_line", "month", "log"])
def test_started_on_a_file_that_is_no_log_every_screen_says_so(
    open_app: OpenApp, tmp_path: Path, screen: str
) -> None:
    other = tmp_path / "letter.pdf"
    other.write_text("Dear coach")
    assert heading(open_app(other, screen)) == "No log is open"


def test_every_broken_sample_shows_its_problems(open_app: OpenApp, sample_logs: Path) -> None:
    app = open_app(sample_logs / "broken", "log")
    assert "cannot be read" in heading(app)
    assert len(app.dataframe) >= 5


def test_signs_that_markdown_reads_are_shown_as_they_are(open_app: OpenApp, tmp_path: Path) -> None:
    evil = GOOD.replace(b"step-down", b"![x](https://evil.example/p.png) :material/delete:")
    (tmp_path / "sets.csv").write_bytes(evil)
    for screen in ("clients", "pain_line", "month", "log"):
        app = open_app(tmp_path, screen)
        raw = [str(one.value) for one in (*app.header, *app.subheader, *app.markdown, *app.caption)]
        assert not any("![x]" in text or ":material" in text for text in raw), screen
