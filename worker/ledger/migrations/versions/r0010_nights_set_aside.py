"""What broke a night's run, and how often, so that one night does not stop the others."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns."""
    op.add_column(
        "night_runs", sa.Column("strikes", sa.Integer(), nullable=False, server_default="0")
    )
    op.add_column("night_runs", sa.Column("error", sa.Text(), nullable=False, server_default=""))


def downgrade() -> None:
    """Take them away."""
    op.drop_column("night_runs", "error")
    op.drop_column("night_runs", "strikes")
