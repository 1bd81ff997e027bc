"""Files are small rooms with a name of their own and one sentence over the door."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from tests.architecture.modules import CHECKOUT, module_name, parsed, source_files

LONGEST_FILE = 300  # lines
SAYS_NOTHING = {"utils", "util", "helpers", "helper", "base", "common", "misc"}

FILES = pytest.mark.parametrize("path", source_files(), ids=module_name)


def test_there_is_something_to_look_at() -> None:
    assert len(source_files()) > 10


@FILES
def test_a_file_stops_at_300_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE


@FILES
def test_a_name_says_what_is_inside(path: Path) -> None:
    assert path.stem not in SAYS_NOTHING
    assert path.parent.name not in SAYS_NOTHING | {"pages"}  # Streamlit runs a folder "pages" on its own


def test_nothing_beside_the_entry_script_hides_another_module() -> None:
    """The folder of the entry script is where Python looks first, so its files could replace others everywhere."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    dependencies = {Requirement(line).name.lower().replace("-", "_") for line in project["dependencies"]}
    beside = {
        path.stem for path in (CHECKOUT / "dashboard").iterdir() if path.suffix == ".py" or path.is_dir()
    }
    assert not beside & (dependencies | sys.stdlib_module_names)


@FILES
def test_the_first_line_says_the_job_and_the_layer(path: Path) -> None:
    if not path.read_text(encoding="utf-8").strip():
        assert path.name == "__init__.py", "an empty module has no job"
        return
    text = ast.get_docstring(parsed(path))
    assert text, "the module has no docstring"
    assert re.search(r"\(layer: [\w ,/]+\)\.$", text.splitlines()[0]), text.splitlines()[0]


def test_every_folder_of_modules_is_a_package() -> None:
    """Without ``__init__.py`` a folder works in a checkout and may be left out or mixed up elsewhere."""
    folders = {path.parent for path in source_files()}
    assert [folder.name for folder in sorted(folders) if not (folder / "__init__.py").is_file()] == []
