"""Keeps the scores of finished clients in a file that only grows, so that a stopped study can go on.

The file is JSON lines, one client a line, each line a gzip member of its own: any gzip reader reads it, and a
member cut off by a stop can be told and removed.
"""

from __future__ import annotations

import gzip
import json
import math
import zlib
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import numpy as np
import pandas as pd

from tests.simulation.study_client import ClientScores, Job

DIGITS = 7
"""Significant digits kept of a number."""
ID = ("world", "seed")
PIECE = 1 << 14
"""Bytes read at a time."""


def append_scores(path: Path, scores: ClientScores) -> None:
    """Add one finished client."""
    tables = {name: _columns(rows) for name, rows in scores.rows.items()}
    record = asdict(scores.job) | {
        "failure": scores.failure,
        "fit": {name: _plain(value) for name, value in scores.fit.items()},
        "rows": tables,
    }
    line = json.dumps(record, separators=(",", ":"), allow_nan=False) + "\n"
    with path.open("ab") as file:
        file.write(gzip.compress(line.encode(), mtime=0))


def finished_jobs(path: Path) -> set[Job]:
    """Clients already in the file; an unfinished last record is cut off first."""
    if not path.exists():
        return set()
    whole = 0
    jobs = set()
    for end, record in _records(path):
        whole = end
        jobs.add(Job(**{name: record[name] for name in ("world", "seed", "n_draws", "model_version")}))
    if whole < path.stat().st_size:
        with path.open("r+b") as file:
            file.truncate(whole)
    return jobs


def read_scores(path: Path) -> dict[str, pd.DataFrame]:
    """Frames of everything scored.

    Parameters
    ----------
    path : Path

    Returns
    -------
    dict of str to DataFrame
        ``clients``, one row a client with how the fit went and its failure, and one frame for each table of
        scores; all have ``world`` and ``seed``.
    """
    clients: list[dict[str, object]] = []
    parts: dict[str, list[pd.DataFrame]] = {}
    for _, record in _records(path):
        identity = {name: record[name] for name in ID}
        clients.append(
            {name: record[name] for name in ("world", "seed", "n_draws", "model_version", "failure")}
            | {("fit_draws" if name == "n_draws" else name): value for name, value in record["fit"].items()}
        )
        for name, columns in record["rows"].items():
            if columns:
                parts.setdefault(name, []).append(pd.DataFrame(identity | columns))
    frames = {name: pd.concat(frame, ignore_index=True) for name, frame in parts.items()}
    return {"clients": pd.DataFrame(clients)} | frames


def _records(path: Path) -> Iterator[tuple[int, dict]]:  # type: ignore[type-arg]
    """Whole records with the place in the file where each ends; stops at one that was cut off."""
    data = memoryview(path.read_bytes())
    end = 0
    while end < len(data):
        member = zlib.decompressobj(wbits=zlib.MAX_WBITS | 16)
        line = b""
        while not member.eof:
            piece = data[end : end + PIECE]
            if not piece:
                return
            line += member.decompress(piece)
            end += len(piece)
        end -= len(member.unused_data)
        yield end, json.loads(line)


def _columns(rows: list[dict[str, object]]) -> dict[str, list[object]]:
    names = dict.fromkeys(name for row in rows for name in row)
    return {name: [_plain(row.get(name)) for row in rows] for name in names}


def _plain(value: object) -> object:
    """What JSON can hold: numbers of some digits, nothing for not-a-number."""
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None
    return value
