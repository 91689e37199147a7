"""For what has changed: the plan behind each printed code."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; codes printed before it have no plan."""
    plan = sa.Column("plan", sa.String(length=64), nullable=False, server_default="")
    op.add_column("codes", plan)


def downgrade() -> None:
    """Take it away."""
    op.drop_column("codes", "plan")
