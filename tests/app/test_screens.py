"""Every screen with every sample log, run without a browser."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from analysis.log import read_log
from analysis.questions.review import review
from dashboard.samples import samples_folder
from dashboard.wording.clients import leading_line
from dashboard.wording.pain_line import pain_line_heading

APP = Path(__file__).resolve().parents[2] / "dashboard" / "app.py"
CLIENTS = ("K-07", "E-12", "B-03", "N-01", "Y-20")
PATIENCE_S = 60


def opened(monkeypatch: pytest.MonkeyPatch, logs: Path, view: str | None = None, **query: str) -> AppTest:
    monkeypatch.setenv("EBBLINE_LOGS", str(logs))
    app = AppTest.from_file(str(APP), default_timeout=PATIENCE_S)
    app.run()
    if view is not None:
        for name, value in query.items():
            app.query_params[name] = value
        app.switch_page(f"views/{view}.py").run()
    assert not app.exception
    return app


def shown(app: AppTest) -> str:
    return "\n".join(
        one.value for kind in (app.header, app.subheader, app.markdown, app.caption) for one in kind
    )


def plain(text: str) -> str:
    return html.unescape(text)


def test_clients_screen_has_a_dated_sentence_for_each_client(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder())
    text = plain(shown(app))
    for client in CLIENTS:
        assert client in text
    assert len(re.findall(r"^\d{1,2} [A-Z][a-z]{2} \d{4}: ", text, flags=re.MULTILINE)) >= len(CLIENTS)


def test_clients_screen_lists_logs_that_cannot_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder() / "broken")
    assert re.search(r"cannot be read: \d+ problems? to mend", plain(shown(app)))


@pytest.mark.parametrize("client", CLIENTS)
def test_pain_line_screen_says_the_leading_line(monkeypatch: pytest.MonkeyPatch, client: str) -> None:
    app = opened(monkeypatch, samples_folder(), "pain_line", client=client)
    found = review(read_log(samples_folder() / client), client=client)
    row = leading_line(found.lines)
    assert row is not None
    assert plain(app.header[0].value) == pain_line_heading(row)
    assert len(plain(app.header[0].value)) <= 60
    assert app.get("vega_lite_chart")
    assert len(app.dataframe[0].value) == len(found.fit.tried)
    assert "not a diagnosis" in plain(app.caption[-1].value)


@pytest.mark.parametrize("client", CLIENTS)
def test_month_screen_names_the_month_and_three_facts(monkeypatch: pytest.MonkeyPatch, client: str) -> None:
    app = opened(monkeypatch, samples_folder(), "month", client=client)
    assert " sets hurt" in plain(app.header[0].value)
    facts = next(one.value for one in app.markdown if one.value.startswith("- "))
    assert facts.count("\n- ") == 2
    assert app.get("vega_lite_chart")


def test_log_screen_lists_every_problem_of_the_broken_log(monkeypatch: pytest.MonkeyPatch) -> None:
    broken = samples_folder() / "broken" / "cells"
    app = opened(monkeypatch, broken, "log")
    assert "cannot be read" in plain(app.header[0].value)
    table = app.dataframe[0].value
    assert list(table.columns) == ["file", "row", "column", "value", "what", "how to mend"]
    assert (table["how to mend"] != "").all()
    assert len(table) >= 3


def test_uploading_a_broken_then_the_mended_table(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder(), "log")
    good = (samples_folder() / "N-01" / "sets.csv").read_bytes()
    lines = good.decode().splitlines()
    bad = "\n".join([lines[0], lines[1].replace(lines[1].split(",")[1], "yesterday", 1), *lines[2:]]).encode()
    app.file_uploader[0].set_value([("sets.csv", bad, "text/csv")]).run()
    assert "cannot be read" in plain(app.header[0].value)
    assert "yesterday" in set(app.dataframe[0].value["value"])
    app.file_uploader[0].set_value([("sets.csv", good, "text/csv")]).run()
    assert not app.exception
    assert plain(app.header[0].value) == "1 log open"
    assert not app.dataframe


def test_a_table_with_foreign_headings_is_refused_with_a_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder(), "log")
    app.file_uploader[0].set_value(
        [("sets.csv", b"Day,Lift,Weight\n2026-01-05,step-down,10\n", "text/csv")]
    ).run()
    assert not app.exception
    assert "cannot be read" in plain(app.header[0].value)
    assert (app.dataframe[0].value["how to mend"] != "").all()


@pytest.mark.parametrize("view", [None, "pain_line", "month", "log"])
def test_without_logs_every_screen_says_what_to_do(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, view: str | None
) -> None:
    app = opened(monkeypatch, tmp_path, view)
    text = plain(shown(app))
    assert "No log is open" in text
    assert "sets.csv" in text


def test_a_folder_that_is_not_there_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder(), "log")
    app.text_input[0].set_value("/no/such/folder")
    app.button[0].click().run()
    assert "There is no folder" in plain(app.error[0].value)


def test_choosing_another_side_changes_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    app = opened(monkeypatch, samples_folder(), "pain_line", client="K-07")
    rows = [
        row for row in review(read_log(samples_folder() / "K-07"), client="K-07").lines if row.chance == 0.2
    ]
    pair = next(row for row in rows if row.key.side == "right" and row.key.variant == "standard")
    app.selectbox(key="exercise").set_value(pair.key.exercise).run()
    app.button_group(key="side").set_value("right").run()
    assert plain(app.header[0].value) == pain_line_heading(pair)


def test_text_of_a_log_cannot_load_a_picture(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    evil = "![x](https://evil.example/p.png)"
    rows = "".join(
        f"M-01,2026-09-{day:02d},{number},{evil},left,{10 + 2 * number},kg,8,{number % 3}\n"
        for day in range(1, 9)
        for number in (1, 2)
    )
    log = tmp_path / "M-01"
    log.mkdir()
    (log / "sets.csv").write_text("client,date,set,exercise,side,load,unit,reps,pain_left\n" + rows)
    for view in (None, "pain_line", "month"):
        app = opened(monkeypatch, tmp_path, view)
        assert "![" not in shown(app)
        assert "evil.example" in plain(shown(app))
