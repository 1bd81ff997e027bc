"""Imports go one way, by absolute names, without circles, and third parties stay where they belong."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from graphlib import CycleError, TopologicalSorter

import pytest
from packaging.requirements import Requirement

from tests.architecture.layers import EMPTY_PACKAGES, layer_name, layer_of
from tests.architecture.modules import CHECKOUT, PACKAGES, imports, module_name, parsed, source_files

# Import names that differ from the distribution's name.
DISTRIBUTION_OF = {"sqlalchemy": "sqlalchemy", "yaml": "pyyaml", "vl_convert": "vl-convert-python"}
SCREEN_LIBRARIES = {"streamlit", "altair", "click"}
ALLOWED_IN_NUMERICS = {"numpy", "scipy"}


def is_ours(name: str) -> bool:
    return name.split(".")[0] in PACKAGES


def third_parties(module: str) -> set[str]:
    tops = {name.split(".")[0] for name in imports()[module] if not is_ours(name)}
    return tops - set(sys.stdlib_module_names)


def modules_under(prefix: str) -> list[str]:
    return [name for name in imports() if name == prefix or name.startswith(prefix + ".")]


def test_every_module_has_a_layer() -> None:
    homeless = [name for name in imports() if layer_of(name) is None and name not in EMPTY_PACKAGES]
    assert homeless == [], "give these a line in tests/architecture/layers.py"


def test_no_module_imports_a_layer_above_its_own() -> None:
    upward = []
    for module, imported in imports().items():
        own = layer_of(module)
        for other in filter(is_ours, imported):
            above = layer_of(other)
            if own is not None and above is not None and above > own:
                upward.append(f"{module} ({layer_name(module)}) imports {other} ({layer_name(other)})")
    assert upward == []


def test_no_circles() -> None:
    graph = {module: set(filter(is_ours, imported)) for module, imported in imports().items()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail("these modules import each other: " + " <- ".join(error.args[1]))


def test_imports_are_absolute() -> None:
    relative = [
        f"{module_name(path)}, line {node.lineno}"
        for path in source_files()
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.ImportFrom) and node.level > 0
    ]
    assert relative == []


def test_numerics_know_arrays_only() -> None:
    for module in modules_under("analysis.numerics"):
        assert third_parties(module) <= ALLOWED_IN_NUMERICS, module
        ours = {name for name in imports()[module] if is_ours(name)}
        assert all(layer_name(name) in {"numerics", "errors", "results"} for name in ours), module


def test_the_analysis_knows_no_screen() -> None:
    for module in modules_under("analysis"):
        assert not third_parties(module) & SCREEN_LIBRARIES, module


@pytest.mark.parametrize(
    "package", ["dashboard.charts", "dashboard.wording", "dashboard.store", "dashboard.samples"]
)
def test_charts_words_and_store_know_no_streamlit(package: str) -> None:
    modules = modules_under(package)
    assert modules, f"{package} is gone"
    for module in modules:
        assert "streamlit" not in third_parties(module), module


def test_charts_draw_and_do_not_fit() -> None:
    for module in modules_under("dashboard.charts"):
        reached = {name for name in imports()[module] if layer_name(name) in {"numerics", "design", "models"}}
        assert reached == set(), module


def test_every_third_party_is_a_declared_dependency() -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {re.sub(r"[-_.]+", "-", Requirement(line).name).lower() for line in project["dependencies"]}
    undeclared = {
        f"{module} imports {name}"
        for module in imports()
        for name in third_parties(module)
        if DISTRIBUTION_OF.get(name, name.lower().replace("_", "-")) not in declared
    }
    assert undeclared == set()


def test_every_dependency_has_a_lower_bound() -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [line for group in project["optional-dependencies"].values() for line in group]
    unbounded = [line for line in [*project["dependencies"], *extras] if ">=" not in line]
    assert unbounded == []
