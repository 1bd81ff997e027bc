"""The layers of both packages, lowest first: a module may import its own layer and those below it.

A new module gets its place by its name; one that fits no pattern fails the test until it is given a line here.
"""

from __future__ import annotations

from fnmatch import fnmatchcase

LAYERS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("results", ("analysis.results", "analysis.results_*")),
    ("errors", ("analysis.errors",)),
    ("numerics", ("analysis.numerics*",)),
    ("schema", ("analysis.schema", "analysis.schema_*")),
    (
        "log",
        (
            "analysis.training_log",
            *("analysis.log", "analysis.log_*"),
            *(
                "analysis.cells",
                "analysis.cell_*",
                "analysis.headings",
                "analysis.text_table",
                "analysis.typed_table",
            ),
            *("analysis.csv_files", "analysis.workbooks", "analysis.canonical"),
            *("analysis.checks", "analysis.cross_checks", "analysis.remarks", "analysis.name_remarks"),
        ),
    ),
    (
        "derive",
        (
            *("analysis.derive", "analysis.kept", "analysis.client_settings"),
            *("analysis.observations", "analysis.range_stops"),
        ),
    ),
    ("design", ("analysis.design", "analysis.design_*")),
    ("models", ("analysis.models*",)),
    ("questions", ("analysis.questions*", "analysis.tables", "analysis.tables_*")),
    ("simulation", ("analysis.simulate", "analysis.simulated_*")),
    ("samples", ("dashboard.samples",)),
    ("store", ("dashboard.store*",)),
    (
        "controls",
        (
            "dashboard.controls",
            "dashboard.controls_*",
            "dashboard.session",
            "dashboard.compute",
            "dashboard.compute_*",
            "dashboard.charts*",
            "dashboard.wording*",
            "dashboard.sheet*",
        ),
    ),
    ("views", ("dashboard.views*", "dashboard.answer", "dashboard.cautions")),
    ("app", ("dashboard.app", "dashboard.app_*", "dashboard.command", "dashboard.command_*")),
)

# The packages themselves hold nothing but their names.
EMPTY_PACKAGES = ("analysis", "dashboard")


def layer_of(module: str) -> int | None:
    """Position of a module's layer, lowest 0; None when no pattern fits."""
    for position, (_, patterns) in enumerate(LAYERS):
        for pattern in patterns:
            package = pattern.removesuffix("*")
            whole_package = pattern.endswith("*") and not pattern.endswith("_*")
            if whole_package and (module == package or module.startswith(package + ".")):
                return position
            if fnmatchcase(module, pattern) and not whole_package:
                return position
    return None


def layer_name(module: str) -> str:
    """Name of a module's layer for messages."""
    position = layer_of(module)
    return "no layer" if position is None else LAYERS[position][0]
