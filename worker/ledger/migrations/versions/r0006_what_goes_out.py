"""For what goes out: messages to be told, events not yet told, prints of bundles."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables; what has happened before counts as told."""
    told = sa.Column("told", sa.Integer(), nullable=False, server_default="0")
    op.add_column("events", told)
    op.execute("UPDATE events SET told = 1")
    op.create_index("ix_events_told", "events", ["told"], unique=False)
    op.create_table(
        "outbox",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("target", sa.String(length=400), nullable=False),
        sa.Column("message_id", sa.String(length=80), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("not_before_ms", sa.BigInteger(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("sent_ms", sa.BigInteger(), nullable=False),
        sa.Column("error", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="outbox_pkey"),
        sa.UniqueConstraint(
            "kind", "target", "message_id", name="outbox_kind_target_message_id_key"
        ),
    )
    op.create_index("ix_outbox_state", "outbox", ["state"], unique=False)
    op.create_table(
        "prints",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("crew", sa.String(length=40), nullable=False),
        sa.Column("code", sa.String(length=64), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("pdf", sa.String(length=64), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("printer", sa.String(length=400), nullable=False),
        sa.Column("job_number", sa.Integer(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("not_before_ms", sa.BigInteger(), nullable=False),
        sa.Column("asked_by", sa.String(length=200), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("done_ms", sa.BigInteger(), nullable=False),
        sa.Column("says", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="prints_night_id_fkey"),
        sa.PrimaryKeyConstraint("id", name="prints_pkey"),
        sa.UniqueConstraint("crew", "code", "copy", name="prints_crew_code_copy_key"),
    )


def downgrade() -> None:
    """Take them away."""
    op.drop_table("prints")
    op.drop_index("ix_outbox_state", table_name="outbox")
    op.drop_table("outbox")
    op.drop_index("ix_events_told", table_name="events")
    op.drop_column("events", "told")
