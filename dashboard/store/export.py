"""Takes everything out of the store as logs that read back to the same (layer: store)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import count
from pathlib import Path

from analysis.errors import OptionError
from analysis.log import find_logs, log_fingerprint, read_log, write_log
from analysis.training_log import TrainingLog
from dashboard.store.engine import Store
from dashboard.store.handover import write_workbook, write_zip
from dashboard.store.refusals import StoreError
from dashboard.store.stored_logs import logs_of, stored_log


def export_logs(store: Store, owner: str, path: Path) -> tuple[Path, ...]:
    """Write all that an owner has logged, and read it back.

    Parameters
    ----------
    store : Store
    owner : str
    path : Path
        A folder: becomes the log itself when the store has one, else a folder of logs; made if it is not
        there. Or a file ending in ``.xlsx`` or ``.zip``, see `handover`.

    Returns
    -------
    tuple of Path
        The log folders, or the file, written.

    Raises
    ------
    OptionError
        If there is a log in the folder already, the file is there, a workbook is to hold several logs, or
        nothing is stored.
    LogError
        If what is stored breaks a rule of this version.
    StoreError
        If the files cannot be written or do not read back to what is stored.
    """
    with store.read() as connection:
        logs = {
            name: stored_log(connection, owner, name, clients)
            for name, clients in logs_of(connection, owner).items()
        }
    if not logs:
        raise OptionError("There is nothing in the store to export.")
    folders = _folders(logs)
    match path.suffix.casefold():
        case ".xlsx":
            if len(logs) > 1:
                raise OptionError(
                    f"The store has {len(logs)} logs, a workbook holds one; name a folder or a .zip."
                )
            write_workbook(next(iter(logs.values())), path)
        case ".zip":
            write_zip({folders[name]: log for name, log in logs.items()}, path)
        case _:
            return _write_folders(
                {path / folders[name] if len(logs) > 1 else path: log for name, log in logs.items()}, path
            )
    return (path,)


def _write_folders(logs: Mapping[Path, TrainingLog], folder: Path) -> tuple[Path, ...]:
    if folder.exists() and (not folder.is_dir() or find_logs(folder)):
        raise OptionError(f"There is a log in {folder} already; choose an empty folder.")
    try:
        for place, log in logs.items():
            write_log(log, place)
    except OSError as error:
        raise StoreError(f"{folder} cannot be written: {error.strerror or error}.") from error
    for place, log in logs.items():
        if log_fingerprint(read_log(place)) != log_fingerprint(log):
            raise StoreError(f"What was written to {place} does not read back to what is stored.")
    return tuple(logs)


def _folders(names: Iterable[str]) -> dict[str, str]:
    """Folder name of each log; what a file system may not take is spelled in letters that it does."""
    folders: dict[str, str] = {}
    for name in names:
        plain = re.sub(r"[^\w .-]", "_", name).strip(" .") or "log"
        taken = {folder.casefold() for folder in folders.values()}
        spelled = (plain if number == 1 else f"{plain} {number}" for number in count(1))
        folders[name] = next(free for free in spelled if free.casefold() not in taken)
    return folders
