"""For the schedule: locks, and one row a run of a night."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "locks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("holder", sa.String(length=120), nullable=False),
        sa.Column("fence", sa.Integer(), nullable=False),
        sa.Column("until_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="locks_pkey"),
        sa.UniqueConstraint("name", name="locks_name_key"),
    )
    op.create_table(
        "night_runs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("company", sa.String(length=40), nullable=False),
        sa.Column("work_date", sa.Date(), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("state", sa.String(length=12), nullable=False),
        sa.Column("since_ms", sa.BigInteger(), nullable=False),
        sa.Column("until_ms", sa.BigInteger(), nullable=False),
        sa.Column("run", sa.Integer(), nullable=False),
        sa.Column("started_ms", sa.BigInteger(), nullable=False),
        sa.Column("ended_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="night_runs_pkey"),
        sa.UniqueConstraint(
            "company", "work_date", "kind", name="night_runs_company_work_date_kind_key"
        ),
    )


def downgrade() -> None:
    """Take them away."""
    op.drop_table("night_runs")
    op.drop_table("locks")
