"""The offcut rack, and what of it was offered to which plan."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "rack",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("tag", sa.String(length=40), nullable=False),
        sa.Column("system", sa.String(length=40), nullable=False),
        sa.Column("colour", sa.String(length=40), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("home", sa.String(length=40), nullable=False),
        sa.Column("home_revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("holder", sa.String(length=60), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="rack_pkey"),
        sa.UniqueConstraint("tag", name="rack_tag_key"),
    )
    op.create_index("ix_rack_state", "rack", ["state"], unique=False)
    op.create_index("ix_rack_holder", "rack", ["holder"], unique=False)
    op.create_table(
        "offers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("holder", sa.String(length=60), nullable=False),
        sa.Column("inputs", sa.String(length=64), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="offers_pkey"),
        sa.UniqueConstraint("holder", name="offers_holder_key"),
    )


def downgrade() -> None:
    """Take them away."""
    op.drop_table("offers")
    op.drop_table("rack")
