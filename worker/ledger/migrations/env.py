"""What Alembic runs around the revisions: on the connection it is handed, and no other."""

from __future__ import annotations

from alembic import context

from worker.ledger.tables import LEDGER

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=LEDGER,
    render_as_batch=True,  # SQLite changes a table by making it anew
)
with context.begin_transaction():
    context.run_migrations()
