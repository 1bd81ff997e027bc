"""What the architecture tests look at: the modules of both packages and who imports whom."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import grimp

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGES = ("analysis", "dashboard")


@cache
def source_files() -> tuple[Path, ...]:
    """Every Python file of the two packages."""
    files = sorted(path for package in PACKAGES for path in (CHECKOUT / package).rglob("*.py"))
    return tuple(path for path in files if "__pycache__" not in path.parts)


def module_name(path: Path) -> str:
    """Dotted name of a source file, a package's ``__init__`` counting as the package."""
    parts = path.relative_to(CHECKOUT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def parsed(path: Path) -> ast.Module:
    """Syntax tree of a source file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


@cache
def imports() -> dict[str, frozenset[str]]:
    """For every module of the two packages what it imports, inside functions too; other packages by top name."""
    graph = grimp.build_graph(*PACKAGES, include_external_packages=True, cache_dir=None)
    ours = {module_name(path) for path in source_files()}
    return {module: frozenset(graph.find_modules_directly_imported_by(module)) for module in sorted(ours)}
