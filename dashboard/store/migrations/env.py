"""Runs migrations in the transaction it is given, so that all of them happen or none (layer: store)."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"])
with context.begin_transaction():
    context.run_migrations()
