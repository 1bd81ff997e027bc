"""Every file of a log, owners and the history of changes (layer: store)."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

# As the files were when this was written; columns that came later have a migration of their own.
FILES = {
    "sets": "client date session set block kind superset exercise variant side load unit load_basis band reps"
    " hold_s target_reps tempo range_stop rom_pct rpe rir rest_s pain_before pain_left pain_right"
    " pain_midline pain_at pain_when pain_feel burn felt compensation stopped_for response chosen_for"
    " test_set trial logged_by note",
    "clients": "client unit pain_level limit_during limit_after limit_next_morning bodyweight_kg started goal"
    " irritability consent note",
    "sites": "client site region side main",
    "pains": "client date session set site side pain",
    "sessions": "client date session pain_on_arrival pain_after minutes session_rpe note",
    "days": "client date site pain_morning pain_worst night_pain swelling stiffness_min muscle_soreness"
    " painkiller activity note",
    "tasks": "client date task difficulty",
    "events": "client date event note",
    "exercises": "log exercise aim load_step unit load_basis",
    "variants": "log exercise order variant",
    "ranges": "log exercise order range_stop rom_pct",
    "limits": "client exercise max_load unit max_range_stop leave_out from until by",
}
KEYS = {
    "sets": "client date session set",
    "clients": "client",
    "sites": "client site",
    "pains": "client date session set site side",
    "sessions": "client date session",
    "days": "client date site",
    "tasks": "client date task",
    "exercises": "log exercise",
    "variants": "log exercise variant",
    "ranges": "log exercise range_stop",
}


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "owners",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("revision", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "homes",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("client", sa.Text, primary_key=True),
        sa.Column("log", sa.Text, nullable=False),
    )
    op.create_table(
        "touched",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("part", sa.Text, primary_key=True),
        sa.Column("revision", sa.BigInteger, nullable=False),
    )
    op.create_table(
        "changes",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("revision", sa.BigInteger, primary_key=True),
        *(
            sa.Column(name, sa.Text, nullable=False)
            for name in ("change_id", "digest", "action", "client", "label", "made_by", "made_at")
        ),
        sa.Column("reverses", sa.BigInteger),
        sa.Column("undone_by", sa.BigInteger),
    )
    op.create_index("ix_changes_change_id", "changes", ["owner", "change_id"], unique=True)
    op.create_table(
        "changed_rows",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("revision", sa.BigInteger, primary_key=True),
        sa.Column("table_name", sa.Text, primary_key=True),
        sa.Column("row_id", sa.Text, primary_key=True),
        sa.Column("part", sa.Text, nullable=False),
        sa.Column("before", sa.Text),
        sa.Column("left_revision", sa.BigInteger),
        sa.ForeignKeyConstraint(
            ["owner", "revision"], ["changes.owner", "changes.revision"], ondelete="CASCADE"
        ),
    )
    op.create_index("ix_changed_rows_row", "changed_rows", ["owner", "table_name", "row_id", "revision"])
    op.create_index("ix_changed_rows_part", "changed_rows", ["owner", "part"])
    for name, columns in FILES.items():
        op.create_table(
            f"log_{name}",
            sa.Column("owner", sa.Text, primary_key=True),
            sa.Column("id", sa.Text, primary_key=True),
            sa.Column("revision", sa.BigInteger, nullable=False),
            *(sa.Column(column, sa.Text, nullable=False) for column in columns.split()),
        )
        if name in KEYS:
            op.create_index(f"ix_log_{name}_key", f"log_{name}", ["owner", *KEYS[name].split()], unique=True)
        else:
            op.create_index(f"ix_log_{name}_client", f"log_{name}", ["owner", "client"])
    op.create_index("ix_log_sets_exercise", "log_sets", ["owner", "client", "exercise"])
