"""`ebbline review`: every answer about one client, as text or as JSON (layer: app)."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from analysis.errors import LogError, OptionError

if TYPE_CHECKING:
    from analysis.models.prediction import At
    from analysis.questions.review import Review
    from dashboard.store.source import BrokenLog

OWNER = "local"


@click.command(
    name="review", epilog="Example: ebbline review K-07 --logs ~/logs --at lowering_s=2,rom_pct=100,place=9"
)
@click.argument("client")
@click.option(
    "--logs",
    required=True,
    type=click.Path(exists=True, path_type=Path),
    help="One log, or a folder of them.",
)
@click.option(
    "--as-of", metavar="DATE", help="Last day that counts, as 2026-09-28; the last logged day if left out."
)
@click.option("--month", metavar="YYYY-MM", help="Month to sum up; the month of the last day if left out.")
@click.option(
    "--at",
    metavar="NAME=VALUE,...",
    help="How the set is done, such as lowering_s=2,rom_pct=100,place=9; what is left out is usual.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
def review_client(
    client: str, logs: Path, as_of: str | None, month: str | None, at: str | None, as_json: bool
) -> None:
    """Where pain comes back for CLIENT, with what was seen and how sure it is."""
    from analysis.questions.review import review
    from analysis.tables import review_json
    from dashboard.command_setting import setting_from_text
    from dashboard.store.source import FolderSource

    last_day = None if as_of is None else day_from_text(as_of)
    setting: At = "usual" if at is None else setting_from_text(at)
    if month is not None and not re.fullmatch(r"\d{4}-(0[1-9]|1[0-2])", month):
        raise OptionError(f"--month is {month!r}; write a year and a month, such as 2026-09.")
    source = FolderSource(logs)
    broken = source.problems(OWNER)
    if broken and not source.clients(OWNER):
        raise LogError([problem for one in broken for problem in one.problems])
    for one in broken:
        if one.path.name == client and client not in {ref.client for ref in source.clients(OWNER)}:
            raise LogError(one.problems)
        _tell_broken(one)
    log, _ = source.log(OWNER, client)
    answer = review(log, client=client, as_of=last_day, month=month, at=setting)
    if as_json:
        click.echo(json.dumps(review_json(answer), ensure_ascii=False, indent=2, allow_nan=False))
    else:
        click.echo("\n".join(review_lines(answer)))


def review_lines(answer: Review) -> list[str]:
    """The review as text: what it stands on, one line a pain line, then what limits it."""
    from dashboard.wording.line_names import line_name
    from dashboard.wording.pain_line import answer_words, evidence_words

    fit = answer.fit
    lines = [
        f"{answer.client} up to {answer.as_of:%Y-%m-%d}: {fit.n_sets} sets, {fit.n_asked} asked,"
        f" {fit.n_sessions} sessions; hurt means pain of {fit.level} or more."
    ]
    lines += [
        f"{line_name(row.key)} ({row.chance:.0%}): {answer_words(row)[0]}. {evidence_words(row)}"
        for row in answer.lines
    ]
    lines += [f"Note: {found.what} {found.consequence} {found.remedy}" for found in fit.findings]
    return lines


def day_from_text(text: str) -> dt.date:
    """Day written as year, month and day; anything else is refused with an example."""
    try:
        return dt.datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        raise OptionError(f"--as-of is {text!r}; write a day such as 2026-09-28.") from None


def _tell_broken(one: BrokenLog) -> None:
    if any(problem.code == "client_in_two_logs" for problem in one.problems):
        for problem in one.problems:
            click.echo(problem.sentence, err=True)
        return
    count = "1 problem" if len(one.problems) == 1 else f"{len(one.problems)} problems"
    click.echo(f"{one.path} was left out: {count}. `ebbline check {one.path}` lists them.", err=True)
