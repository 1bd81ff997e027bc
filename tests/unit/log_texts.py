"""Small logs written as text, shared by the tests of reading (layer: tests)."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from analysis.log import check_log
from analysis.results import Problem

HEADINGS = "client,date,set,exercise,side,load,reps"
ROW = "K-31,2026-03-02,1,step-down,left,12,8"
SETS = f"{HEADINGS}\n{ROW}\n"


def write_files(folder: Path, files: Mapping[str, str | bytes]) -> Path:
    """Write files into a folder, text as UTF-8; the folder comes back."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    return folder


def problems_of(folder: Path, files: Mapping[str, str | bytes]) -> tuple[Problem, ...]:
    """Problems of a log folder with these files."""
    return check_log(write_files(folder, files)).problems


def one_set(**cells: str) -> str:
    """Text of sets.csv with one sound set, some cells of it changed or added."""
    row = dict(zip(HEADINGS.split(","), ROW.split(","), strict=True)) | cells
    quoted = ('"' + cell.replace('"', '""') + '"' for cell in row.values())
    return f"{','.join(row)}\n{','.join(quoted)}\n"
