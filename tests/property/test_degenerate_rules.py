"""The degenerate logs themselves: sound, varied and repeatable; and checks that do find what is wrong."""

from __future__ import annotations

import ast
import dataclasses
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import analysis
from analysis.log import log_from_frames
from analysis.models.pain_fit import PainFit, PainOptions
from analysis.questions.review import Review, review
from analysis.results import PainLine, Withheld
from tests.property import degenerate_checks
from tests.property.degenerate import AXES, degenerate_log, drawn_kinds, generator
from tests.small_logs import small_log, squat

SEEDS = range(1_000_000, 1_000_300)
ANSWERING = ("questions", "models", "tables.py", "tables_")
"""Parts of the package whose modules make answers."""


def test_the_logs_keep_every_rule_of_files() -> None:
    for seed in SEEDS[:12]:
        made = degenerate_log(seed)
        read = log_from_frames(**made.frames)
        for name in made.frames:
            pd.testing.assert_frame_equal(read.frame(name), made.log.frame(name))


def test_the_seeds_of_the_suite_meet_every_kind_of_every_axis() -> None:
    seen = {(axis, kind) for seed in SEEDS for axis, kind in drawn_kinds(generator(seed)).items()}
    assert seen == {(axis, kind) for axis, kinds in AXES.items() for kind in kinds}


def test_a_seed_makes_the_same_log_again() -> None:
    one, two = degenerate_log(7), degenerate_log(7)
    assert one.kinds == two.kinds
    pd.testing.assert_frame_equal(one.log.sets, two.log.sets)


def test_no_module_that_makes_answers_catches_an_exception() -> None:
    """So that no fault can come out as an answer withheld."""
    root = Path(analysis.__file__).parent
    caught = []
    for path in root.rglob("*.py"):
        if not str(path.relative_to(root)).startswith(ANSWERING):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if any(isinstance(node, ast.Name) and node.id == "Withheld" for node in ast.walk(tree)):
            caught += [path.name for node in ast.walk(tree) if isinstance(node, ast.ExceptHandler)]
    assert caught == []


@pytest.fixture(scope="module")
def told() -> Review:
    loads = (8.0, 10.0, 12.0)
    rows = [
        squat(2 * session, i + 1, load, 4 if load == 12.0 and session % 3 else 0)
        for session in range(12)
        for i, load in enumerate(loads)
    ]
    return review(small_log(rows), client="T-01", options=PainOptions(n_draws=128))


Change = Callable[[PainLine], PainLine | Withheld]


@pytest.mark.parametrize(
    "change",
    [
        lambda line: dataclasses.replace(line, low_kg=line.high_kg + 1.0),
        lambda line: dataclasses.replace(line, low95_kg=-1.0),
        lambda line: dataclasses.replace(line, load_kg=None),
        lambda line: dataclasses.replace(line, last=dataclasses.replace(line.last, high=1.5)),
        lambda line: dataclasses.replace(line, last=dataclasses.replace(line.last, chance=0.999)),
        lambda line: dataclasses.replace(line, status="lower_only"),
        lambda line: Withheld(reason="It failed.", remedy="Try again."),
    ],
)
def test_an_unsound_line_is_found(told: Review, change: Change) -> None:
    row = next(row for row in told.lines if isinstance(row.answer, PainLine))
    assert isinstance(row.answer, PainLine)
    assert row.answer.status == "reached"
    degenerate_checks._check_row(row)
    with pytest.raises(AssertionError):
        degenerate_checks._check_row(dataclasses.replace(row, answer=change(row.answer)))


@pytest.mark.parametrize("value", [np.nan, np.inf])
def test_a_number_that_is_not_finite_is_found_wherever_it_stands(told: Review, value: float) -> None:
    degenerate_checks._check_finite(told)
    worst = dataclasses.replace(told.fit, share_of_zeros=value)
    with pytest.raises(AssertionError, match=r"Review\.fit\.share_of_zeros"):
        degenerate_checks._check_finite(dataclasses.replace(told, fit=worst))
    with pytest.raises(AssertionError, match=r"\.loads\[0\]\.load_kg"):
        degenerate_checks._check_finite(_with_load(told, value))


def test_a_warning_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def warn(*args: object, **more: object) -> None:
        warnings.warn("divide by zero", RuntimeWarning, stacklevel=2)

    monkeypatch.setattr(degenerate_checks, "review", warn)
    with pytest.raises(RuntimeWarning):
        degenerate_checks.check_degenerate(degenerate_log(1), PainOptions(n_draws=128), n_lines=0)


def _with_load(told: Review, value: float) -> Review:
    (key, tried), *others = told.fit.tried.items()
    spoilt = dataclasses.replace(
        tried, loads=(dataclasses.replace(tried.loads[0], load_kg=value), *tried.loads[1:])
    )
    fit: PainFit = dataclasses.replace(told.fit, tried={key: spoilt, **dict(others)})
    return dataclasses.replace(told, fit=fit)
