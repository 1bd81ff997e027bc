"""What a store should hold, kept in memory in the plainest way: the rows, and what each change replaced."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import pandas as pd

from analysis.errors import LogError
from analysis.log import log_from_frames
from analysis.schema import TABLES
from analysis.training_log import TrainingLog
from dashboard.store.rows import frame_rows

Cells = Mapping[str, str]
At = tuple[str, str]
"""File and id; rows that came by an import have an id of the model's own."""
LOG_OF = {"A-1": "hill", "B-1": "hill", "C-1": "mill"}


@dataclass(slots=True)
class Model:
    """Rows by file and id; changes that can be undone and done again, as states before and after."""

    rows: dict[At, Cells] = field(default_factory=dict)
    done: list[tuple[dict[At, Cells], dict[At, Cells]]] = field(default_factory=list)
    undone: list[tuple[dict[At, Cells], dict[At, Cells]]] = field(default_factory=list)
    logs: dict[At, str] = field(default_factory=dict)
    n_imported: int = 0

    def change_to(self, rows: dict[At, Cells]) -> None:
        """Remember a change; one that changes nothing is none."""
        if rows != self.rows:
            self.done.append((self.rows, rows))
            self.undone.clear()
            self.rows = rows

    def undo(self) -> bool:
        """Take the last change back; False when there is none."""
        if self.done:
            self.undone.append(self.done.pop())
            self.rows = self.undone[-1][0]
            return True
        return False

    def redo(self) -> bool:
        """Do it again; False when there is nothing to."""
        if self.undone:
            self.done.append(self.undone.pop())
            self.rows = self.done[-1][1]
            return True
        return False

    def contents(self) -> list[tuple[str, ...]]:
        """Every row: its log, its file, its cells."""
        return sorted((self.log_of(at, cells), at[0], *cells.values()) for at, cells in self.rows.items())

    def log_of(self, at: At, cells: Cells) -> str:
        """Log a row is in."""
        return LOG_OF[cells["client"]] if "client" in cells else self.logs[at]

    def log(self, name: str) -> TrainingLog:
        """One log, by the reader's own rules."""
        return read({at: cells for at, cells in self.rows.items() if self.log_of(at, cells) == name})

    def is_sound(self, rows: dict[At, Cells]) -> bool:
        """Whether these rows would be a log for each of their logs, and every pain has its set."""
        sets = {_key(at, cells)[1:] for at, cells in rows.items() if at[0] == "sets"}
        pains = {_key(at, cells)[1:5] for at, cells in rows.items() if at[0] == "pains"}
        try:
            for name in sorted(set(LOG_OF.values())):
                read({at: cells for at, cells in rows.items() if self.log_of(at, cells) == name})
        except LogError:
            return False
        return pains <= sets

    def merged(self, name: str, log: TrainingLog, *, take: bool) -> tuple[dict[At, Cells], int]:
        """Rows once a log is brought in, and how many rows would change."""
        rows, n_changed = dict(self.rows), 0
        for table in TABLES:
            incoming = frame_rows(table, log.frame(table))
            here = {
                _key(at, cells): at
                for at, cells in rows.items()
                if at[0] == table and self.log_of(at, cells) == name
            }
            left = Counter(tuple(cells.values()) for at, cells in rows.items() if at[0] == table)
            filled = {column for cells in incoming for column in cells if cells[column]}
            for cells in incoming:
                self.n_imported += 1
                new = (table, f"imported {self.n_imported}")
                if not TABLES[table].key:
                    if left[tuple(cells.values())] > 0:
                        left[tuple(cells.values())] -= 1
                    else:
                        rows[new] = cells
                elif (at := here.get(_key(new, cells))) is None:
                    rows[new] = cells
                    self.logs[new] = name
                else:
                    wanted = {c: cells[c] if c in filled else rows[at][c] for c in cells}
                    n_changed += wanted != rows[at]
                    rows[at] = wanted if take else rows[at]
        return rows, n_changed


def read(rows: Mapping[At, Cells]) -> TrainingLog:
    """Log of some rows; LogError when they are none."""
    frames: dict[str, Sequence[Cells]] = {}
    for (table, _), cells in rows.items():
        frames[table] = [*frames.get(table, ()), cells]
    frames.setdefault("sets", [])
    columns = {name: list(TABLES[name].column_names) for name in frames}
    return log_from_frames(
        **{name: pd.DataFrame(some, columns=columns[name], dtype="object") for name, some in frames.items()}
    )


def _key(at: At, cells: Cells) -> tuple[str, ...]:
    return (at[0], *(cells[column] for column in TABLES[at[0]].key))
