"""A client without any set works on every screen: help in place of an answer, never a failure."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dashboard.store.folder_intake import intake_log
from dashboard.store.folder_writer import FolderWriter
from tests.app.conftest import OpenApp
from tests.app.shown import heading, texts
from tests.unit.test_folder_intake import WHOLE

PAGES = re.compile(r'st\.Page\("views/(\w+)\.py"')


def screens() -> list[str]:
    """Every screen there is, from the menu itself."""
    entry = Path(__file__).resolve().parents[2] / "dashboard" / "app.py"
    return PAGES.findall(entry.read_text(encoding="utf-8"))


@pytest.mark.parametrize("screen", screens())
def test_every_screen_helps_a_client_without_sets(open_app: OpenApp, tmp_path: Path, screen: str) -> None:
    FolderWriter(tmp_path).begin("local", "M-14", intake_log(WHOLE))
    app = open_app(tmp_path, screen, client="M-14")
    assert heading(app)
    assert len(texts(app)) > 40
    assert "No answer" not in heading(app)


def test_there_are_screens() -> None:
    assert {"clients", "today", "month", "log", "new_client"} < set(screens())
