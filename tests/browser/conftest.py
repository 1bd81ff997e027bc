"""A running server and a browser that writes down every request, for journeys as a person makes them."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

START_S = 60.0
WAIT_MS = 60_000
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
OURS = {"127.0.0.1", "localhost"}

expect.set_options(timeout=WAIT_MS)


@dataclass(frozen=True, kw_only=True)
class Visit:
    """One tab on one server, and every address it asked for."""

    page: Page
    address: str
    requests: list[str] = field(default_factory=list)

    def open(self, path: str) -> None:
        """Open an address cold and wait until the page is complete."""
        self.page.goto(self.address + path)
        self.settled()

    def settled(self) -> None:
        """Wait until the script has run and a heading stands."""
        self.page.wait_for_selector("[data-testid=stApp][data-test-script-state=notRunning]", timeout=WAIT_MS)
        expect(self.page.get_by_test_id("stHeading").first).to_be_visible()

    def heading(self) -> str:
        """The page's heading."""
        return str(self.page.locator("h2").first.inner_text())

    def outside(self) -> list[str]:
        """Addresses asked for that are not this machine's."""
        return [
            one
            for one in self.requests
            if urlsplit(one).scheme != "data" and urlsplit(one).hostname not in OURS
        ]


@pytest.fixture(scope="module")
def server(checkout: Path, sample_logs: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of a server of its own on the sample logs; what it says goes into a file."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    said = tmp_path_factory.mktemp("server") / "said.txt"
    environment = {
        **os.environ,
        "EBBLINE_LOGS": str(sample_logs),
        "EBBLINE_DATA": str(tmp_path_factory.mktemp("own")),
        "PYTHONPATH": str(checkout),
    }
    command = [sys.executable, "-m", "streamlit", "run", str(checkout / "dashboard" / "app.py")]
    with said.open("w") as log:
        process = subprocess.Popen(
            [*command, "--server.headless=true", f"--server.port={port}"],
            env=environment,
            stdout=log,
            stderr=subprocess.STDOUT,
        )
    try:
        _wait_for(f"http://127.0.0.1:{port}/_stcore/health", process, said)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.communicate(timeout=20)


def _wait_for(address: str, process: subprocess.Popen[bytes], said: Path) -> None:
    """Ask until the server answers; a server that ends by itself is told at once."""
    end = time.monotonic() + START_S
    while time.monotonic() < end:
        try:
            urllib.request.urlopen(address, timeout=1).close()
            return
        except (urllib.error.URLError, OSError):
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=0.1)
                pytest.fail(f"The server stopped by itself: {said.read_text()[-2000:]}")
    pytest.fail(f"The server did not answer in {START_S:.0f} s: {said.read_text()[-2000:]}")


@pytest.fixture(scope="module")
def browser(browser_program: str) -> Iterator[Browser]:
    """The browser of this machine, started once a module."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=browser_program, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def visit(server: str, browser: Browser, request: pytest.FixtureRequest) -> Iterator[Visit]:
    """A tab of its own, 1280 wide unless asked otherwise; after every journey no request may have left the machine."""
    size = getattr(request, "param", (1280, 900))
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    page = context.new_page()
    made = Visit(page=page, address=server)
    page.on("request", lambda one: made.requests.append(one.url))
    page.on("websocket", lambda one: made.requests.append(one.url))
    yield made
    context.close()
    assert made.requests, "the browser asked for nothing at all"
    assert made.outside() == []
