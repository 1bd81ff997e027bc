"""What a coach has looked at, kept in one small file over a restart (layer: store)."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

SCHEMA = 1
FILE_NAME = "looked_at.json"
Marks = tuple[str, ...]

_WRITING = Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAt:
    """What was read: marks by name (a client, a log), and why nothing was, in words."""

    marks: Mapping[str, Marks]
    remark: str | None


class LookedAtFile:
    """The news that were looked at, by the place of the logs and by client.

    A file that is damaged or of a newer kind is not used and not written over by reading; the next
    ``put`` begins a new one beside the old, which is kept with the ending ``.damaged``.

    Parameters
    ----------
    folder : Path
        Made when something is first put into it.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / FILE_NAME

    def read(self, place: str) -> LookedAt:
        """What was looked at in the logs of one place."""
        try:
            there = self._places().get(place, {})
        except (OSError, ValueError) as error:
            return LookedAt(marks={}, remark=_remark(self.path, error))
        return LookedAt(marks={name: tuple(marks) for name, marks in there.items()}, remark=None)

    def put(self, place: str, name: str, marks: Sequence[str]) -> None:
        """Remember that these were looked at; what was there of that name before is forgotten, all of it for no marks.

        Raises
        ------
        OSError
            If the file cannot be written; what it held stays.
        """
        with _WRITING:
            try:
                places = self._places()
            except ValueError:
                os.replace(self.path, self.path.with_suffix(".damaged"))
                places = {}
            mine = {other: each for other, each in places.get(place, {}).items() if other != name}
            if marks:
                mine[name] = list(marks)
            places = {other: each for other, each in places.items() if other != place}
            if mine:
                places[place] = mine
            self._write({"schema": SCHEMA, "looked_at": places})

    def _places(self) -> dict[str, dict[str, list[str]]]:
        """What the file holds; ValueError unless it is all as it was written."""
        try:
            text = self.path.read_text(encoding="utf-8")
        except FileNotFoundError:
            return {}
        held = json.loads(text)
        if not isinstance(held, dict) or held.get("schema") != SCHEMA:
            raise ValueError("it is of another kind")
        places: dict[str, dict[str, list[str]]] = held.get("looked_at", {})
        if not _is_as_written(places):
            raise ValueError("something else stands in it")
        return places

    def _write(self, held: object) -> None:
        """All of it or nothing: written beside, then put in its place; for this person's eyes."""
        self.path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".looked_at-", dir=self.path.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                json.dump(held, file, indent=1, ensure_ascii=False, sort_keys=True)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, self.path)
        except BaseException:
            with suppress(OSError):
                os.unlink(name)
            raise


def _is_as_written(places: object) -> bool:
    return isinstance(places, dict) and all(
        isinstance(place, str)
        and isinstance(names, dict)
        and all(
            isinstance(name, str) and isinstance(marks, list) and all(isinstance(one, str) for one in marks)
            for name, marks in names.items()
        )
        for place, names in places.items()
    )


def _remark(path: Path, error: Exception) -> str:
    what = error.strerror if isinstance(error, OSError) and error.strerror else "it is damaged"
    return (
        f"What was looked at before cannot be read from {path} ({what.lower()}); everything is shown."
        " It begins anew with the next one looked at."
    )
