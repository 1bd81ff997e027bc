"""`ebbline open`: what is started, on which address and port, with which logs."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from dashboard.command import run
from dashboard.command_open import ADDRESS, FIRST_PORT, serve_command
from dashboard.samples import samples_folder

Started = dict[str, object]


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> Started:
    """What would have replaced this process."""
    record: Started = {}

    def note(program: str, command: list[str], environment: dict[str, str]) -> None:
        record.update(program=program, command=command, environment=environment)

    monkeypatch.setattr(os, "execve", note)
    return record


@pytest.fixture
def taken_port() -> Iterator[int]:
    with socket.socket() as listener:
        listener.bind((ADDRESS, 0))
        listener.listen()
        yield listener.getsockname()[1]


def flag(started: Started, name: str) -> str:
    command = started["command"]
    assert isinstance(command, list)
    return next(part.partition("=")[2] for part in command if part.startswith(f"--{name}="))


def logs_opened(started: Started) -> str:
    environment = started["environment"]
    assert isinstance(environment, dict)
    return environment["EBBLINE_LOGS"]


def test_samples_by_default_on_this_machine_only(
    started: Started, capsys: pytest.CaptureFixture[str]
) -> None:
    run(["open", "--no-browser"])
    assert started["program"] == sys.executable
    assert flag(started, "server.address") == "127.0.0.1"
    assert flag(started, "server.headless") == "true"
    assert flag(started, "browser.gatherUsageStats") == "false"
    assert logs_opened(started) == str(samples_folder())
    assert f"http://127.0.0.1:{flag(started, 'server.port')}" in capsys.readouterr().err


def test_own_logs_by_their_full_path(
    started: Started, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "own").mkdir()
    monkeypatch.chdir(tmp_path)
    run(["open", "--logs", "own"])
    assert logs_opened(started) == str((tmp_path / "own").resolve())
    assert flag(started, "server.headless") == "false"


def test_a_busy_port_is_passed_over(
    started: Started, taken_port: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dashboard.command_open.FIRST_PORT", taken_port)
    monkeypatch.setattr("dashboard.command_open.LAST_PORT", min(taken_port + 50, 65535))
    run(["open"])
    assert int(flag(started, "server.port")) > taken_port


def test_a_named_port_that_is_busy_is_refused(
    started: Started, taken_port: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["open", "--port", str(taken_port)]) == 2
    assert f"Port {taken_port} is taken" in capsys.readouterr().err
    assert started == {}


def test_no_port_free(
    started: Started, taken_port: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("dashboard.command_open.FIRST_PORT", taken_port)
    monkeypatch.setattr("dashboard.command_open.LAST_PORT", taken_port)
    assert run(["open"]) == 2
    assert "Name another with --port" in capsys.readouterr().err
    assert started == {}


def test_logs_that_are_not_there(started: Started, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["open", "--logs", "no/such/logs"]) == 2
    assert "does not exist" in capsys.readouterr().err
    assert started == {}


def test_settings_lie_beside_the_script_that_is_served() -> None:
    script = Path(
        next(part for part in serve_command(port=FIRST_PORT, no_browser=True) if part.endswith("app.py"))
    )
    assert (script.parent / ".streamlit" / "config.toml").is_file()
