"""`ebbline open`: serves the dashboard on this machine only (layer: app)."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import click

from dashboard.samples import samples_folder

ADDRESS = "127.0.0.1"
FIRST_PORT, LAST_PORT = 8501, 8599


@click.command(name="open", epilog="Example: ebbline open --logs ~/logs --port 8600")
@click.option(
    "--logs",
    type=click.Path(exists=True, path_type=Path),
    help="One log, or a folder of them. Without it the sample logs are opened.",
)
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help=f"Port to serve on. Without it the first free one from {FIRST_PORT} on.",
)
@click.option("--no-browser", is_flag=True, help="Only serve; do not open a browser window.")
def open_dashboard(logs: Path | None, port: int | None, no_browser: bool) -> int:
    """Open the dashboard. It can be reached from this machine only; Ctrl-C stops it."""
    folder = (logs or samples_folder()).resolve()
    chosen = _free_port() if port is None else _checked_port(port)
    environment = {**os.environ, "EBBLINE_LOGS": str(folder)}
    environment.setdefault("OPENBLAS_NUM_THREADS", "1")
    click.echo(f"Ebbline: http://{ADDRESS}:{chosen}", err=True)
    click.echo(f"Logs: {folder}{'' if logs else ' (samples; --logs DIR opens your own)'}", err=True)
    click.echo("Ctrl-C stops it.", err=True)
    command = serve_command(port=chosen, no_browser=no_browser)
    if os.name == "nt":  # there, a replaced process gives the prompt back while the server still runs
        return subprocess.call(command, env=environment)
    sys.stderr.flush()
    os.execve(command[0], command, environment)


def serve_command(*, port: int, no_browser: bool) -> list[str]:
    """Command line of the server; what keeps it on this machine is said here and in the config file."""
    script = Path(__file__).resolve().parent / "app.py"
    return [
        *(sys.executable, "-P", "-m", "streamlit", "run", str(script)),
        f"--server.address={ADDRESS}",
        f"--server.port={port}",
        f"--server.headless={'true' if no_browser else 'false'}",
        "--browser.gatherUsageStats=false",
        "--logger.hideWelcomeMessage=true",  # the address is told above; the rest is for makers of apps
    ]


def _free_port() -> int:
    for port in range(FIRST_PORT, LAST_PORT + 1):
        if _is_free(port):
            return port
    raise click.UsageError(f"No port from {FIRST_PORT} to {LAST_PORT} is free. Name another with --port.")


def _checked_port(port: int) -> int:
    if not _is_free(port):
        raise click.UsageError(f"Port {port} is taken or not allowed. Name another, or leave --port out.")
    return port


def _is_free(port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name != "nt":
            probe.setsockopt(
                socket.SOL_SOCKET, socket.SO_REUSEADDR, 1
            )  # a server that just ended is no hindrance
        try:
            probe.bind((ADDRESS, port))
        except OSError:
            return False
    return True
