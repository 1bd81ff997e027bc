"""The few exceptions this package raises, each carrying what a caller needs to show (layer: errors)."""

from __future__ import annotations

from collections.abc import Sequence

from analysis.results import Problem


class EbblineError(Exception):
    """Root of every exception raised on purpose by this package."""


class LogError(EbblineError):
    """A log that cannot be read; holds every problem of every file at once.

    Parameters
    ----------
    problems : sequence of Problem
        All problems found, in the order of file and row. Never empty.
    """

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(problem.sentence for problem in self.problems))


class OptionError(EbblineError):
    """An argument outside what the function takes; the message says what to choose instead."""


class FitError(EbblineError):
    """The numerical fit did not reach a usable answer; a fault to report, not an expected outcome."""
