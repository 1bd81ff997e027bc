"""New client: every problem at its field, nothing written before all holds, then what was written, and undo."""

from __future__ import annotations

import datetime as dt
import html
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from analysis.log import read_log
from dashboard.wording.new_client import HEART, screening
from tests.app.conftest import OpenApp
from tests.app.shown import heading, links, texts

KNEE_SIGNS = screening(["knee"])


def key(name: str, form: int = 0) -> str:
    return f"new client {form} {name}"


def fill(app: AppTest, *, code: str = "M-14", signs: tuple[str, ...] = KNEE_SIGNS, yes: str = "") -> AppTest:
    """Answer what has to be answered, as a coach does."""
    app.text_input(key=key("client")).set_value(code)
    app.text_input(key=key("site 0")).set_value("front of knee")
    app.selectbox(key=key("region 0")).set_value("knee")
    app.selectbox(key=key("side 0")).set_value("left")
    app.checkbox(key=key("consent")).check()
    app.run()
    for sign in signs:
        app.radio(key=key(f"sign {sign}")).set_value("yes" if sign == yes else "no")
    return app.run()


def save(app: AppTest) -> AppTest:
    app.button(key=key("save")).click().run()
    assert not app.exception
    return app


def to_mend(app: AppTest) -> list[str]:
    return [line for line in texts(app).splitlines() if line.startswith(":red[**To mend:**")]


def a_log(folder: Path) -> Path:
    """A folder with one client of today, so that it is a folder of logs."""
    home = folder / "K-07"
    home.mkdir(parents=True)
    rows = (
        f"client,date,set,exercise,side,load,reps,pain_left\nK-07,{dt.date.today()},1,step-down,left,8,8,0\n"
    )
    (home / "sets.csv").write_text(rows)
    return folder


def test_an_empty_form_tells_everything_at_once_and_writes_nothing(open_app: OpenApp, tmp_path: Path) -> None:
    logs = a_log(tmp_path)
    app = open_app(logs, "new_client")
    assert heading(app) == "New client"
    assert to_mend(app) == []
    save(app)
    signs = len(screening([None]))
    assert len(to_mend(app)) == 3 + signs
    assert f"{3 + signs} answers to mend above. Nothing was written." in texts(app)
    assert [one.name for one in logs.iterdir()] == ["K-07"]


def test_it_is_written_beside_the_other_logs_and_says_what_comes_first(
    open_app: OpenApp, tmp_path: Path
) -> None:
    logs = a_log(tmp_path)
    app = fill(open_app(logs, "new_client"))
    app.selectbox(key=key("limit_during")).set_value(3)
    app.selectbox(key=key("irritability")).set_value("high")
    app.text_input(key=key("since")).set_value("last winter")
    app.text_area(key=key("goal")).set_value("Walk down from the ridge.")
    app.text_input(key=key("task 0")).set_value("stairs down")
    app.selectbox(key=key("difficulty 0")).set_value(6)
    save(app)
    assert heading(app) == "M-14 is on file"
    assert (
        f"Written to {logs / 'M-14'}: clients.csv (1 row), sets.csv (headings only), sites.csv (1 row)"
        in texts(app)
    )
    assert links(app)["Today of M-14"] == {"client": "M-14"}
    log = read_log(logs / "M-14")
    (row,) = log.clients.to_dict("records")
    assert (row["limit_during"], row["irritability"], row["note"]) == (3, "high", "Since last winter.")
    assert row["started"].date() == dt.date.today()
    assert log.tasks["difficulty"].tolist() == [6]
    app.switch_page("views/clients.py").run()
    assert heading(app) == "2 clients, nothing new"
    assert {"**K-07**", "**M-14**", "Log for M-14"} < set(links(app))


def test_a_code_that_exists_is_told_at_its_field_and_what_was_typed_stays(
    open_app: OpenApp, tmp_path: Path
) -> None:
    app = save(fill(open_app(a_log(tmp_path), "new_client"), code="k-07"))
    assert len(to_mend(app)) == 1
    assert "There is a client K-07 already" in to_mend(app)[0]
    assert app.text_input(key=key("site 0")).value == "front of knee"
    app.switch_page("views/clients.py").run()
    app.switch_page("views/new_client.py").run()
    assert app.text_input(key=key("client")).value == "k-07"
    assert app.radio(key=key(f"sign {HEART}")).value == "no"
    app.text_input(key=key("client")).set_value("M-14")
    assert heading(save(app)) == "M-14 is on file"


def test_a_save_that_fails_keeps_what_was_typed(
    open_app: OpenApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    logs = a_log(tmp_path)
    app = fill(open_app(logs, "new_client"))

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device", str(logs / "M-14"))

    with monkeypatch.context() as patched:
        patched.setattr("dashboard.store.folder_writer.write_log", full)
        save(app)
    assert heading(app) == "New client"
    assert "M-14 cannot be written: No space left on device. Nothing was written" in texts(app)
    assert app.text_input(key=key("client")).value == "M-14"
    assert [one.name for one in logs.iterdir()] == ["K-07"]
    assert heading(save(app)) == "M-14 is on file"


def test_yes_to_a_sign_stops_the_plan_in_plain_words(open_app: OpenApp, tmp_path: Path) -> None:
    logs = a_log(tmp_path)
    app = fill(open_app(logs, "new_client"), yes=KNEE_SIGNS[2])
    assert "**See a clinician first.**" in texts(app)
    save(app)
    assert heading(app) == "M-14: see a clinician first"
    assert f"- {KNEE_SIGNS[2]}" in texts(app)
    assert "no plan until a clinician has seen the client" in texts(app)
    assert "Today of M-14" not in links(app)
    assert KNEE_SIGNS[2] not in (logs / "M-14" / "clients.csv").read_text()
    app.switch_page("views/clients.py").run()
    assert "every exercise is left out from this day on: see a clinician first" in texts(app)
    today = open_app(logs, "today", client="M-14")
    assert heading(today) == "Nothing to propose: every exercise is left out"


def test_the_signs_asked_follow_the_regions(open_app: OpenApp, tmp_path: Path) -> None:
    app = open_app(a_log(tmp_path), "new_client")
    asked = [html.unescape(one.label) for one in app.radio]
    assert asked == list(screening([None]))
    app.button(key=key("more sites")).click().run()
    app.selectbox(key=key("region 0")).set_value("knee")
    app.selectbox(key=key("region 1")).set_value("low back")
    app.run()
    asked = [html.unescape(one.label) for one in app.radio if one.key != key("main")]
    assert asked == list(screening(["knee", "low back"]))
    assert any("Numbness of the seat" in one for one in asked)
    assert len(set(asked)) == len(asked)


def test_several_places_need_a_main_one(open_app: OpenApp, tmp_path: Path) -> None:
    logs = a_log(tmp_path)
    app = fill(open_app(logs, "new_client"))
    app.button(key=key("more sites")).click().run()
    app.text_input(key=key("site 1")).set_value("outer ankle")
    app.selectbox(key=key("region 1")).set_value("ankle")
    app.selectbox(key=key("side 1")).set_value("both")
    save(app)
    assert ["main one" in one for one in to_mend(app)] == [True]
    app.radio(key=key("main")).set_value(1)
    assert heading(save(app)) == "M-14 is on file"
    assert read_log(logs / "M-14").sites["main"].tolist() == [False, True]


def test_undo_takes_back_exactly_what_was_written(open_app: OpenApp, tmp_path: Path) -> None:
    logs = a_log(tmp_path)
    app = save(fill(open_app(logs, "new_client")))
    undo = next(one for one in app.button if "Undo" in one.label)
    undo.click().run()
    assert [one.name for one in logs.iterdir()] == ["K-07"]
    assert heading(app) == "New client"
    assert "M-14 was taken back" in html.unescape(app.info[0].value)
    assert app.text_input(key=key("client")).value == "M-14"
    assert heading(save(app)) == "M-14 is on file"
    with (logs / "M-14" / "sets.csv").open("a") as file:
        file.write(f"M-14,{dt.date.today()},1,1,working,step-down,left,8,\n")
    next(one for one in app.button if "Undo" in one.label).click().run()
    assert "added or changed" in texts(app)
    assert (logs / "M-14").is_dir()


def test_another_client_begins_with_an_empty_form(open_app: OpenApp, tmp_path: Path) -> None:
    app = save(fill(open_app(a_log(tmp_path), "new_client")))
    next(one for one in app.button if one.label == "Begin another client").click().run()
    assert heading(app) == "New client"
    assert app.text_input(key=key("client", 1)).value == ""
    assert to_mend(app) == []


def test_with_the_samples_open_it_goes_into_the_own_folder_which_is_opened(
    open_app: OpenApp, sample_logs: Path, own_data: Path
) -> None:
    before = sorted(path.name for path in sample_logs.iterdir())
    app = fill(open_app(sample_logs / "N-01", "new_client"), code="K-07")
    assert "nothing is written into them" in texts(app)
    save(app)
    assert heading(app) == "K-07 is on file"
    assert (own_data / "ebbline-logs" / "K-07" / "sets.csv").is_file()
    assert "Next time start with --logs" in texts(app)
    assert sorted(path.name for path in sample_logs.iterdir()) == before
    app.switch_page("views/clients.py").run()
    assert [name for name in links(app) if name.startswith("**")] == ["**K-07**"]
    app.switch_page("views/new_client.py").run()
    next(one for one in app.button if "Undo" in one.label).click().run()
    assert list((own_data / "ebbline-logs").iterdir()) == []
    app.switch_page("views/clients.py").run()
    assert "**N-01**" in links(app)


def test_it_is_reached_from_the_clients_and_stands_not_in_the_menu(open_app: OpenApp, tmp_path: Path) -> None:
    assert "New client" in links(open_app(a_log(tmp_path / "logs")))
    assert "New client" in links(open_app(tmp_path / "empty"))
