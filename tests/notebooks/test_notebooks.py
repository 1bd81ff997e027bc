"""Every notebook runs from top to bottom, stands in git without outputs, and uses public names only."""

from __future__ import annotations

import ast
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))
LONGEST_CELL_S = 300
"""A cell that hangs; none takes more than a few seconds."""


def read(path: Path) -> nbformat.NotebookNode:
    return nbformat.read(path, as_version=4)


def code(path: Path) -> str:
    return "\n\n".join(cell.source for cell in read(path).cells if cell.cell_type == "code")


def test_there_are_five_in_order() -> None:
    assert [path.name[:2] for path in NOTEBOOKS] == ["01", "02", "03", "04", "05"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "1")
    notebook = read(path)
    client = NotebookClient(
        notebook,
        timeout=LONGEST_CELL_S,
        kernel_name="python3",
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    said = [output for cell in notebook.cells for output in cell.get("outputs", [])]
    assert said
    assert not [one for one in said if one.output_type == "error" or one.get("name") == "stderr"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_is_kept_without_outputs(path: Path) -> None:
    for cell in read(path).cells:
        assert not cell.get("outputs")
        assert cell.get("execution_count") is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_uses_public_names_only(path: Path) -> None:
    tree = ast.parse(code(path))
    names = [node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)]
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            names += [*(node.module or "").split("."), *(one.name for one in node.names)]
    assert names
    assert not [name for name in names if name.startswith("_")]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_begins_with_a_title_and_tells_what_it_does(path: Path) -> None:
    first = read(path).cells[0]
    assert first.cell_type == "markdown"
    assert first.source.startswith(f"# {int(path.name[:2])}. ")
