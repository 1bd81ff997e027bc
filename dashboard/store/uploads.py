"""Uploaded files as one log, by way of a folder that is removed at once (layer: store)."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath

from analysis.errors import OptionError
from analysis.log import LogCheck, check_log
from analysis.training_log import TrainingLog
from dashboard.store.source import BrokenLog, ClientRef, FolderSource

NAME_OF_MANY = "uploaded files"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UploadedSource:
    """A log held in memory, for this browser tab only; a `LogSource` for whoever uploaded it.

    Attributes
    ----------
    name : str
        Name of the file, or what many files are called together.
    check : LogCheck
        Every problem and remark.
    held : tuple of (ClientRef, TrainingLog, str)
        Each client with its log and revision; empty when the log was refused.
    """

    name: str
    check: LogCheck
    held: tuple[tuple[ClientRef, TrainingLog, str], ...]

    def clients(self, owner: str) -> tuple[ClientRef, ...]:
        """Clients of the upload, by code."""
        return tuple(ref for ref, _, _ in self.held)

    def log(self, owner: str, client: str) -> tuple[TrainingLog, str]:
        """Log that holds the client, and its revision.

        Raises
        ------
        OptionError
            If the upload has no such client.
        """
        for ref, log, revision in self.held:
            if ref.client == client:
                return log, revision
        there = ", ".join(ref.client for ref, _, _ in self.held) or "none"
        raise OptionError(f"There is no client {client!r} in {self.name}; there are: {there}.")

    def every_log(self, owner: str) -> tuple[tuple[ClientRef, TrainingLog, str], ...]:
        """Every client with the log and its revision."""
        return self.held

    def problems(self, owner: str) -> tuple[BrokenLog, ...]:
        """The upload itself when it was refused."""
        if not self.check.problems:
            return ()
        return (BrokenLog(path=Path(self.name), problems=tuple(self.check.problems)),)


def read_uploaded(files: Sequence[tuple[str, bytes]], *, owner: str) -> UploadedSource:
    """Read uploaded files as one log.

    Parameters
    ----------
    files : sequence of (str, bytes)
        Name and content of each; folders in a name are dropped. One workbook, one table of sets, or the
        CSV files of one log.
    owner : str

    Returns
    -------
    UploadedSource
        Good or with every problem. No file stays on the disk.
    """
    names = [PurePath(name.replace("\\", "/")).name for name, _ in files]
    with tempfile.TemporaryDirectory(prefix="ebbline-") as place:
        folder = Path(place) / "log"
        folder.mkdir()
        for name, (_, content) in zip(names, files, strict=True):
            (folder / name).write_bytes(content)
        path = folder / names[0] if len(names) == 1 else folder
        shown = names[0] if len(names) == 1 else NAME_OF_MANY
        check = check_log(path)
        source = FolderSource(path)
        refs = () if check.problems else source.clients(owner)
        held = tuple((replace(ref, log_name=shown), *source.log(owner, ref.client)) for ref in refs)
    return UploadedSource(name=shown, check=check, held=held)
