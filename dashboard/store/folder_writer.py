"""Begins a client's log in a folder of its own, whole or not at all, and takes it back (layer: store)."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Protocol

from analysis.errors import OptionError
from analysis.log import find_logs, log_fingerprint, read_log, write_log
from analysis.training_log import TrainingLog
from dashboard.store.source import FolderSource, LogSource

_WRITING = Lock()
_HIDDEN = ".ebbline-"
"""Beginning of the names of unfinished folders; a folder of such a name is never read as a log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A client's log that was just written.

    Attributes
    ----------
    client : str
    where : str
        Place in words that a person can find, such as the path of the folder.
    contents : mapping of str to bytes
        Every file by name, as it was written.
    """

    client: str
    where: str
    contents: Mapping[str, bytes]


class LogWriter(Protocol):
    """What a screen needs to begin a client, whatever keeps the logs."""

    def codes(self, owner: str) -> tuple[str, ...]:
        """Codes that are taken."""
        ...

    def begin(self, owner: str, client: str, log: TrainingLog) -> Begun:
        """Write the log of a new client, all of it or nothing."""
        ...

    def take_back(self, owner: str, begun: Begun) -> None:
        """Remove exactly what `begin` wrote, if nothing was added or changed since."""
        ...


class FolderWriter:
    """Writes each new client into a folder of that name inside the folder of logs.

    Parameters
    ----------
    folder : Path
        Folder of logs; made when the first client is written.
    source : LogSource, optional
        What is known of the logs in it; read anew if None.
    """

    def __init__(self, folder: Path, source: LogSource | None = None) -> None:
        self.folder = folder
        self._source = source or FolderSource(folder)

    def codes(self, owner: str) -> tuple[str, ...]:
        """Codes of all logs that can be read there, and names of whatever else lies there."""
        if not self.folder.is_dir():
            return ()
        names = {child.name for child in self.folder.iterdir()}
        clients = {ref.client for ref in self._source.clients(owner)}
        return tuple(sorted(names | clients))

    def begin(self, owner: str, client: str, log: TrainingLog) -> Begun:
        """Write the log of a new client.

        It is written into a hidden folder, read back, compared and then put in its place in one step.

        Raises
        ------
        OptionError
            If the code is taken, or the folder is a log itself, in which a further one would not be found.
        OSError
            If the disk refuses; nothing is left behind then.
        """
        with _WRITING:
            if is_one_log(self.folder):
                raise OptionError(f"{self.folder} is a log itself; choose a folder of logs.")
            if client.casefold() in {code.casefold() for code in self.codes(owner)}:
                raise OptionError(
                    f"There is a client {client!r} in {self.folder} already; choose another code."
                )
            self.folder.mkdir(parents=True, exist_ok=True)
            scratch = Path(tempfile.mkdtemp(prefix=_HIDDEN, dir=self.folder))
            try:
                unfinished, target = scratch / client, self.folder / client
                write_log(log, unfinished)
                if log_fingerprint(read_log(unfinished)) != log_fingerprint(log):
                    raise OSError("What was written does not read back as the same.")
                contents = _contents(unfinished)
                os.rename(unfinished, target)
            finally:
                shutil.rmtree(scratch, ignore_errors=True)
            return Begun(client=client, where=str(target), contents=contents)

    def take_back(self, owner: str, begun: Begun) -> None:
        """Remove exactly what was written.

        Raises
        ------
        OptionError
            If it is gone, or anything was added or changed since; nothing is removed then.
        OSError
            If the disk refuses.
        """
        with _WRITING:
            target = Path(begun.where)
            if not target.is_dir():
                raise OptionError(f"{target} is not there any more; nothing was removed.")
            scratch = Path(tempfile.mkdtemp(prefix=_HIDDEN, dir=self.folder))
            hidden = scratch / target.name
            try:
                os.rename(target, hidden)
                if _contents(hidden) != dict(begun.contents):
                    os.rename(hidden, target)
                    raise OptionError(
                        f"Something was added or changed in {target} since it was written; nothing was removed."
                    )
                shutil.rmtree(hidden)
            finally:
                with suppress(OSError):
                    scratch.rmdir()


def is_one_log(path: Path) -> bool:
    """Whether a path is one log, so that a folder inside it would not be found as another."""
    try:
        return path.exists() and find_logs(path) == (path,)
    except (OptionError, OSError):
        return path.is_file()


def _contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by name, those in folders inside it too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
