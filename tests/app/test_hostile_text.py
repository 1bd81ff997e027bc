"""Text of a log cannot load a picture on any screen that shows it, and is still read as written."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from tests.app.conftest import OpenApp
from tests.app.shown import texts

EVIL = "![x](https://evil.example/p.png)"
HEADINGS = "client,date,set,exercise,side,load,unit,reps,pain_left\n"


@pytest.mark.parametrize("screen", ["clients", "pain_line", "month", "harder"])
def test_an_exercise_named_like_a_picture_stays_text(open_app: OpenApp, tmp_path: Path, screen: str) -> None:
    last = dt.date.today()  # older sets would be news of their own on the page of clients
    rows = "".join(
        f"M-01,{last - dt.timedelta(days=8 - day)},{number},{EVIL},left,{10 + 2 * number},kg,8,{number % 3}\n"
        for day in range(1, 9)
        for number in (1, 2)
    )
    (tmp_path / "sets.csv").write_text(HEADINGS + rows)
    app = open_app(tmp_path, screen)
    written = [one.value for kind in (app.header, app.subheader, app.markdown, app.caption) for one in kind]
    assert not any("![" in one for one in written)
    assert EVIL in texts(app)
