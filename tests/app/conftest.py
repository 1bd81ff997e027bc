"""The app as a person opens it, on any folder of logs, without a browser."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

OpenApp = Callable[..., AppTest]


@pytest.fixture
def open_app(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> OpenApp:
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
