"""The wheel is whole: installed away from the checkout it checks and reviews the samples it brings along."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import tomllib
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.architecture.modules import CHECKOUT, source_files

STORY = "K-07"


@dataclass(frozen=True, slots=True, kw_only=True)
class Installed:
    """An environment that holds the wheel, and the dependencies of the one the tests run in."""

    python: Path
    outside: Path

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
        command = [str(self.python), *arguments]
        return subprocess.run(
            command,
            cwd=self.outside,
            env=environment,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(build, cwd=CHECKOUT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (built,) = folder.glob("ebbline-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Installed:
    folder = tmp_path_factory.mktemp("installed")
    environment = folder / "environment"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(environment)], check=True)
    python = environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    find = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = Path(
        subprocess.run([str(python), "-c", find], check=True, capture_output=True, text=True).stdout.strip()
    )
    # As a plain path: its own .pth files, which would lead to the checkout, are not followed.
    (site / "dependencies.pth").write_text(f"{sysconfig.get_path('purelib')}\n", encoding="utf-8")
    pip = [sys.executable, "-m", "pip", "--python", str(python), "install", "--quiet"]
    done = subprocess.run(
        [*pip, "--no-deps", "--no-index", "--ignore-installed", str(wheel)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    outside = folder / "outside"
    outside.mkdir()
    return Installed(python=python, outside=outside)


def test_the_wheel_holds_every_module_and_what_lies_beside_them(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    modules = {path.relative_to(CHECKOUT).as_posix() for path in source_files()}
    assert modules <= inside
    assert "dashboard/.streamlit/config.toml" in inside
    assert {f"dashboard/sample_logs/{STORY}/sets.csv", "dashboard/sample_logs/README.md"} <= inside
    assert "dashboard/run" not in inside


def test_it_is_the_installed_copy_that_runs(installed: Installed) -> None:
    where = "import analysis, dashboard; print(analysis.__file__); print(dashboard.__file__)"
    done = installed.run("-c", where)
    assert done.returncode == 0, done.stderr
    assert all(line.startswith(str(installed.python.parents[1])) for line in done.stdout.splitlines())


def test_the_version_is_that_of_the_project(installed: Installed) -> None:
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    done = installed.run("-m", "dashboard.command", "--version")
    assert done.stdout.split() == ["ebbline,", "version", project["version"]], done.stderr


def test_the_console_script_checks_the_samples_it_brings(installed: Installed) -> None:
    where = "from dashboard.samples import samples_folder; print(samples_folder())"
    samples = Path(installed.run("-c", where).stdout.strip())
    assert installed.python.parents[1] in samples.parents
    script = installed.python.with_name("ebbline.exe" if os.name == "nt" else "ebbline")
    done = subprocess.run(
        [str(script), "check", str(samples / STORY), "--json"],
        cwd=installed.outside,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    answer = json.loads(done.stdout)
    assert answer["problems"] == []
    assert answer["n_rows"] > 100


def test_it_reviews_a_sample(installed: Installed) -> None:
    program = (
        "import sys; from dashboard.samples import samples_folder; from dashboard.command import run;"
        f"sys.exit(run(['review', '{STORY}', '--logs', str(samples_folder() / '{STORY}'), '--json']))"
    )
    done = installed.run("-c", program)
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["client"] == STORY
    assert any(line["status"] == "reached" for line in answer["pain_line"])


def test_it_makes_a_page_with_the_fonts_it_brings(installed: Installed) -> None:
    page = installed.outside / "page.pdf"
    program = (
        "import sys; from dashboard.samples import samples_folder; from dashboard.command import run;"
        f"sys.exit(run(['sheet', 'N-01', '--logs', str(samples_folder() / 'N-01'), '--out', {str(page)!r}]))"
    )
    done = installed.run("-c", program)
    assert done.returncode == 0, done.stderr
    assert page.read_bytes().startswith(b"%PDF")
