"""Which logs are open in this browser tab: a folder of this machine, or files in memory (layer: controls)."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable
from pathlib import Path

import streamlit as st

from analysis.errors import OptionError
from analysis.log import find_logs
from analysis.questions.first_look import remarks_of
from analysis.results import Remark
from analysis.training_log import TrainingLog
from dashboard import compute
from dashboard.compute import OWNER, OpenClient
from dashboard.samples import samples_folder
from dashboard.store.source import BrokenLog, ClientRef, FolderSource, LogSource, Told
from dashboard.store.uploads import UploadedSource

FOLDER = "logs_folder"
UPLOADED = "logs_uploaded"
FROM_ENVIRONMENT = "EBBLINE_LOGS"


def open_folder() -> Path:
    """Folder whose logs are shown: the one chosen here, else the one given at the start, else the samples."""
    chosen = st.session_state.get(FOLDER) or os.environ.get(FROM_ENVIRONMENT)
    return Path(chosen).expanduser() if chosen else samples_folder()


def uploaded() -> UploadedSource | None:
    """The log held in memory, if one was uploaded in this tab."""
    held: UploadedSource | None = st.session_state.get(UPLOADED)
    return held


def are_samples() -> bool:
    """Whether what is open are the invented samples, all or one of them."""
    return uploaded() is None and open_folder().resolve().is_relative_to(samples_folder().resolve())


def present_day(clients: Iterable[ClientRef]) -> dt.date:
    """Today; for the invented samples the newest day of their sets, as if it were that day."""
    newest = max((ref.last_date for ref in clients if ref.last_date is not None), default=None)
    return newest if are_samples() and newest is not None else dt.date.today()


def source() -> LogSource:
    """Where every screen gets its logs from."""
    return uploaded() or compute.folder_source(open_folder())


def log_paths() -> tuple[Path, ...]:
    """Logs of the open folder; none when it is gone, may not be read, or is no log at all."""
    try:
        return logs_at(open_folder())
    except (OptionError, OSError):
        return ()


def logs_at(path: Path) -> tuple[Path, ...]:
    """Logs at a path of this machine.

    Raises
    ------
    OptionError
        If there is nothing at that path, or it is no kind of log.
    OSError
        If it may not be read.
    """
    return find_logs(path.expanduser())


def open_clients() -> tuple[ClientRef, ...]:
    """Clients that can be shown, by code."""
    return source().clients(OWNER) if uploaded() or log_paths() else ()


def unreadable() -> tuple[BrokenLog, ...]:
    """Logs that cannot be read, an uploaded one too."""
    return source().problems(OWNER) if uploaded() or log_paths() else ()


def every_client(told: Told | None = None) -> tuple[tuple[ClientRef, OpenClient], ...]:
    """Every client that can be shown, with its log, by code."""
    if not (uploaded() or log_paths()):
        return ()
    here = source()
    every = here.every_log(OWNER, told=told) if isinstance(here, FolderSource) else here.every_log(OWNER)
    return tuple(
        (ref, OpenClient(client=ref.client, log=log, revision=revision)) for ref, log, revision in every
    )


def remarks_on(ref: ClientRef, log: TrainingLog) -> tuple[Remark, ...]:
    """Doubtful values of one client's rows."""
    if (held := uploaded()) is not None:
        return remarks_of(log, ref.client, held.check.remarks)
    path = next((one for one in log_paths() if one.name == ref.log_name), None)
    return () if path is None else remarks_of(log, ref.client, compute.log_check(path).remarks)


def open_client(client: str) -> OpenClient:
    """A client with its log."""
    log, revision = source().log(OWNER, client)
    return OpenClient(client=client, log=log, revision=revision)


def choose_folder(path: str) -> None:
    """Show the logs of this folder from now on."""
    st.session_state[FOLDER] = path
    st.session_state.pop(UPLOADED, None)


def hold_uploaded(log: UploadedSource) -> None:
    """Show this log from now on."""
    st.session_state[UPLOADED] = log


def close_uploaded() -> None:
    """Back to the folder."""
    st.session_state.pop(UPLOADED, None)
