"""Fixtures for every kind of test: where the sample logs are, and a browser for the tests that need one."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

BROWSER_PROGRAMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


@pytest.fixture(scope="session")
def checkout() -> Path:
    """Folder that holds everything."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def sample_logs(checkout: Path) -> Path:
    """Folder of the sample logs, one folder a story."""
    return checkout / "sample_logs"


@pytest.fixture(scope="session")
def browser_program() -> str:
    """A Chromium on this machine; without one, tests that need it fail and say what to install."""
    for name in (os.environ.get("EBBLINE_CHROMIUM", ""), *BROWSER_PROGRAMS):
        if name and (found := shutil.which(name)):
            return found
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
    if Path(own).exists():
        return own
    pytest.fail(
        "No Chromium on this machine. Install it (apt install chromium, or python -m playwright install chromium),"
        " name it in EBBLINE_CHROMIUM, or leave browser tests out: bash tests/run --no-browser"
    )
