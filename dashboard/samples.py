"""Finds the sample logs, in a checkout and in an installed copy (layer: samples)."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def samples_folder() -> Path:
    """Folder that holds the sample logs, one folder a story.

    Returns
    -------
    Path
        ``sample_logs`` beside the package in a checkout, inside it when installed.

    Raises
    ------
    FileNotFoundError
        If neither is there, which means that the installation is damaged.
    """
    for folder in (PACKAGE / "sample_logs", PACKAGE.parent / "sample_logs"):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"The sample logs are missing beside {PACKAGE}. Install Ebbline again.")
