"""What a crew holds once its bundle is printed, so that a late change can say what differs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column; of nights before it nobody knows what was printed."""
    op.add_column("bundles", sa.Column("held", sa.Text(), nullable=False, server_default=""))


def downgrade() -> None:
    """Take the column away."""
    op.drop_column("bundles", "held")
