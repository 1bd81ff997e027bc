"""The app as a person opens it, on any folder of logs, without a browser."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

OpenApp = Callable[..., AppTest]


@pytest.fixture
def own_data(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder of this person's own files, a new one for each test."""
    folder = tmp_path_factory.mktemp("own")
    monkeypatch.setenv("EBBLINE_DATA", str(folder))
    return folder


@pytest.fixture
def open_app(checkout: Path, own_data: Path, monkeypatch: pytest.MonkeyPatch) -> OpenApp:
    """Open one screen on a folder of logs, with what stands in the address."""

    def opened(logs: Path, screen: str = "clients", **query: str) -> AppTest:
        monkeypatch.setenv("EBBLINE_LOGS", str(logs))
        app = AppTest.from_file(str(checkout / "dashboard" / "app.py"), default_timeout=120)
        for name, value in query.items():
            app.query_params[name] = value
        app.run()
        if screen != "clients":
            app.switch_page(f"views/{screen}.py").run()
        assert not app.exception
        return app

    return opened
