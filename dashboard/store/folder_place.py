"""Where this person's own files lie: what the program remembers, and the logs it writes (layer: store)."""

from __future__ import annotations

import os
from pathlib import Path

import click

FROM_ENVIRONMENT = "EBBLINE_DATA"
"""Names one folder for both; for tests, and for whoever keeps such files on another disk."""
OWN_LOGS = "ebbline-logs"


def data_folder() -> Path:
    """Folder of what the program remembers; it need not be there yet."""
    chosen = os.environ.get(FROM_ENVIRONMENT)
    return Path(chosen).expanduser() if chosen else Path(click.get_app_dir("ebbline"))


def own_logs_folder() -> Path:
    """Folder of the logs written here, in plain sight of a file manager; it need not be there yet."""
    chosen = os.environ.get(FROM_ENVIRONMENT)
    return (Path(chosen).expanduser() if chosen else Path.home()) / OWN_LOGS
