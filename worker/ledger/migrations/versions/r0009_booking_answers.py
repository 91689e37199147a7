"""What the office decided about a day's bookings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the table."""
    op.create_table(
        "booking_answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(length=100), nullable=False),
        sa.Column("says", sa.Text(), nullable=False),
        sa.Column("option", sa.String(length=40), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("why", sa.String(length=200), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="booking_answers_pkey"),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="booking_answers_night_id_fkey"),
    )
    op.create_index("ix_booking_answers_night_id", "booking_answers", ["night_id"])


def downgrade() -> None:
    """Take it away."""
    op.drop_table("booking_answers")
