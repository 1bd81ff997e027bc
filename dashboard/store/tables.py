"""The tables of the store: every file of a log, who changed what, and drafts (layer: store).

A cell is kept as the canonical text that `write_log` writes, '' for blank. So there is one set of rules
for what a cell may be, that of the log's reader, both databases keep the same, and what is exported is
what was read, to the byte; a number kept as a number would come back in the database's own spelling.
Rows and revisions are numbered per owner; every key starts with the owner.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from sqlalchemy import BigInteger, Column, ForeignKeyConstraint, Index, Integer, MetaData, Table, Text

from analysis.schema import TABLES

metadata = MetaData()

owners = Table(
    "owners",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("revision", BigInteger, nullable=False),
)
"""Number of the last change; raised first in every write, which makes writes of one owner wait in line."""

homes = Table(
    "homes",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("client", Text, primary_key=True),
    Column("log", Text, nullable=False),
)
"""Log that a client is in. Clients of one log share its exercises, variants and ranges, as in a folder."""

touched = Table(
    "touched",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("part", Text, primary_key=True),
    Column("revision", BigInteger, nullable=False),
)
"""Last change of each part: of a client by its code, or of what a log's clients share by ``shared_part``."""

changes = Table(
    "changes",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("revision", BigInteger, primary_key=True),
    Column("change_id", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("action", Text, nullable=False),
    Column("client", Text, nullable=False),
    Column("label", Text, nullable=False),
    Column("made_by", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("reverses", BigInteger),
    Column("undone_by", BigInteger),
    Index("ix_changes_change_id", "owner", "change_id", unique=True),
)
"""One row a change: what was done, when, and which change it took back."""

changed_rows = Table(
    "changed_rows",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("revision", BigInteger, primary_key=True),
    Column("table_name", Text, primary_key=True),
    Column("row_id", Text, primary_key=True),
    Column("part", Text, nullable=False),
    Column("before", Text),
    Column("left_revision", BigInteger),
    ForeignKeyConstraint(["owner", "revision"], ["changes.owner", "changes.revision"], ondelete="CASCADE"),
    Index("ix_changed_rows_row", "owner", "table_name", "row_id", "revision"),
    Index("ix_changed_rows_part", "owner", "part"),
)
"""What each row was before a change, as JSON, and which revision the change left; none where there is no row."""

drafts = Table(
    "drafts",
    metadata,
    Column("owner", Text, primary_key=True),
    Column("name", Text, primary_key=True),
    Column("client", Text, nullable=False),
    Column("number", Integer, nullable=False),
    Column("content", Text, nullable=False),
    Column("written_at", Text, nullable=False),
    Index("ix_drafts_client", "owner", "client"),
)
"""What is being entered and not saved yet."""


def log_table_name(name: str) -> str:
    """Name in the database of a file of the log."""
    return f"log_{name}"


def _log_table(name: str) -> Table:
    file = TABLES[name]
    is_shared = "client" not in file.column_names
    own = ("log", *file.column_names) if is_shared else file.column_names
    parts: list[Column[object] | Index] = [Column(column, Text, nullable=False) for column in own]
    if file.key:
        key = ("log", *file.key) if is_shared else file.key
        parts.append(Index(f"ix_log_{name}_key", "owner", *key, unique=True))
    else:
        parts.append(Index(f"ix_log_{name}_client", "owner", "client"))
    if name == "sets":
        parts.append(Index("ix_log_sets_exercise", "owner", "client", "exercise"))
    return Table(
        log_table_name(name),
        metadata,
        Column("owner", Text, primary_key=True),
        Column("id", Text, primary_key=True),
        Column("revision", BigInteger, nullable=False),
        *parts,
    )


LOG_TABLES: Mapping[str, Table] = MappingProxyType({name: _log_table(name) for name in TABLES})
"""Table of each file of the log, by the file's name."""

CLIENT_TABLES: tuple[str, ...] = tuple(name for name, file in TABLES.items() if "client" in file.column_names)
"""Files whose rows belong to a client; those of the others belong to a log."""


def shared_part(log: str) -> str:
    """Name in `touched` of what the clients of a log share; no client's code has a colon."""
    return f"log:{log}"
