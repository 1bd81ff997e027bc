"""Takes everything out of the store as logs that read back to the same (layer: store)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from analysis.errors import OptionError
from analysis.log import find_logs, log_fingerprint, read_log, write_log
from analysis.training_log import TrainingLog
from dashboard.store.engine import Store
from dashboard.store.refusals import StoreError
from dashboard.store.stored_logs import logs_of, stored_log


def export_logs(store: Store, owner: str, folder: Path) -> tuple[Path, ...]:
    """Write all that an owner has logged, and read it back.

    Parameters
    ----------
    store : Store
    owner : str
    folder : Path
        Becomes the log itself when the store has one, else a folder of logs; made if it is not there.

    Returns
    -------
    tuple of Path
        The log folders written.

    Raises
    ------
    OptionError
        If there is a log in the folder already, or nothing to write.
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
    if folder.exists() and (not folder.is_dir() or find_logs(folder)):
        raise OptionError(f"There is a log in {folder} already; choose an empty folder.")
    places = _places(folder, logs)
    try:
        for name, log in logs.items():
            write_log(log, places[name])
    except OSError as error:
        raise StoreError(f"{folder} cannot be written: {error.strerror or error}.") from error
    for name, log in logs.items():
        if log_fingerprint(read_log(places[name])) != log_fingerprint(log):
            raise StoreError(f"What was written to {places[name]} does not read back to what is stored.")
    return tuple(places.values())


def _places(folder: Path, logs: Mapping[str, TrainingLog]) -> dict[str, Path]:
    """Folder of each log; names that a file system may not take are spelled in letters that it does."""
    if len(logs) == 1:
        return dict.fromkeys(logs, folder)
    places: dict[str, Path] = {}
    for name in logs:
        plain = re.sub(r"[^\w .-]", "_", name).strip(" .") or "log"
        taken = {place.name.casefold() for place in places.values()}
        number = 1
        while (spelled := plain if number == 1 else f"{plain} {number}").casefold() in taken:
            number += 1
        places[name] = folder / spelled
    return places
