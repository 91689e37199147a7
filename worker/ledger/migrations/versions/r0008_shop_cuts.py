"""What the shop cuts ahead for a night, or for a crew's day of it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the table."""
    op.create_table(
        "shop_cuts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("night_id", sa.Integer(), nullable=False),
        sa.Column("made_for", sa.String(length=40), nullable=False),
        sa.Column("pool", sa.String(length=40), nullable=False),
        sa.Column("made_from", sa.String(length=64), nullable=False),
        sa.Column("plan", sa.String(length=64), nullable=False),
        sa.Column("pdf", sa.String(length=64), nullable=False),
        sa.Column("code", sa.String(length=64), nullable=False),
        sa.Column("pages", sa.Integer(), nullable=False),
        sa.Column("error", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="shop_cuts_pkey"),
        sa.ForeignKeyConstraint(["night_id"], ["nights.id"], name="shop_cuts_night_id_fkey"),
        sa.UniqueConstraint(
            "night_id", "made_for", "pool", name="shop_cuts_night_id_made_for_pool_key"
        ),
    )


def downgrade() -> None:
    """Take it away."""
    op.drop_table("shop_cuts")
