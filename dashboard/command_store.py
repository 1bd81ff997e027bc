"""`ebbline add`, `export`, `backup` and `forget`: logs into the store and out of it (layer: app)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal
from uuid import uuid4

import click

if TYPE_CHECKING:
    from dashboard.store.engine import Store
    from dashboard.store.rules import RowChange

OWNER = "local"
TRIES = 3
MOST_LISTED = 20

_Command = Callable[..., Any]


def _store_option(command: _Command) -> _Command:
    return click.option(
        "--store",
        "address",
        metavar="URL",
        help="Where the store is: a file, sqlite:///FILE or postgresql+psycopg://USER@HOST/NAME. Without it"
        " what EBBLINE_STORE says, else a file of your own.",
    )(command)


@click.command(epilog="Example: ebbline add ~/logs/K-07 ~/logs/E-12.xlsx")
@click.argument(
    "paths", nargs=-1, required=True, metavar="PATH...", type=click.Path(exists=True, path_type=Path)
)
@click.option(
    "--changed",
    type=click.Choice(["ask", "take", "keep"]),
    default="ask",
    show_default=True,
    help="Rows that are stored otherwise: list them and add nothing, take those of PATH, or keep the stored"
    " ones and add the rest.",
)
@_store_option
def add(paths: tuple[Path, ...], changed: Literal["ask", "take", "keep"], address: str | None) -> int:
    """Add logs to the store: all of them, or nothing if there is a problem.

    PATH is whatever `ebbline check` takes. The same rows again add nothing.
    """
    from dashboard.store.import_plan import plan_import, read_logs
    from dashboard.store.imports import Outdated, Unconfirmed, carry_out_import

    logs = read_logs(paths)
    with _opened(address) as store:
        for left in reversed(range(TRIES)):
            plan = plan_import(store, OWNER, logs, on_changed=changed)
            try:
                done = carry_out_import(store, OWNER, plan, change_id=uuid4().hex)
                break
            except Outdated:
                if not left:
                    raise
            except Unconfirmed as error:
                for line in _changed_lines(error.changed):
                    click.echo(line, err=True)
                click.echo(f"{error} --changed take or --changed keep does.", err=True)
                return 1
        n_added = 0 if done is None else len(plan.new)
        n_changed = len(plan.changed) if changed == "take" else 0
        n_kept = len(plan.changed) - n_changed
        kept = f", {_rows(n_kept)} kept as stored" if n_kept else ""
        click.echo(
            f"{_rows(n_added)} added, {n_changed} changed, {plan.n_same} there already{kept}: {store.name}",
            err=True,
        )
    return 0


@click.command(epilog="Example: ebbline export ~/handover")
@click.argument("path", metavar="DIR", type=click.Path(path_type=Path))
@_store_option
def export(path: Path, address: str | None) -> None:
    """Write everything in the store as CSV files into DIR, a log folder or a folder of logs.

    DIR may also be a file to hand over: FILE.zip with those folders, or FILE.xlsx.
    """
    from dashboard.store.export import export_logs

    with _opened(address) as store:
        for written in export_logs(store, OWNER, path):
            click.echo(str(written), err=True)


@click.command(epilog="Example: ebbline backup ~/backups/2026-09-28.sqlite")
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@_store_option
def backup(file: Path, address: str | None) -> None:
    """Copy the store into FILE, while it is in use, and read the copy back.

    FILE is a store of its own: --store FILE opens it.
    """
    from dashboard.store.backup import back_up

    with _opened(address) as store:
        done = back_up(store, file)
    click.echo(f"{_rows(done.n_rows)} of all tables copied and read back: {done.path}", err=True)


@click.command(epilog="Example: ebbline forget K-07")
@click.argument("client")
@click.option("--yes", is_flag=True, help="Do not ask.")
@_store_option
def forget(client: str, yes: bool, address: str | None) -> None:
    """Erase CLIENT from the store: sets, everything else, history and drafts. This cannot be undone."""
    from dashboard.store.forget import forget as forget_client

    with _opened(address) as store:
        if not yes:
            question = f"Erase everything about {client} in {store.name}? This cannot be undone."
            click.confirm(question, abort=True, err=True)
        done = forget_client(store, OWNER, client)
        name, is_server = store.name, store.file is None
    click.echo(
        f"{client}: {_rows(done.n_rows)}, {done.n_changes} entries of the history and"
        f" {done.n_drafts} drafts erased from {name}.",
        err=True,
    )
    for copy in done.copies:
        click.echo(f"Deleted, because the client was in it: {copy}", err=True)
    for path in done.searched:
        click.echo(f"Searched for the code: {path}", err=True)
    for place in done.mentions:
        click.echo(f"What others entered still has the code: {place}", err=True)
    elsewhere = " The server's own logs and backups are its administrator's." if is_server else ""
    click.echo(f"Your own exports and backups are not touched.{elsewhere}", err=True)


@contextmanager
def _opened(address: str | None) -> Iterator[Store]:
    from dashboard.store.schema_version import open_store

    store = open_store(address)
    try:
        yield store
    finally:
        store.close()


def _changed_lines(changed: tuple[RowChange, ...]) -> Iterator[str]:
    """Each row as it is stored and as the file has it, cell by cell."""
    from analysis.schema import TABLES

    for one in changed[:MOST_LISTED]:
        if one.before is None or one.after is None:
            continue
        before, after = one.before.cells, one.after.cells
        place = ", ".join(before[column] for column in TABLES[one.table].key if before[column])
        cells = (
            f"{column} {before[column] or 'blank'} -> {after[column] or 'blank'}"
            for column in after
            if before[column] != after[column]
        )
        yield f"{TABLES[one.table].file}, {place}: {'; '.join(cells)}"
    if len(changed) > MOST_LISTED:
        yield f"... and {len(changed) - MOST_LISTED} more"


def _rows(number: int) -> str:
    return "1 row" if number == 1 else f"{number} rows"
