"""Drafts: what is being entered and not saved yet (layer: store)."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "drafts",
        sa.Column("owner", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("client", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        sa.Column("written_at", sa.Text, nullable=False),
    )
    op.create_index("ix_drafts_client", "drafts", ["owner", "client"])
