"""`ebbline sheet`: the check-in page of one client as a PDF (layer: app)."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Literal

import click

from analysis.errors import LogError, OptionError

OWNER = "local"


@click.command(
    name="sheet",
    epilog='Example: ebbline sheet K-07 --logs ~/logs --out k.pdf --note "Well done on the stairs."',
)
@click.argument("client")
@click.option(
    "--logs",
    required=True,
    type=click.Path(exists=True, path_type=Path),
    help="One log, or a folder of them.",
)
@click.option("--out", required=True, type=click.Path(path_type=Path), help="File to write, such as k.pdf.")
@click.option(
    "--for",
    "reader",
    type=click.Choice(["trainee", "clinician"]),
    default="trainee",
    show_default=True,
    help="Who reads it: plain words in large type, or numbers with intervals.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option(
    "--as-of", metavar="DATE", help="Last day that counts, as 2026-09-28; the last logged day if left out."
)
@click.option("--next", "next_day", metavar="DATE", help="Day of the next check-in.")
@click.option("--note", "notes", multiple=True, metavar="TEXT", help="A sentence of your own; up to three.")
@click.option(
    "--flare",
    metavar="TEXT",
    help="What to do if it flares, in your words, one step a line; common practice if left out.",
)
def sheet_of_client(
    client: str,
    logs: Path,
    out: Path,
    reader: Literal["trainee", "clinician"],
    paper: Literal["a4", "letter"],
    as_of: str | None,
    next_day: str | None,
    notes: tuple[str, ...],
    flare: str | None,
) -> None:
    """One page about CLIENT to hand over at the check-in, as tagged PDF."""
    from analysis.questions.review import review
    from dashboard.sheet.content import SheetOptions
    from dashboard.sheet.make import check_options, make_sheet
    from dashboard.store.source import FolderSource

    last_day = _day("--as-of", as_of)
    options = SheetOptions(
        reader=reader, paper=paper, notes=notes, flare=flare, next_day=_day("--next", next_day)
    )
    check_options(options)
    if not out.parent.is_dir():
        raise OptionError(f"--out is {out}; there is no folder {out.parent}.")
    source = FolderSource(logs)
    there = {ref.client for ref in source.clients(OWNER)}
    broken = source.problems(OWNER)
    if client not in there:
        meant = broken if not there else [one for one in broken if one.path.name == client]
        if meant:
            raise LogError([problem for one in meant for problem in one.problems])
    log, _ = source.log(OWNER, client)
    page = make_sheet(log, review(log, client=client, as_of=last_day), options)
    try:
        out.write_bytes(page.pdf())
    except OSError as error:
        raise OptionError(f"--out is {out}; it cannot be written: {error.strerror}.") from None
    click.echo(f"{out}: one page for the {reader}, up to {page.day:%Y-%m-%d}.", err=True)
    if page.left_out:
        click.echo(page.left_out, err=True)


def _day(option: str, text: str | None) -> dt.date | None:
    """Day written as year, month and day; anything else is refused with an example."""
    if text is None:
        return None
    try:
        return dt.datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        raise OptionError(f"{option} is {text!r}; write a day such as 2026-09-28.") from None
