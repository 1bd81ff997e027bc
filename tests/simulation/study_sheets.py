"""The sheets of the study: which tables are laid out, in which order, with which columns."""

from __future__ import annotations

from tests.simulation.study_markdown import Sheet, Words, count, number, text, with_limits
from tests.simulation.study_tables import EVERY

FITS = Sheet(
    title="Fits",
    table="fits",
    columns=(
        ("world", text("world")),
        ("clients", count("clients")),
        ("seeds", lambda cell: f"{cell['first_seed']:.0f} to {cell['last_seed']:.0f}"),
        ("failures", count("failures")),
        ("converged", number("converged", 3)),
        ("draws, median", count("median_draws")),
        ("seconds, median", number("median_seconds")),
        ("sets asked, median", count("median_asked")),
        ("unasked", number("unasked_share")),
    ),
)
_COVERAGE: tuple[tuple[str, Words], ...] = (
    ("clients", count("clients")),
    ("95 % interval holds", with_limits("cov95")),
    ("80 % interval holds", with_limits("cov80")),
    ("lower 90 % limit right", with_limits("lower90")),
)
_ERRORS: tuple[tuple[str, Words], ...] = (
    ("80 % width", number("width80")),
    ("bias", with_limits("bias", sign=True)),
    ("RMSE", number("rmse")),
)
_LINE: tuple[tuple[str, Words], ...] = (("lines", count("lines")), *_COVERAGE, *_ERRORS)


def _line_sheet(kind: str, setting: str, chance: float, title: str, table: str = "lines") -> Sheet:
    return Sheet(
        title=title,
        table=table,
        where={"kind": kind, "setting": setting, "chance": chance, "status": EVERY},
        columns=(
            ("world", text("world")),
            *_LINE,
            ("stated bounds right", number("printed_right", 3)),
            ("withheld or lower end only", number("open_share", 3)),
        ),
    )


def _status_sheet(kind: str, setting: str, title: str) -> Sheet:
    return Sheet(
        title=title,
        table="lines",
        where={"kind": kind, "setting": setting, "chance": 0.2},
        without={"status": EVERY},
        columns=(
            ("world", text("world")),
            ("status", text("status")),
            ("share", number("share")),
            *_LINE,
            ("stated bounds right", with_limits("printed_right")),
        ),
    )


def _chance_sheet(where: str, table: str = "chances", blanks: str = "") -> Sheet:
    return Sheet(
        title=f"Chance at {'the ' if where == 'last load' else ''}{where}, usual setting, base variant{blanks}",
        table=table,
        where={"kind": "base", "setting": "usual", "where": where, "status": EVERY},
        columns=(
            ("world", text("world")),
            ("lines", count("lines")),
            *_COVERAGE,
            ("upper 90 % limit right", with_limits("upper90")),
            ("95 % within .01", number("near95", 3)),
            ("80 % within .01", number("near80", 3)),
            ("true chance, mean", number("mean_truth", 3)),
            ("stated minus true, mean", number("mean_bias", 3, sign=True)),
            ("80 % width", number("width80")),
        ),
    )


def _chance_status_sheet(where: str) -> Sheet:
    return Sheet(
        title=f"Chance at {'the ' if where == 'last load' else ''}{where} by status of the line",
        table="chances",
        where={"kind": "base", "setting": "usual", "where": where},
        without={"status": EVERY},
        columns=(
            ("world", text("world")),
            ("status", text("status")),
            ("lines", count("lines")),
            *_COVERAGE,
            ("upper 90 % limit right", with_limits("upper90")),
            ("95 % within .01", number("near95", 3)),
            ("80 % within .01", number("near80", 3)),
            ("stated minus true, mean", number("mean_bias", 3, sign=True)),
        ),
    )


_IF_QUIET = ", blanks read as 0 or 1, clients with many blanks"
_FORECASTS = Sheet(
    title="Forecasts of the next session: first set of each exercise and side, where all forecast it",
    table="forecasts",
    columns=(
        ("world", text("world")),
        ("forecast", text("forecast")),
        ("sets", count("lines")),
        ("clients", count("clients")),
        ("Brier score", with_limits("brier", 4)),
        ("over client rate's", with_limits("brier_of_client_rate")),
        ("log loss", with_limits("log_loss", 4)),
        ("over client rate's", with_limits("log_loss_of_client_rate")),
        ("mean forecast", number("mean_forecast", 3)),
        ("hurt", number("mean_hurt", 3)),
        ("calibration slope", number("calibration_slope")),
    ),
)
_PROPOSALS = Sheet(
    title="Proposed loads against an oracle with the same cap, base variant, usual setting",
    table="proposals",
    columns=(
        ("world", text("world")),
        ("rule", text("rule")),
        ("lines", count("lines")),
        ("true chance, mean", with_limits("mean_truth")),
        ("over .25", with_limits("over_25")),
        ("over .30", with_limits("over_30")),
        ("given up, octaves", with_limits("given_up")),
        ("up", number("up")),
        ("hold", number("hold")),
        ("down", number("down")),
        ("down after a quiet day", number("down_after_quiet")),
        ("no load within the rule", number("none_feasible", 3)),
        ("no quiet load", number("no_quiet_load", 3)),
    ),
)

SHEETS = (
    FITS,
    _line_sheet(
        "base", "fixed", 0.2, "Line at 2 of 10, base variant, fixed setting: every exercise and side"
    ),
    _line_sheet(
        "base", "usual", 0.2, "Line at 2 of 10, base variant, usual setting: every exercise and side"
    ),
    _line_sheet("alternative", "usual", 0.2, "Line at 2 of 10, alternative variants, usual setting"),
    _line_sheet("base", "fixed", 0.5, "Line at even odds, base variant, fixed setting"),
    _line_sheet("base", "usual", 0.5, "Line at even odds, base variant, usual setting"),
    _line_sheet("alternative", "usual", 0.5, "Line at even odds, alternative variants, usual setting"),
    _status_sheet("base", "fixed", "Line at 2 of 10 by printed status, base variant, fixed setting"),
    _status_sheet("base", "usual", "Line at 2 of 10 by printed status, base variant, usual setting"),
    _status_sheet(
        "alternative", "usual", "Line at 2 of 10 by printed status, alternative variants, usual setting"
    ),
    _chance_sheet("last load"),
    _chance_sheet("one step up"),
    _chance_status_sheet("last load"),
    _chance_status_sheet("one step up"),
    _FORECASTS,
    _PROPOSALS,
    _line_sheet(
        "base",
        "usual",
        0.2,
        f"Line at 2 of 10, base variant, usual setting{_IF_QUIET}",
        table="lines_if_quiet",
    ),
    _chance_sheet("last load", "chances_if_quiet", _IF_QUIET),
)
