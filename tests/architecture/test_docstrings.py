"""Public functions of the analysis are documented as numpydoc asks: summary, every parameter, what comes back."""

from __future__ import annotations

import ast
from importlib import import_module

import pytest
from numpydoc.validate import validate

from tests.architecture.modules import CHECKOUT, module_name, parsed, source_files

# numpydoc's own codes. Everywhere: there is a docstring, its summary ends with a full stop, and what it says
# about parameters is true. For the interface and the numbers-only core also: nothing is left out.
EVERYWHERE = {"GL08", "SS01", "SS03", "SS04", "PR02", "PR03"}
COMPLETE = EVERYWHERE | {"PR01", "PR04", "RT01"}

# What other programs call.
INTERFACE = {
    "analysis.derive.derive_sets",
    "analysis.log.check_log",
    "analysis.log.log_from_frames",
    "analysis.log.read_log",
    "analysis.models.cumulative_link_mixed.fit_cumulative_link_mixed",
    "analysis.models.linear_companion.fit_linear_companion",
    "analysis.models.pain_model.fit_pain_model",
    "analysis.questions.chance_of_pain.chance_of_pain",
    "analysis.questions.harder.harder",
    "analysis.questions.line_history.line_history",
    "analysis.questions.month.month_summary",
    "analysis.questions.pain_line.pain_line",
    "analysis.questions.review.review",
    "analysis.questions.what_next.what_next",
    "analysis.simulate.simulate_client",
    "analysis.tables.review_json",
}


def public_functions() -> list[str]:
    names = []
    for path in source_files():
        if path.is_relative_to(CHECKOUT / "analysis"):
            functions = [node for node in parsed(path).body if isinstance(node, ast.FunctionDef)]
            names += [
                f"{module_name(path)}.{node.name}" for node in functions if not node.name.startswith("_")
            ]
    return names


def test_the_interface_is_there() -> None:
    assert set(public_functions()) >= INTERFACE


@pytest.mark.parametrize("name", public_functions())
def test_docstring(name: str) -> None:
    import_module(name.rpartition(".")[0])
    complete = name in INTERFACE or name.startswith("analysis.numerics.")
    looked_for = COMPLETE if complete else EVERYWHERE
    faults = [f"{code}: {what}" for code, what in validate(name)["errors"] if code in looked_for]
    assert faults == []
