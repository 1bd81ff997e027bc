"""Takes pictures of every screen, wide and narrow, light and dark, into the ignored folder ``pictures``.

    python tests/browser/take_pictures.py [--logs FOLDER] [--only WORD]

Pictures are for looking at; nothing is compared.
"""

from __future__ import annotations

import argparse
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
PICTURES = Path(__file__).parent / "pictures"
SIZES = {"wide": {"width": 1280, "height": 800}, "phone": {"width": 390, "height": 844}}
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


def main() -> None:
    """Start a server, visit every screen, write PNG files."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--logs", type=Path, default=ROOT / "sample_logs")
    parser.add_argument("--only", default="")
    parser.add_argument("--out", type=Path, default=PICTURES)
    chosen = parser.parse_args()
    chosen.out.mkdir(exist_ok=True)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    environment = {
        **os.environ,
        "EBBLINE_LOGS": str(chosen.logs),
        "EBBLINE_DATA": str(chosen.out.resolve() / "own"),
        "PYTHONPATH": str(ROOT),
        "OPENBLAS_NUM_THREADS": "1",
    }
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "streamlit",
            "run",
            str(ROOT / "dashboard" / "app.py"),
            "--server.headless=true",
            f"--server.port={port}",
        ],
        env=environment,
        stdout=subprocess.DEVNULL,
    )
    try:
        wait_for(f"http://127.0.0.1:{port}/_stcore/health")
        take_all(f"http://127.0.0.1:{port}", chosen)
    finally:
        server.terminate()
        server.wait()


def screens(clients: list[str]) -> dict[str, str]:
    """Name and address of every screen."""
    found = {"clients": "/", "new_client": "/new_client", "log": "/log"}
    for client in clients:
        if len(client) == 4 and client[1] == "-":
            found[f"pain_line_{client}"] = f"/pain_line?client={client}"
            found[f"sides_{client}"] = f"/sides?client={client}"
            found[f"today_{client}"] = f"/today?client={client}"
            found[f"month_{client}"] = f"/month?client={client}"
            found[f"what_next_{client}"] = f"/what_next?client={client}"
            found[f"harder_{client}"] = f"/harder?client={client}"
            found[f"effects_{client}"] = f"/effects?client={client}"
            found[f"check_in_{client}"] = f"/check_in?client={client}"
    return found


def take_all(address: str, chosen: argparse.Namespace) -> None:
    """Every screen in both sizes; dark as well for the wide ones."""
    clients = [log.name for log in sorted(chosen.logs.iterdir())]
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=ARGUMENTS)
        for size, viewport in SIZES.items():
            for scheme in ("light", "dark"):
                page = browser.new_page(viewport=viewport, color_scheme=scheme)
                for name, path in screens(clients).items():
                    if chosen.only in name:
                        take(page, address + path, chosen.out / f"{name}_{size}_{scheme}.png")
                page.close()
        browser.close()


def take(page: Page, address: str, target: Path) -> None:
    """One picture of the whole page, once the script has ended."""
    width = page.viewport_size["width"] if page.viewport_size else SIZES["wide"]["width"]
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(address)
    page.wait_for_selector(
        "[data-testid=stApp][data-test-script-state=notRunning] [data-testid=stHeading]", timeout=60000
    )
    page.wait_for_load_state("networkidle")
    height = page.evaluate("document.querySelector('[data-testid=stMain]')?.scrollHeight ?? 800")
    page.set_viewport_size({"width": width, "height": int(height) + 20})
    page.wait_for_load_state("networkidle")
    page.screenshot(path=target)


def wait_for(address: str) -> None:
    """Until the server answers, 30 seconds at most."""
    for _ in range(150):
        try:
            urllib.request.urlopen(address, timeout=1).close()
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
        else:
            return
    raise SystemExit("The server did not answer within 30 seconds.")


if __name__ == "__main__":
    main()
