"""`ebbline check`: is this log in order? (layer: app)."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import click


@click.command(epilog="Example: ebbline check ~/logs/K-07 ~/logs/E-12.xlsx")
@click.argument(
    "paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(exists=True, path_type=Path)
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
def check(paths: tuple[Path, ...], as_json: bool) -> int:
    """Check logs and list everything that is wrong or doubtful.

    PATH is a log folder, a folder of logs, an .xlsx file or a .csv file of sets. Nothing is written.
    Exits with 1 if there is a problem; remarks alone do not count.
    """
    from analysis.log import check_log
    from analysis.tables import check_json

    checks = [(f"{path}/" if len(paths) > 1 and path.is_dir() else "", check_log(path)) for path in paths]
    n_rows = sum(one.n_rows for _, one in checks)
    problems = tuple(
        replace(found, file=place + found.file) for place, one in checks for found in one.problems
    )
    remarks = tuple(replace(found, file=place + found.file) for place, one in checks for found in one.remarks)
    if as_json:
        click.echo(
            json.dumps(check_json(n_rows, problems, remarks), ensure_ascii=False, indent=2, allow_nan=False)
        )
        return int(bool(problems))
    for problem in problems:
        click.echo(problem.sentence)
    for remark in remarks:
        click.echo(f"Remark: {remark.sentence}")
    rows = _counted(n_rows, "row")
    click.echo(f"{rows} of sets, {_counted(len(problems), 'problem')}, {_counted(len(remarks), 'remark')}.")
    return int(bool(problems))


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
